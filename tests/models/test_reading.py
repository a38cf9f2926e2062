"""Reading a project file: what is right is read, and what is wrong is told with its place, all of it at once."""

from __future__ import annotations

from pathlib import Path

import pytest

from ribway.models.project_faults import Fault, ProjectFaults
from ribway.models.reading import check_text, project_file, read_project

FILE = Path(__file__).parents[1] / "samples" / "projects" / "small.yaml"
GOOD = FILE.read_text(encoding="utf-8")
FOREIGN_WORDS = ("Input should", "pydantic", "validation", "Field required", "Extra inputs", "Value error", "type=")


def faults_of(text: str) -> tuple[Fault, ...]:
    with pytest.raises(ProjectFaults) as caught:
        check_text(text, "van.yaml", FILE.parent)
    for fault in caught.value.faults:
        assert not [word for word in FOREIGN_WORDS if word in str(fault)], str(fault)
    return caught.value.faults


def changed(old: str, new: str, text: str = GOOD) -> str:
    assert text.count(old) >= 1, old
    return text.replace(old, new, 1)


def line_of(part: str, text: str) -> int:
    return text[: text.index(part)].count("\n") + 1


def test_quantities_are_read_in_si() -> None:
    project = read_project(FILE)
    devices = {device.id: device for device in project.devices}
    # 2' 9 1/2" = 33.5 x 25.4 mm (international inch); 0.5 arms of this shop's 1.75 m.
    assert devices["board"].at.up == pytest.approx(33.5 * 0.0254)
    assert project.shop.tails.board == pytest.approx(0.875)
    assert devices["fridge"].at.up == pytest.approx(0.3)
    assert devices["fan"].watts == 36.0
    assert project.vehicle.openings[0].grommet == pytest.approx(0.032)
    assert project.circuits[1].source == "board"
    assert project.circuits[2].drop == 5.0


def test_a_folder_means_its_project_yaml(tmp_path: Path) -> None:
    assert project_file(tmp_path) == tmp_path / "project.yaml"
    assert project_file(FILE) == FILE


# old text, new text, the place without its line, part of the new text on the line told, words of the sentence
ONE_FAULT = [
    ("grommet: 32 mm", "gromet: 32 mm", "vehicle / openings / L4c / gromet", "gromet", ["did you mean grommet?"]),
    ("name: Fridge\n", "nmae: Fridge\n", "devices / fridge / nmae", "nmae", ["did you mean name?"]),
    ("back: 2.4 m   #", "back: 2.4   #", "devices / fridge / at / back", "back: 2.4 ", ["2.4 is a number", "quotes"]),
    ("up: 300 mm", 'up: "300"', "devices / fridge / at / up", 'up: "300"', ["no unit", "300 mm"]),
    ('"2025-01-31"', "2025-01-31", "date", "date:", ["is a date to YAML", 'quotes, "2025-01-31"']),
    ("name: van 7", "name: 7", "vehicle / name", "name: 7", ["is a number", 'quotes, "7"']),
    ("revision: B", "revision: true", "revision", "revision", ["true is a yes/no value", 'quotes, "true"']),
    ('"16 mm2"', "0000", "circuits / main / cable", "cable:", ["0000 is a number", 'quotes, "0000"']),
    ('"16 mm2"', "#10", "circuits / main / cable", "cable:", ["takes #10", "in quotes"]),
    ('"16 mm2"', "", "circuits / main / cable", "cable:", ["nothing stands here", "quotes"]),
    ('"16 mm2"', '"6 mm"', "circuits / main / cable", "cable:", ["6 mm"]),
    ("back: 1.8 m}", "back: 1,8 m}", "devices / fan / at", "1,8", ["parts 1,8 m at its comma", '"1,8 m"']),
    ("back: 1.8 m}", "back: 1.8 m, left: -4 mm}", "devices / fan / at / left", "-4 mm",
     ["the other side is right: 4 mm"]),
    ("[twin-2x2.5,", "[2,5 mm²,", "shop / only", "2,5 mm²", ["parts 2,5 mm² at its comma", '"2,5 mm²"']),
    ("[twin-2x2.5,", "[twin-2x25,", "shop / only / item 1", "2x25", ["did you mean twin-2x2.5?"]),
    ("kind: source", "kind: sauce", "devices / battery / kind", "sauce", ["did you mean source?", "controller"]),
    ("id: fan\n    name: Roof", "id: fridge\n    name: Roof", "devices / fridge / id", "id: fridge\n    name: Roof",
     ["a second device is called fridge"]),
    ("id: fan\n    name: Fan", "id: fridge\n    name: Fan", "circuits / fridge / id", "id: fridge\n    name: Fan",
     ["a second circuit is called fridge"]),
    ("id: fan\n    name: Roof", "id: 12v\n    name: Roof", "devices / 12v / id", "12v", ["is no id", "a letter"]),
    ("to: [fridge]", "to: [frigde]", "circuits / fridge / to / item 1", "frigde", ["did you mean fridge?"]),
    ("from: battery", "from: batery", "circuits / main / from", "batery", ["did you mean battery?"]),
    ("circuit: fridge", "circuit: frige", "runs / item 1 / circuit", "frige", ["did you mean fridge?"]),
    ("from: battery", "from: board", "circuits / main / to / item 1", "to: [board]", ["the source", "its load too"]),
    ("drop: 5 %", "drop: 0 %", "circuits / fan / drop", "drop: 0 %", ["0.1 to 50 %"]),
    ("drop: 5 %", "drop: critcal", "circuits / fan / drop", "critcal", ["did you mean critical?"]),
    ("drop: critical", "fuse: 5 kA", "circuits / fridge / fuse", "5 kA", ["0.1 to 2000 A"]),
    ("amps: 5 A", "amps: -5 A", "devices / fridge / amps", "-5 A", ["-5 A"]),
    ("amps: 5 A", "amps: 5 A\n    watts: 60 W", "devices / fridge", "id: fridge", ["amps or watts, not both"]),
    ("slack: 5 %", "slack: .nan", "shop / slack", ".nan", ["number", "quotes"]),
    ("slack: 5 %", "bend_counts_above_deg: .inf", "shop / bend_counts_above_deg", ".inf", ["finite number"]),
    ("slack: 5 %", "bend_counts_above_deg: 200", "shop / bend_counts_above_deg", "200", ["not above 90"]),
    ("slack: 5 %", "bend_counts_above_deg: true", "shop / bend_counts_above_deg", "true", ["number", "true"]),
    ("slack: 5 %", "cut_step: 0 mm", "shop / cut_step", "0 mm", ["0.001 to 1 m"]),
    ("arm_length: 1.75 m", "arm_length: 17.5 m", "shop / arm_length", "17.5", ["0.5 to 3 m"]),
    ("via: [L4c]", "via: L4c", "runs / item 1 / via", "via: L4c", ["a list is accepted", "[L4c]"]),
    ("at: {wall: left, back: 1.1 m, up:", "at: {wall: left, up:", "devices / board / at", "2' 9", ["needs back"]),
    ("preset: long-high", "preset: long-high\n  mesh: no.ply", "vehicle / mesh", "no.ply", ["no mesh file"]),
    ("ribway: 1", "ribway: 2", "ribway", "ribway: 2", ["format is 2", "reads 1", "newer"]),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "place", "at", "words"), ONE_FAULT)
def test_one_mistake_is_one_sentence_with_its_place(old: str, new: str, place: str, at: str, words: list[str]) -> None:
    text = changed(old, new)
    faults = [fault for fault in faults_of(text) if not fault.place.startswith("alternatives")]
    assert faults, "no fault outside the alternatives"
    fault = next((fault for fault in faults if fault.place.rsplit(", line", 1)[0] == place), None)
    assert fault is not None, [str(fault) for fault in faults]
    assert fault.line == line_of(at, text)
    assert fault.place.endswith(f", line {fault.line}")
    assert [word for word in words if word not in fault.message] == []
    assert str(fault).startswith("van.yaml: ")


def test_a_mistake_of_the_base_is_not_told_again_for_each_alternative() -> None:
    faults = faults_of(changed("grommet: 32 mm", "gromet: 32 mm"))
    assert [fault.place for fault in faults] == ["vehicle / openings / L4c / gromet, line 13"]


def test_all_mistakes_are_told_at_once_in_the_order_of_their_lines() -> None:
    text = GOOD
    chosen = [
        ("grommet: 32 mm", "gromet: 32 mm"),
        ('"2025-01-31"', "2025-01-31"),
        ("kind: source", "kind: sauce"),
        ("back: 2.4 m   #", "back: 2.4   #"),
        ("back: 1.8 m}", "back: 1,8 m}"),
        ('"16 mm2"', "#10"),
        ("to: [fridge]", "to: [frigde]"),
        ("circuit: fridge", "circuit: frige"),
        ("name: no fan", "nmae: no fan"),
    ]
    for old, new in chosen:
        text = changed(old, new, text)
    faults = faults_of(text)
    assert len([fault for fault in faults if "with this change" not in fault.message]) == len(chosen)
    assert [fault.line for fault in faults] == sorted(fault.line for fault in faults)


def test_a_misspelt_key_is_not_told_as_a_missing_one_too() -> None:
    faults = faults_of(changed("name: Fridge\n", "nmae: Fridge\n"))
    assert len(faults) == 1


def test_a_missing_key_is_told() -> None:
    faults = faults_of(changed("    from: battery\n", ""))
    assert [(fault.place, "from is missing" in fault.message) for fault in faults] == [
        (f"circuits / main / from, line {line_of('id: main', GOOD)}", True)
    ]


def test_duplicate_keys_are_told_with_both_lines() -> None:
    faults = faults_of(changed("revision: B", "revision: B\nname: again"))
    assert [fault.message for fault in faults] == [
        "the key name stands here twice, in line 3 and in line 5: keep one of them"
    ]


BOARDS = """
  - {id: b2, name: Second board, kind: board, at: {wall: left, back: 1.2 m, up: 0.9 m}}
  - {id: b3, name: Third board, kind: board, at: {wall: left, back: 1.3 m, up: 0.9 m}}

circuits:
"""


def test_boards_in_a_ring_are_told_once() -> None:
    text = changed("\n\ncircuits:\n", BOARDS)
    text = changed(
        "circuits:\n",
        "circuits:\n  - {id: a, name: A, from: board, to: [b2]}\n  - {id: b, name: B, from: b2, to: [b3]}\n"
        "  - {id: c, name: C, from: b3, to: [b2]}\n",
        text,
    )
    messages = [fault.message for fault in faults_of(text)]
    assert [message for message in messages if "in a ring" in message] == [
        "these feed one another in a ring, b2 -> b3 -> b2: power must come from one side"
    ]
    assert [message for message in messages if "is fed by the circuits" in message] == [
        "the board b2 is fed by the circuits a and c: one of them can feed it"
    ]


def test_a_charger_between_battery_and_board_is_no_ring() -> None:
    text = changed(
        "\n\ncircuits:\n",
        "\n  - {id: charger, name: Charger, kind: charger, amps: 10 A, at: {wall: left, back: 1.2 m, up: 0.9 m}}\n\n"
        "circuits:\n  - {id: ch, name: Charger, from: board, to: [charger]}\n"
        "  - {id: chb, name: To battery, from: charger, to: [battery]}\n",
    )
    assert len(check_text(text, "van.yaml", FILE.parent).base.circuits) == 5


def test_a_stated_circuit_needs_runs() -> None:
    fault = faults_of(changed("drop: 5 %", "pattern: stated"))[0]
    assert fault.place.startswith("circuits / fan / pattern, line ")
    assert "no run names the circuit fan" in fault.message


def test_arms_are_this_shops_arms_and_a_bad_arm_length_is_one_fault() -> None:
    faults = faults_of(changed("arm_length: 1.75 m", "arm_length: 1.75"))
    assert [fault.place for fault in faults] == ["shop / arm_length, line 28"]
