"""Edits made in an alternative: the base stays, remarks stay, and laid over the base it is what was edited."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ruamel.yaml import YAML

from ribway.editing.alternatives import add_alternative, changed_by, in_alternative
from ribway.editing.changes import Edit, Raw, changed_data, edited, split_mappings
from ribway.editing.devices import move_device, place_device, set_device, take_out_device
from ribway.editing.keep_outs import add_keep_out
from ribway.editing.openings import block_opening, measure_opening, set_opening
from ribway.editing.things import set_value
from ribway.models.merging import merge
from ribway.models.project_faults import ProjectFaults
from ribway.models.reading import check_text
from ribway.models.yaml_text import parse_yaml

DEMO = Path(__file__).parents[3] / "docs/demo/survey-van/project.yaml"
TEXT = DEMO.read_text(encoding="utf-8")
NAMES = ("source on the right", "through the roof", "without the rear board", "AWG stock", "24 volts")
EDITS: dict[str, Edit] = {
    "move": move_device("fridge", {"wall": "left", "back": "2.40 m", "up": "0.50 m"}),
    "move what the alternative moves": move_device("battery", {"wall": "right", "back": "2.00 m", "up": "0.40 m"}),
    "other side": move_device("front-feed", {"wall": "bulkhead", "right": "0.50 m", "up": "0.35 m"}),
    "set": set_device("pump", {"amps": "8 A", "start_amps": None}),
    "place": place_device({"id": "lamp", "name": "Lamp", "at": {"wall": "roof", "back": "2 m"}, "amps": "1 A"}),
    "take out": take_out_device("step-light"),
    "block": block_opening("LS3a"),
    "block what is named there": set_opening("RS0a", {"state": "measured", "size": "42 mm"}),
    "measure": measure_opening("L3b", size="31 mm"),
    "keep out": add_keep_out(
        "shelf", "screw zone", {"wall": "left", "back": "2 m", "up": "1 m"}, {"wall": "left", "back": "2.2 m", "up": "1.1 m"}
    ),
    "run": set_value(("circuits", "C1", "drop"), "critical"),
    "no longer": set_value(("circuits", "C1", "fuse"), None),
    "setting": set_value(("shop", "slack"), "7 %"),
}  # fmt: skip


def in_order(value: object) -> object:
    """Data without the order of things in a list."""
    if isinstance(value, dict):
        return {key: in_order(item) for key, item in value.items()}
    if isinstance(value, list) and all(isinstance(item, dict) for item in value):
        return sorted((in_order(item) for item in value), key=repr)
    return value


def read(text: str) -> Raw:
    found: Raw = YAML(typ="safe").load(text)
    return found


def without(raw: Raw, *keys: str) -> Raw:
    return {key: value for key, value in raw.items() if key not in keys}


@pytest.mark.parametrize("what", EDITS)
@pytest.mark.parametrize("name", NAMES[:3])
def test_the_edit_comes_out_of_that_alternative_and_nothing_else_changes(name: str, what: str) -> None:
    """Against the edit made on the merged data by itself, read back by another reader of YAML."""
    before = changed_by(parse_yaml(TEXT, "").raw, name)
    wanted = changed_data(before, split_mappings(before, EDITS[what](before)))
    text = edited(TEXT, in_alternative(name, EDITS[what]))
    old, new = read(TEXT), read(text)
    assert without(new, "alternatives") == without(old, "alternatives")
    others = [[one for one in raw["alternatives"] if one["name"] != name] for raw in (old, new)]
    assert others[0] == others[1]
    change = next(one["change"] for one in new["alternatives"] if one["name"] == name)
    merged, problems = merge(parse_yaml(text, "").raw, change)
    assert problems == []
    assert in_order(without(merged, "alternatives")) == in_order(wanted)
    kept = [line.partition("#")[2] for line in TEXT.splitlines() if "#" in line]
    assert [line.partition("#")[2] for line in text.splitlines() if "#" in line] == kept


@settings(max_examples=6, deadline=None)
@given(st.lists(st.tuples(st.sampled_from(list(EDITS)), st.sampled_from(NAMES)), min_size=2, max_size=4))
def test_edits_follow_each_other(moves: list[tuple[str, str]]) -> None:
    text = TEXT
    wanted = {name: changed_by(parse_yaml(TEXT, "").raw, name) for name in NAMES}
    for what, name in moves:
        try:
            now = changed_data(wanted[name], split_mappings(wanted[name], EDITS[what](wanted[name])))
        except ProjectFaults:
            continue  # what was added is there already, or gone
        text = edited(text, in_alternative(name, EDITS[what]))
        wanted[name] = now
    for name, project in wanted.items():
        assert in_order(changed_by(parse_yaml(text, "").raw, name)) == in_order(project)


def test_what_is_put_back_leaves_no_word_about_it() -> None:
    back = read(TEXT)["devices"]
    fridge = next(one["at"] for one in back if one["id"] == "fridge")
    moved = edited(TEXT, in_alternative("24 volts", EDITS["move"]))
    again = edited(moved, in_alternative("24 volts", move_device("fridge", fridge)))
    assert read(again) == read(TEXT)


def test_a_new_alternative_begins_as_the_base_and_takes_edits() -> None:
    text = edited(TEXT, add_alternative("fridge at the back", "more room for the bench"))
    assert changed_by(parse_yaml(text, "").raw, "fridge at the back") == without(
        parse_yaml(TEXT, "").raw, "alternatives"
    )
    text = edited(text, in_alternative("fridge at the back", EDITS["move"]))
    assert check_text(text, "project.yaml", DEMO.parent).alternatives
    assert read(text)["alternatives"][-1]["change"] == {
        "devices": {"fridge": {"at": {"wall": "left", "back": "2.40 m", "up": "0.50 m"}}}
    }
    with pytest.raises(ProjectFaults, match="already"):
        edited(text, add_alternative("fridge at the back"))
    with pytest.raises(ProjectFaults, match="did you mean fridge at the back"):
        edited(text, in_alternative("fridge at back", EDITS["move"]))
