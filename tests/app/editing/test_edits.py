"""Edits of a project's text: what was asked is done, and not a byte besides; another reader of YAML sees the same."""

from __future__ import annotations

import copy
import difflib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ruamel.yaml import YAML

from ribway.editing.changes import Edit, changed_data, edited, split_mappings
from ribway.editing.circuits import add_circuit, set_circuit, take_out_circuit
from ribway.editing.devices import move_device, place_device, set_device, take_out_device
from ribway.editing.keep_outs import add_keep_out, set_keep_out, take_out_keep_out
from ribway.editing.openings import (
    add_opening,
    block_opening,
    confirm_opening,
    measure_opening,
    move_opening,
    rename_opening,
    set_opening,
    take_out_opening,
)
from ribway.editing.things import in_turn, set_value
from ribway.models.project_faults import ProjectFaults
from ribway.models.reading import check_text
from ribway.models.yaml_text import parse_yaml

FOLDER = Path(__file__).parents[2] / "samples" / "projects"
GOOD = (FOLDER / "small.yaml").read_text(encoding="utf-8")


def other_reader(text: str) -> Any:
    """The data as a YAML reader finds it that shares nothing with the edits but its author."""
    return YAML(typ="safe", pure=True).load(text)


def diff(old: str, new: str) -> list[str]:
    """Removed and added lines."""
    lines = difflib.unified_diff(old.splitlines(), new.splitlines(), lineterm="", n=0)
    return [line for line in lines if not line.startswith(("---", "+++", "@@"))]


def remarks(text: str) -> list[str]:
    return [line[line.index("#") :] for line in text.splitlines() if "#" in line]


@pytest.mark.parametrize(
    ("edit", "lines"),
    [
        (move_device("fan", {"wall": "roof", "back": "2 m"}),
         ["-    at: {wall: roof, back: 1.8 m}", "+    at: {wall: roof, back: 2 m}"]),
        (move_device("fan", {"wall": "left", "back": "1.8 m", "up": "1' 2\""}),
         ["-    at: {wall: roof, back: 1.8 m}", "+    at: {wall: left, back: 1.8 m, up: 1' 2\"}"]),
        (move_device("board", {"wall": "left", "back": "1.1 m", "up": "3' 1\""}),
         ['-    at: {wall: left, back: 1.1 m, up: "2\' 9 1/2\\""}', '+    at: {wall: left, back: 1.1 m, up: "3\' 1\\""}']),
        (move_device("fridge", {"wall": "left", "back": "2.5 m", "up": "300 mm"}),
         ["-      back: 2.4 m   # to the left foot", "+      back: 2.5 m   # to the left foot"]),
        (place_device({"id": "spot", "name": "Spot", "at": {"wall": "roof", "back": "1 m"}, "amps": "1 A"}),
         ["+  - id: spot", "+    name: Spot", "+    at: {wall: roof, back: 1 m}", "+    amps: 1 A"]),
        (set_device("fan", {"watts": None, "amps": "3 A"}), ["-    watts: 36 W", "+    amps: 3 A"]),
        (add_circuit({"id": "spot", "name": "Spot", "from": "board", "to": ["fridge"]}),
         ["+  - id: spot", "+    name: Spot", "+    from: board", "+    to: [fridge]"]),
        (set_circuit("main", {"cable": "25 mm2"}),
         ['-    cable: "16 mm2"   # a pair of singles', '+    cable: "25 mm2"   # a pair of singles']),
        (block_opening("L4c"), ["-      state: measured", "+      state: blocked"]),
        (block_opening("R4d"), ["+    - name: R4d", "+      state: blocked"]),
        (measure_opening("L4c", size="40 mm"), ["-      size: 38 mm", "+      size: 40 mm"]),
        (add_keep_out("pipe", "heat", {"wall": "floor", "back": "1 m"}, {"wall": "floor", "back": "2 m"}, "20 mm"),
         ["+    - name: pipe", "+      why: heat", "+      corner: {wall: floor, back: 1 m}",
          "+      opposite: {wall: floor, back: 2 m}", "+      margin: 20 mm"]),
        (set_keep_out("airbag", {"margin": "30 mm"}), ["+      margin: 30 mm"]),
        (set_value(("shop", "slack"), "6 %"), ["-  slack: 5 %", "+  slack: 6 %"]),
    ],
)  # fmt: skip
def test_an_edit_touches_its_own_lines(edit: Edit, lines: list[str]) -> None:
    new = edited(GOOD, edit)
    assert diff(GOOD, new) == lines
    assert remarks(new) == remarks(GOOD)
    check_text(new, "small.yaml", FOLDER)


def test_the_first_keep_out_and_the_last_one_bring_and_take_the_list() -> None:
    without = edited(GOOD, take_out_keep_out("airbag"))
    assert "keep_outs" not in without
    corners = ({"wall": "left", "back": "0.1 m", "up": "1.2 m"}, {"wall": "left", "back": "1.0 m", "up": "1.5 m"})
    again = edited(without, add_keep_out("airbag", "curtain airbag", *corners))
    assert other_reader(again) == other_reader(GOOD)
    assert edited(again, take_out_keep_out("airbag")) == without


def test_a_device_taken_out_takes_what_leads_to_it() -> None:
    new = edited(GOOD, take_out_device("fan"))
    left = other_reader(new)
    assert [device["id"] for device in left["devices"]] == ["battery", "board", "fridge"]
    assert [circuit["id"] for circuit in left["circuits"]] == ["main", "fridge"]
    assert [one["name"] for one in left["alternatives"]] == ["fridge right", "second light"]
    check_text(new, "small.yaml", FOLDER)
    wished = other_reader(edited(GOOD, take_out_device("fridge")))
    assert "runs" not in wished
    assert [one["name"] for one in wished["alternatives"]] == ["no fan", "second light"]


def test_a_load_of_several_leaves_its_circuit_to_the_others() -> None:
    both = edited(GOOD, set_circuit("fan", {"to": ["fan", "fridge"]}))
    assert other_reader(edited(both, take_out_device("fridge")))["circuits"][1]["to"] == ["fan"]


def test_a_circuit_taken_out_takes_the_wishes_for_its_runs() -> None:
    assert {"runs", "circuits"} & set(other_reader(edited(GOOD, take_out_circuit("fridge")))) == {"circuits"}


def test_openings_of_a_mesh_are_added_moved_renamed_and_taken_out() -> None:
    hole = {"name": "H1", "member": "L4", "at": {"x": "-1 m", "y": "0.8 m", "z": "0.5 m"}, "axis": "x", "size": "30 mm"}
    new = edited(GOOD, add_opening(hole))
    assert other_reader(new)["vehicle"]["openings"][1] == hole
    moved = edited(new, move_opening("H1", {"x": "-1.2 m", "y": "0.8 m", "z": "0.5 m"}))
    assert other_reader(moved)["vehicle"]["openings"][1]["at"]["x"] == "-1.2 m"
    named = other_reader(edited(moved, rename_opening("L4c", "L4-upper")))
    assert named["vehicle"]["openings"][0]["name"] == "L4-upper"
    assert named["runs"][0]["via"] == ["L4-upper"]
    assert edited(moved, take_out_opening("H1")) == GOOD
    assert other_reader(edited(GOOD, confirm_opening("R3b")))["vehicle"]["openings"][1] == {
        "name": "R3b", "state": "measured"
    }  # fmt: skip
    with pytest.raises(ProjectFaults, match="called L4c already"):
        edited(new, rename_opening("H1", "L4c"))


def test_a_device_of_the_sheet_gets_a_line_that_goes_before_it() -> None:
    text = "ribway: 1\nname: x\nequipment: list.csv   # the sheet\n"
    moved = edited(text, move_device("fridge", {"wall": "roof", "back": "1 m"}))
    assert moved == text + "devices:\n  - {id: fridge, at: {wall: roof, back: 1 m}}\n"
    assert edited(moved, take_out_device("fridge")) == text
    with pytest.raises(ProjectFaults, match="equipment sheet"):
        edited(text, take_out_device("fridge"))


@pytest.mark.parametrize(
    ("edit", "words"),
    [
        (set_value(("devices", "frigde", "amps"), "2 A"), "there is no frigde to change: did you mean fridge"),
        (place_device({"id": "fan", "name": "Fan"}), "one called fan already"),
        (take_out_keep_out("airbgs"), "did you mean airbag"),
        (take_out_circuit("mian"), "did you mean main"),
    ],
)
def test_what_is_not_there_is_refused(edit: Edit, words: str) -> None:
    with pytest.raises(ProjectFaults) as caught:
        edited(GOOD, edit)
    assert words in str(caught.value)


def test_a_value_shared_by_an_anchor_is_refused() -> None:
    text = GOOD.replace("back: 2.4 m   #", "back: &far 2.4 m   #").replace("back: 1.8 m}", "back: *far }")
    with pytest.raises(ProjectFaults, match="change it by hand"):
        edited(text, set_value(("devices", "fan", "at", "back"), "2 m"))


def test_windows_line_ends_stay() -> None:
    text = GOOD.replace("\n", "\r\n")
    new = edited(text, place_device({"id": "spot", "name": "Spot", "at": {"wall": "roof", "back": "1 m"}}))
    new = edited(new, set_value(("vehicle", "furniture"), None))
    assert new.count("\r\n") == new.count("\n") == text.count("\n") + 3


LENGTHS = st.one_of(
    st.integers(1, 3000).map(lambda mm: f"{mm} mm"),
    st.integers(1, 300).map(lambda cm: f"{cm / 100:g} m"),
    st.tuples(st.integers(0, 9), st.integers(0, 11)).map(lambda one: f"{one[0]}' {one[1]} 1/2\""),
)
NAMES = st.text(st.characters(codec="utf-8", categories=("L", "N", "P", "S", "Zs")), min_size=1, max_size=12)
IDS = st.sampled_from(["battery", "board", "fridge", "fan"])


@st.composite
def places(draw: Callable[..., Any]) -> dict[str, str]:
    wall = draw(st.sampled_from(["left", "right", "roof", "floor"]))
    second = "up" if wall in ("left", "right") else draw(st.sampled_from(["left", "right"]))
    return {"wall": wall, "back": draw(LENGTHS), second: draw(LENGTHS)}


@settings(max_examples=15)
@given(name=IDS, at=places(), comes=NAMES, value=st.one_of(LENGTHS, st.just("2,5 m")))
def test_what_is_read_back_is_what_was_asked(name: str, at: dict[str, str], comes: str, value: str) -> None:
    edit = in_turn(
        move_device(name, at),
        set_device(name, {"name": comes, "tail": value}),
        place_device({"id": "fresh", "name": comes, "at": at}),
        add_keep_out("fresh", comes, at, at, value),
        block_opening("R2b"),
    )
    new = edited(GOOD, edit)
    wanted = copy.deepcopy(other_reader(GOOD))
    device = next(one for one in wanted["devices"] if one["id"] == name)
    device.update(at=at, name=comes, tail=value)
    wanted["devices"].append({"id": "fresh", "name": comes, "at": at})
    wanted["vehicle"]["keep_outs"].append(
        {"name": "fresh", "why": comes, "corner": at, "opposite": at, "margin": value}
    )
    wanted["vehicle"]["openings"].append({"name": "R2b", "state": "blocked"})
    assert other_reader(new) == wanted
    raw = parse_yaml(GOOD, "").raw
    assert changed_data(raw, split_mappings(raw, edit(raw))) == wanted
    kept = [one for one in remarks(GOOD) if "left foot" not in one]
    assert [one for one in remarks(new) if one in kept] == kept  # the fridge's foot goes with its distance


@settings(max_examples=5)
@given(name=IDS, at=places(), value=LENGTHS)
def test_an_edit_and_its_inverse_give_the_same_text(name: str, at: dict[str, str], value: str) -> None:
    raw = parse_yaml(GOOD, "").raw
    here = next(one["at"] for one in raw["devices"] if one["id"] == name)
    inverses: list[tuple[Edit, Edit]] = [
        (move_device(name, here | {"back": value}), move_device(name, here)),
        (place_device({"id": "fresh", "name": "Fresh", "at": at}), take_out_device("fresh")),
        (set_device(name, {"tail": value}), set_device(name, {"tail": None})),
        (block_opening("L5b"), set_opening("L5b", {"state": None})),
        (set_opening("L4c", {"state": "blocked", "size": value}),
         set_opening("L4c", {"state": "measured", "size": "38 mm"})),
        (add_keep_out("fresh", "heat", at, at, value), take_out_keep_out("fresh")),
        (rename_opening("L4c", "fresh"), rename_opening("fresh", "L4c")),
        (set_value(("shop", "slack"), "9 %"), set_value(("shop", "slack"), "5 %")),
    ]  # fmt: skip
    for there, back in inverses:
        assert edited(edited(GOOD, there), back) == GOOD
