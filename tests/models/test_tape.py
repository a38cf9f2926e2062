"""A van by tape as text: its lines, its hole rows, and what is said when they cannot be read.

Lengths are held against hand-worked values: one inch is exactly 25.4 mm (international yard and pound agreement, 1959).
"""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from ribway.models.faults import SpellingError
from ribway.models.hole_lines import HoleLine, parse_hole_line, parse_hole_lines
from ribway.models.project_faults import ProjectFaults
from ribway.models.reading import check_data, check_text
from ribway.models.schema import project_schema
from ribway.models.tape import Tape, assumed_lines

TAPE: dict[str, Any] = {
    "length": "3.72 m",
    "floor_width": "180 cm",
    "waist_width": "1.84 m",
    "waist_height": "1m02",
    "roof_edge_width": "1600 mm",
    "roof_edge_height": "1.62 m",
    "centre_height": "6' 3 1/2\"",
    "ribs_left": "0.42 0.88 1.36 1.80 2.27 2.71 3.18 3.62 m",
    "ribs_right": "same as left",
    "side_door": {"side": "right", "front": "0.30 m", "rear": "1.55 m"},
    "wheel_arch": {"front": "2.12 m", "length": "0.98 m", "height": "36 cm"},
    "rib": {"depth": "55 mm", "face_width": "55 mm"},
}


def project(tape: dict[str, Any], **vehicle: Any) -> dict[str, Any]:
    place = {"wall": "left", "back": "1 m", "up": "0.5 m"}
    devices = [{"id": "a", "name": "A", "kind": "source", "at": place}, {"id": "b", "name": "B", "at": place}]
    circuits = [{"id": "C", "name": "C", "from": "a", "to": ["b"]}]
    named = {"ribway": 1, "name": "tape", "vehicle": {"tape": tape, **vehicle}}
    return {**named, "devices": devices, "circuits": circuits}


def read(tape: dict[str, Any]) -> Tape:
    found = check_data(project(tape)).base.vehicle.tape
    assert found is not None
    return found


def faults(tape: dict[str, Any], **vehicle: Any) -> list[str]:
    with pytest.raises(ProjectFaults) as caught:
        check_data(project(tape, **vehicle))
    return [str(fault) for fault in caught.value.faults]


def changed(**changes: Any) -> dict[str, Any]:
    """The tape with lines changed; None takes one out."""
    return {key: value for key, value in {**copy.deepcopy(TAPE), **changes}.items() if value is not None}


def test_ten_lines_are_enough() -> None:
    tape = read(TAPE)
    assert (tape.length, tape.floor_width, tape.waist_height, tape.roof_edge_width) == (3.72, 1.8, 1.02, 1.6)
    assert tape.centre_height == pytest.approx(75.5 * 0.0254, abs=1e-12)
    assert tape.ribs_left[2] == 1.36
    assert tape.rib_stations_right == tape.ribs_left
    assert tape.floor_m == 0.0


def the_hole(line: HoleLine) -> tuple[str, float, float]:
    assert line.hole is not None
    return line.hole.shape, round(1000 * line.hole.width_m, 6), round(1000 * line.hole.length_m, 6)


@pytest.mark.parametrize(
    ("text", "who", "hole", "places_mm"),
    [
        ("L2-L7: 25 mm at 420 mm", "L2-L7", ("round", 25, 25), [420]),
        ("L2 to 7: 25 at 420 mm", "L2-L7", ("round", 25, 25), [420]),
        ("l2–l7 : Ø25mm at 42 cm", "L2-L7", ("round", 25, 25), [420]),
        ("L3: slot 20x45 mm at 1.21 m", "L3", ("slot", 20, 45), [1210]),
        ("L3: 45 × 20 mm at 1,21 m", "L3", ("slot", 20, 45), [1210]),
        ('L3: 1" at 16 1/2"', "L3", ("round", 25.4, 25.4), [419.1]),
        ("L3: slot 3/4 x 1 3/4 in at 1' 4\"", "L3", ("slot", 19.05, 44.45), [406.4]),
        ("B1-B8: 25 mm at 500 mm left and right", "B1-B8", ("round", 25, 25), [500, -500]),
        ("B3: 25 mm at 500 mm left, 200 mm right and the centre", "B3", ("round", 25, 25), [500, -200, 0]),
        ("R*: round 25 mm at 220, 420 mm and 780 mm", "R*", ("round", 25, 25), [220, 420, 780]),
        ("LW3: 25 mm", "LW3", ("round", 25, 25), []),
        ("RS1: 30 mm at 2.3 m", "RS1", ("round", 30, 30), [2300]),
        ("LP: 32 mm at 300 mm", "LP", ("round", 32, 32), [300]),
        ("B0: 32 mm at 30 cm right", "B0", ("round", 32, 32), [-300]),
    ],
)
def test_rows_that_cut_holes(text: str, who: str, hole: tuple[str, float, float], places_mm: list[float]) -> None:
    line = parse_hole_line(text)
    assert [str(one) for one in line.members] == [who]
    assert the_hole(line) == pytest.approx(hole)
    assert [1000 * place for place in line.places_m] == pytest.approx(places_mm, abs=1e-9)


def test_rows_that_say_what_is_known() -> None:
    assert parse_hole_line("L4 at 780 mm: taken 18 mm").taken_m == 0.018
    assert parse_hole_line("L7 at 780 mm: grommet 20").grommet_m == 0.020
    assert parse_hole_line("L6 at 780 mm: blocked").state == "blocked"
    assert parse_hole_line("L6b: seen").state == "measured"
    assert parse_hole_line("R*: as left").like == "left"
    assert parse_hole_line("L6: as l2").like == "L2"
    none = parse_hole_line("L5: none at 220 mm")
    assert (none.none, none.places_m, none.hole) == (True, (0.22,), None)
    many = parse_hole_line("L1, L3 and L5-L7: 25 mm at 420 mm, grommet 20 mm, taken 9 mm, measured")
    assert [str(one) for one in many.members] == ["L1", "L3", "L5-L7"]
    assert (many.grommet_m, many.taken_m, many.state, many.names_one) == (0.020, 0.009, "measured", False)
    assert [parse_hole_line(f"{who}: none").names_one for who in ("L4", "L4-L5", "L*", "LP")] == [
        True,
        False,
        False,
        True,
    ]


BAD_ROWS = [
    ("L3 25 mm at 1 m", "has no colon"),
    ("L3: 25 at 420", "has no unit for"),
    ("L3: 25 mm", "gives no height"),
    ("B3: 25 mm", "gives no distance left or right"),
    ("L3: slot 20 mm at 1 m", "gives a slot one size"),
    ("L3: round 20x45 mm at 1 m", "a round hole two"),
    ("L7-L2: 25 mm at 1 m", "runs backwards"),
    ("L7-R9: 25 mm at 1 m", "names no member with <l7-r9>"),
    ("X2: 25 mm at 1 m", "names no member with <x2>"),
    ("LW: 25 mm", "names no member with <lw>"),
    ("L3: squiggle at 1 m", "cannot be read at <squiggle>"),
    ("L4: 25 mm at 1.2 m, 780", "whether 780 is in m or mm"),
    ("L4: 0 mm at 1 m", "gives a hole no size"),
    ("L4: 25 mm at 1.200 mm", "thousands or decimals"),
    ("L4 at 1 m:", "says nothing about a hole"),
    ("", "one line of text"),
    (25, "one line of text"),
]


@pytest.mark.parametrize(("text", "part"), BAD_ROWS)
def test_a_row_that_cannot_be_read_says_its_number_and_why(text: object, part: str) -> None:
    with pytest.raises(SpellingError) as caught:
        parse_hole_line(text, 7)
    assert part in str(caught.value)
    assert str(caught.value).startswith("hole row 7")


def test_all_rows_are_read_before_anything_is_said() -> None:
    lines, refusals = parse_hole_lines(["L1: none", *(text for text, _ in BAD_ROWS), "R1: none"])
    assert [line.row for line in lines] == [1, len(BAD_ROWS) + 2]
    assert [str(fault).split(" ")[2] for fault in refusals][:3] == ["2", "3", "4"]


@pytest.mark.parametrize(
    "holes",
    [
        "L*: 25 mm at 420 mm\n\n# typical above, exceptions below\nL5: none at 420 mm  # seat bolt\nR*: as left\n",
        ["L*: 25 mm at 420 mm", "L5: none at 420 mm", "R*: as left"],
        [{"L*": "25 mm at 420 mm"}, {"L5": "none at 420 mm"}, {"R*": "as left"}],
    ],
)
def test_hole_rows_as_a_block_or_as_a_list(holes: object) -> None:
    tape = read(changed(holes=holes))
    assert [(line.row, str(line.members[0])) for line in tape.hole_lines] == [(1, "L*"), (2, "L5"), (3, "R*")]


def test_yaml_takes_unquoted_rows() -> None:
    rows = "holes:\n      - L2-L7: 25 mm at 420 mm\n      - L6 at 780 mm: blocked\n    curtain_airbags: no\n"
    lines = "".join(
        f"    {key}: {value}\n" for key, value in TAPE.items() if isinstance(value, str) and '"' not in value
    )
    groups = (
        "    centre_height: 1.92 m\n    side_door: {side: right, front: 0.30 m, rear: 1.55 m}\n"
        "    wheel_arch: {front: 2.12 m, length: 0.98 m, height: 0.36 m}\n    rib: {depth: 55 mm, face_width: 55 mm}\n"
    )
    text = f"ribway: 1\nname: t\nvehicle:\n  tape:\n{lines}{groups}    {rows}"
    text += "devices:\n  - {id: a, name: A, kind: source, at: {wall: left, back: 1 m, up: 0.5 m}}\n"
    text += "  - {id: b, name: B, at: {wall: left, back: 2 m, up: 0.5 m}}\n"
    text += "circuits:\n  - {id: C, name: C, from: a, to: [b]}\n"
    tape = check_text(text, "project.yaml", Path()).base.vehicle.tape
    assert tape is not None
    assert [line.row for line in tape.hole_lines] == [1, 2]
    assert tape.curtain_airbags == "no"


def test_missing_lines_are_named_together_with_what_they_are_for_beside_other_faults() -> None:
    found = faults(changed(length=None, rib=None, side_door=None, ribs_left="0.88 0.42 m", holes="L1: 3 at 2"))
    assert len(found) == 3
    assert "the tape lacks 3 of its lines: length (from the datum to the rear sill" in found[0]
    assert "side_door (" in found[0]
    assert "without: [side_door]" in found[0]
    assert "rib (depth and face width of one rib" in found[0]
    assert "ribs_left <0.88 0.42 m> goes from 0.88 back to 0.42" in found[1]
    assert "hole row 1 <L1: 3 at 2> has no unit" in found[2]


def test_a_misspelt_line_is_one_fault() -> None:
    tape = changed(waist_width=None)
    found = faults({**tape, "waste_width": "1.84 m"})
    assert len(found) == 1
    assert "did you mean waist_width?" in found[0]


def test_a_part_of_a_line_that_is_missing() -> None:
    found = faults(changed(wheel_arch={"front": "2.1 m"}, side_door={"side": "top", "front": "1 m", "rear": "2 m"}))
    assert [part in text for part, text in zip(("side_door / side", "length", "height"), found, strict=True)] == [
        True
    ] * 3


@pytest.mark.parametrize(
    ("tape", "vehicle", "part"),
    [
        (changed(without=["side_door"]), {}, "side_door is given, and without says"),
        (changed(heights_from="finished floor"), {}, "need floor_thickness"),
        (TAPE, {"preset": "short-high"}, "a vehicle has either a preset or a mesh"),
        (TAPE, {"parameters": {"length": "3 m"}}, "parameters change a preset"),
        (TAPE, {"datum": {"forward": "1 m"}}, "a tape starts at the datum"),
        (changed(curtain_airbags="perhaps"), {}, "perhaps"),
        (changed(length=3.72), {}, "3.72"),
    ],
)
def test_lines_that_contradict(tape: dict[str, Any], vehicle: dict[str, Any], part: str) -> None:
    found = faults(tape, **vehicle)
    assert len(found) == 1
    assert part in found[0]


def test_a_vehicle_needs_some_shell() -> None:
    raw = project(TAPE)
    del raw["vehicle"]["tape"]
    with pytest.raises(ProjectFaults, match="a vehicle has either a preset or a mesh"):
        check_data(raw)


def test_what_was_not_read_is_listed() -> None:
    bare = assumed_lines(read(TAPE))
    assert {"taper", "bow stations", "windows", "curtain airbags", "wheel arch width", "rib sheet thickness"} <= set(
        bare
    )
    assert {"hole rows of the left ribs", "hole rows of the right ribs", "hole rows of the bows"} <= set(bare)
    arch = {**TAPE["wheel_arch"], "width": "24 cm"}
    full = changed(
        rear_waist_width="1.80 m", bows="0.4 0.9 m", windows=[], front="bulkhead", datum_name="bulkhead", holes=(
            "L*: 25 mm at 420 mm\nR*: as left\nB*: none\nLW1: 25 mm"
        ), curtain_airbags="no", heights_from="bare floor", lining_thickness="6 mm", wheel_arch=arch,
        rib={**TAPE["rib"], "sheet": "1.5 mm"},
    )  # fmt: skip
    assert assumed_lines(read(full)) == ()
    facts_only = changed(holes="L4 at 780 mm: taken 18 mm")
    assert "hole rows of the left ribs" in assumed_lines(read(facts_only))


def test_an_editor_accepts_what_reading_accepts() -> None:
    check = Draft202012Validator(project_schema())
    rows = [{"L*": "25 mm at 420 mm"}, "R*: as left"]
    assert not list(check.iter_errors(project(changed(holes=rows, curtain_airbags="no"))))
    assert not list(check.iter_errors(project(changed(ribs_right=["0.4 m", "0.9 m"], holes="L*: none"))))
    bad = list(check.iter_errors(project(changed(length="3.72", ribs_left="0.4 0.9", width="1 m"))))
    assert len(bad) == 3


def test_a_project_made_by_code_keeps_its_numbers() -> None:
    tape = read(changed(holes="L*: 25 mm at 420 mm"))
    again = Tape.model_validate(tape.model_dump(exclude_none=True), context={"si": True})
    assert again == tape
