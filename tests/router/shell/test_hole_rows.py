"""Hole rows are cut where they were written, later ones over earlier ones; what cannot be is said with its row."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from mesh_facts import is_closed
from tube_clearance import crosses, least_distance

from ribway.models.hole_lines import parse_hole_lines
from ribway.router.shell.build import build
from ribway.router.shell.errors import ShellError
from ribway.router.shell.hole_rows import HoleRows, lay_hole_rows
from ribway.router.shell.parameters import HoleRow, ShellParameters
from ribway.router.shell.parts import Shell
from ribway.router.shell.presets import preset
from ribway.router.shell.row_members import row_members
from ribway.router.shell.rows import rows_of

MEDIUM = preset("medium-high")

ROWS = """
L*: 25 mm at 220 mm, 420 mm and 780 mm
L*: slot 20x45 mm at 1.22 m
R*: as left
L5: none at 420 mm
L3: slot 20x40 mm at 430 mm
L4 at 780 mm: taken 18 mm
L6 at 780 mm: blocked
L7 at 780 mm: grommet 20 mm
B1-B8: 25 mm at 500 mm left and right
B2: 30 mm at the centre
LW3: 30 mm
LW4: slot 20x45 mm at 2.05 m
RE3: 20 mm at 2.1 m
LS2: none
LP: 25 mm at 300 mm
B0: 30 mm at 250 mm left and right
L2: 25 mm at 220 mm, measured
"""


def laid(text: str, parameters: ShellParameters = MEDIUM, floor_m: float = 0.0) -> HoleRows:
    lines, faults = parse_hole_lines([line for line in text.strip().splitlines() if line])
    assert faults == ()
    return lay_hole_rows(parameters, lines, floor_m)


def places(rows: HoleRows) -> dict[str, list[float]]:
    return {name: [round(row.place_m, 4) for row in own] for name, own in rows.own_rows}


def facts(rows: HoleRows) -> dict[str, Any]:
    return {one.name: one for one in rows.openings}


def test_later_rows_lie_over_earlier_ones() -> None:
    rows = laid(ROWS)
    assert rows.faults == ()
    found = places(rows)
    assert found["L1"] == [0.22, 0.42, 0.78, 1.22]
    assert found["L3"] == [0.22, 0.43, 0.78, 1.22]
    assert dict(rows.own_rows)["L3"][1] == HoleRow(0.43, 0.020, "slot", 0.040)
    # L5 stands over the arch (its lower edge must clear 0.36 + 0.03 m), so that the row at 220 mm is left out there.
    assert found["L5"] == [0.78, 1.22]
    assert found["B1"] == [0.5, -0.5]
    assert found["B2"] == [0.5, 0.0, -0.5]
    assert found["LS2"] == []
    assert found["B0"] == [0.25, -0.25]
    assert len(found["LW3"]) == 2
    assert {row.bore_m for row in dict(rows.own_rows)["LW3"]} == {0.030}
    assert "R2" not in found, "the side door's pillars take no holes"


def test_what_is_known_goes_to_the_opening_of_that_name() -> None:
    known = facts(laid(ROWS))
    assert known["L4c"].taken == 0.018
    assert known["L6b"].state == "blocked", "over the arch the row at 220 mm is missing, so 780 mm is the second"
    assert known["L7c"].grommet == 0.020
    assert known["L1a"].state == "assumed"
    assert known["L2a"].state == "measured"
    assert known["L3b"].state == "measured"
    assert known["R3a"].state == "assumed"
    assert known["LW4a"].state == "measured"


def test_right_as_left_takes_the_rib_nearest_in_the_van() -> None:
    """R4 at 1.95 m stands nearest to L4 at 1.80 m, whatever their numbers."""
    rows = laid("L3: 25 mm at 600 mm\nL4: 25 mm at 700 mm\nL5: 25 mm at 800 mm\nR*: as left")
    members = row_members(MEDIUM)
    for name, own in places(rows).items():
        if name[0] == "R":
            nearest = min((one for one in members.values() if one.kind == "rib" and one.side == "left"),
                          key=lambda one: abs(one.station_m - members[name].station_m))  # fmt: skip
            expected = {"L3": [0.6], "L4": [0.7], "L5": [0.8]}.get(nearest.name)
            if expected:
                assert own == expected, name
    assert sum(own in ([0.6], [0.7], [0.8]) for name, own in places(rows).items() if name[0] == "R") >= 2


def test_members_that_no_row_names_keep_the_typical_holes() -> None:
    parameters = replace(MEDIUM, own_rows=laid("L3: 25 mm at 600 mm").own_rows)
    members = row_members(parameters)
    assert rows_of(parameters, members["L2"]) == MEDIUM.rib_rows
    assert [row.place_m for row in rows_of(parameters, members["L3"])] == [0.6]


def test_exceptions_alone_are_laid_over_the_typical_holes() -> None:
    rows = laid("L3: none at 480 mm\nL2b: blocked\nL4 at 785 mm: taken 9 mm")
    assert places(rows)["L3"] == [0.22, 0.78, 1.22, 1.42]
    assert facts(rows)["L2b"].state == "blocked"
    assert facts(rows)["L4c"].taken == 0.009
    assert set(facts(rows)) == {"L2b", "L4c"}, "what nobody looked at has nothing said of it"


def test_heights_from_a_finished_floor() -> None:
    rows = laid("L3: 25 mm at 600 mm\nLP: 25 mm at 300 mm\nB3: 25 mm at 300 mm left", floor_m=0.018)
    assert places(rows) == {"L3": [0.618], "LP": [0.318], "B3": [0.3]}


@pytest.fixture(scope="module")
def cut() -> tuple[ShellParameters, Shell]:
    parameters = replace(MEDIUM, own_rows=laid(ROWS).own_rows)
    return parameters, build(parameters)


def test_metal_stays_closed_and_every_written_passage_is_free(cut: tuple[ShellParameters, Shell]) -> None:
    parameters, shell = cut
    assert all(is_closed(member.mesh.faces) for member in shell.members)
    meshes = [part.mesh for part in (*shell.members, *shell.skins, *shell.obstacles)]
    triangles = np.concatenate([mesh.vertices[mesh.faces] for mesh in meshes])
    own = dict(parameters.own_rows)
    looked_at = 0
    for opening in shell.openings:
        if opening.name[:-1] in own:
            legs = zip(opening.line[:-1], opening.line[1:], strict=True)
            free = min(least_distance(a, b, triangles, 0.03) for a, b in legs)
            assert free >= opening.bore_m / 2 - 0.0005, opening.name
            looked_at += 1
    assert looked_at == sum(len(rows) for rows in own.values())
    assert looked_at > 60


def test_written_holes_are_where_they_were_written(cut: tuple[ShellParameters, Shell]) -> None:
    """Heights of rib holes to the 7 mm by which a leaning wall lowers a point half a rib off it; rails by distance back."""
    parameters, shell = cut
    middles = {opening.name: opening.line.mean(axis=0) for opening in shell.openings}
    own = dict(parameters.own_rows)
    assert middles["L3b"][2] == pytest.approx(0.43, abs=0.007)
    assert middles["L3d"][2] == pytest.approx(1.22, abs=0.007)
    assert -middles["LW4a"][0] == pytest.approx(2.05, abs=1e-9)
    assert -middles["RE3a"][0] == pytest.approx(2.1, abs=1e-9)
    assert middles["B2b"][1] == pytest.approx(0.0, abs=1e-9)
    assert middles["B2a"][1] == pytest.approx(0.5, abs=0.03)  # the taper draws it in by 1 % of a metre and a half
    assert [own["LW3"][i].bore_m for i in (0, 1)] == [0.030, 0.030]


def test_what_was_taken_away_is_metal_again(cut: tuple[ShellParameters, Shell]) -> None:
    _, shell = cut
    meshes = {member.name: member.mesh for member in shell.members}
    full = {opening.name: opening for opening in build(MEDIUM).openings}
    for gone in ("L2e", "LS2a", "LPc", "B4b"):
        opening = full[gone]
        mesh = meshes[opening.member]
        legs = zip(opening.line[:-1], opening.line[1:], strict=True)
        assert any(crosses(a, b, mesh.vertices[mesh.faces]).any() for a, b in legs), gone


FAULTS = [
    ("L9: 25 mm at 420 mm", "there is no rib L9", "did you mean L8?"),
    ("L5-L12: 25 mm at 780 mm", "there is no rib L12", "L1 to L8"),
    ("R2: 25 mm at 420 mm", "R2 is a pillar of the side door", "did you mean R"),
    ("B9: none", "there is no bow B9", "B1 to B8"),
    ("LW9: 25 mm", "there is no bay of the waist rail LW9", "did you mean LW8?"),
    ("RW1: 25 mm", "lies in the side door", "did you mean RW"),
    ("L2: 60 mm at 420 mm", "0.060 m wide is bigger than L2, 0.055 m deep", "up to 0.047 m"),
    ("L2: 3 mm at 420 mm", "passes no cable", "0.004 m or more"),
    ("L2: slot 20x250 mm at 600 mm", "the slot is 0.250 m long", "up to 0.200 m"),
    ("L*: 25 mm at 1.8 m", "1.800 m is not on L1: that is above the wall", "0.098 m to 0.974 m or"),
    ("L2: 25 mm at 20 mm", "in the sill or the wheel arch", "0.098 m"),
    ("L2: 25 mm at 1.02 m", "behind the waist rail", "0.098 m to 0.974 m or"),
    ("L6: 25 mm at 220 mm", "in the sill or the wheel arch", "0.40"),
    ("B2: 25 mm at 790 mm left", "is not on B2", "accepted for a hole"),
    ("LW3: 25 mm at 3.0 m", "3.000 m is not on LW3", "1.430 m to 1.730 m"),
    ("L3: none at 330 mm", "L3 has no hole at 0.330 m", "b at 0.480 m"),
    ("L3h: blocked", "L3 has no hole h", "e at 1.420 m"),
    ("L3: as L99", "L99 has no holes that L3 could have", "as left"),
    ("B3: as left", "left has no holes that B3 could have", "as B1"),
    (
        "L2: 25 mm at 420 mm\nL2: 25 mm at 450 mm",
        "the holes at 0.420 m and 0.450 m run into each other",
        "0.037 m or more",
    ),
]


@pytest.mark.parametrize(("text", "found", "accepted"), FAULTS)
def test_a_row_that_does_not_fit_this_van(text: str, found: str, accepted: str) -> None:
    faults = laid(text).faults
    assert len(faults) == 1, faults
    assert found in faults[0].found
    assert accepted in faults[0].accepted
    last = text.splitlines()[-1]
    assert faults[0].found.startswith(f"row {len(text.splitlines())} <{last}>")


def test_all_rows_that_do_not_fit_are_named_at_once_in_their_order() -> None:
    faults = laid("\n".join(("L9: none", "L2: 60 mm at 420 mm", "B9: none", "L3: none at 330 mm"))).faults
    assert [fault.found.split(" ")[1] for fault in faults] == ["1", "2", "3", "4"]


@pytest.mark.parametrize(
    ("own", "part"),
    [
        ((("L99", (HoleRow(0.5, 0.02),)),), "'L99', which takes no holes; accepted are L1, L2"),
        ((("LW33", (HoleRow(0.5, 0.02),)),), "'LW33', which takes no holes; did you mean LW3?"),
        ((("R2", (HoleRow(0.5, 0.02),)),), "'R2', which takes no holes"),
        ((("L3", (HoleRow(0.5, 0.06),)),), "bore_m is 0.06"),
        ((("L3", (HoleRow(1.0, 0.02),)),), "place_m is 1.0"),
        ((("L3", (HoleRow(0.6, 0.02), HoleRow(0.5, 0.02))),), "rows in order"),
        ((("LW3", (HoleRow(3.0, 0.02),)),), "place_m is 3.0"),
        ((("L3", (HoleRow(float("nan"), 0.02),)),), "place_m is nan"),
        ((("L3", tuple(HoleRow(0.1 + 0.02 * i, 0.004) for i in range(27))),), "27 holes"),
    ],
)
def test_own_rows_that_cannot_be_are_refused(own: Any, part: str) -> None:
    with pytest.raises(ShellError) as caught:
        preset("medium-high", own_rows=own)
    assert part in str(caught.value)


def test_a_missing_hole_counts_in_the_members_own_rows() -> None:
    own = (("L3", (HoleRow(0.5, 0.02), HoleRow(0.7, 0.02))),)
    parameters = preset("medium-high", own_rows=own, missing_holes=(("L3", 1),))
    assert [row.place_m for row in rows_of(parameters, row_members(parameters)["L3"])] == [0.7]
    with pytest.raises(ShellError, match="row 3 of L3; accepted is 1 to 2"):
        preset("medium-high", own_rows=own, missing_holes=(("L3", 3),))
