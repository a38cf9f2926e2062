"""Alternatives: a change laid over the base, and a change that does not fit told with its line."""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

import pytest

from ribway.models.alternatives import alternative_project, read_all, with_changes
from ribway.models.project_faults import ProjectFaults
from ribway.models.reading import check_text

FILE = Path(__file__).parents[1] / "samples" / "projects" / "small.yaml"
GOOD = FILE.read_text(encoding="utf-8")

BASE: dict[str, Any] = {
    "name": "van",
    "shop": {"slack": "5 %", "tails": {"thin": "0.3 m", "board": "0.6 m"}},
    "devices": [
        {"id": "fridge", "name": "Fridge", "at": {"wall": "left", "back": "2 m", "up": "1 m"}},
        {"id": "fan", "name": "Fan", "at": {"wall": "roof", "back": "1 m"}},
    ],
    "circuits": [{"id": "all", "name": "All", "from": "board", "to": ["fridge", "fan"]}],
    "runs": [{"circuit": "all", "from": "board", "to": "fan", "via": ["B2a"]}],
    "vehicle": {"openings": [{"name": "L4b", "size": "38 mm"}]},
}


def merged(change: dict[str, Any]) -> dict[str, Any]:
    before = copy.deepcopy((BASE, change))
    result = with_changes(BASE, change)
    assert (BASE, change) == before, "an argument was changed"
    return result


def refused(change: dict[str, Any]) -> str:
    with pytest.raises(ProjectFaults) as caught:
        with_changes(BASE, change)
    return str(caught.value)


def test_nothing_changed_is_the_base() -> None:
    assert merged({}) == BASE


def test_mappings_merge_key_by_key() -> None:
    result = merged({"shop": {"tails": {"thin": "0.2 m"}, "lay": "taut"}})
    assert result["shop"] == {"slack": "5 %", "tails": {"thin": "0.2 m", "board": "0.6 m"}, "lay": "taut"}
    assert result["devices"] == BASE["devices"]


@pytest.mark.parametrize("form", ["list", "mapping"])
def test_things_merge_by_id_in_either_form(form: str) -> None:
    at = {"at": {"back": "3 m"}}
    change = {"devices": [{"id": "fridge", **at}]} if form == "list" else {"devices": {"fridge": at}}
    result = merged(change)
    assert result["devices"][0]["at"] == {"wall": "left", "back": "3 m", "up": "1 m"}
    assert result["devices"][1] == BASE["devices"][1]


def test_things_without_id_merge_by_name_and_runs_by_their_ends() -> None:
    result = merged({
        "vehicle": {"openings": [{"name": "L4b", "state": "measured"}]},
        "runs": [{"circuit": "all", "from": "board", "to": "fan", "avoid": ["B2b"]}],
    })  # fmt: skip
    assert result["vehicle"]["openings"] == [{"name": "L4b", "size": "38 mm", "state": "measured"}]
    assert result["runs"] == [{"circuit": "all", "from": "board", "to": "fan", "via": ["B2a"], "avoid": ["B2b"]}]


def test_a_run_with_other_ends_is_a_run_more() -> None:
    more = {"circuit": "all", "from": "board", "to": "fridge"}
    assert merged({"runs": [more]})["runs"] == [BASE["runs"][0], more]


def test_lists_of_plain_values_are_replaced() -> None:
    assert merged({"circuits": [{"id": "all", "to": ["fan"]}]})["circuits"][0]["to"] == ["fan"]


def test_nothing_removes_a_key_or_a_thing() -> None:
    result = merged({"shop": {"slack": None}, "devices": {"fan": None}})
    assert "slack" not in result["shop"]
    assert [device["id"] for device in result["devices"]] == ["fridge"]


def test_a_complete_thing_is_added() -> None:
    lamp = {"id": "lamp", "name": "Lamp", "at": {"wall": "roof", "back": "2 m"}}
    assert merged({"devices": [lamp]})["devices"][2] == lamp
    named = {key: value for key, value in lamp.items() if key != "id"}
    assert merged({"devices": {"lamp": named}})["devices"][2] == lamp


def test_what_the_base_does_not_have_is_refused_with_the_nearest() -> None:
    text = refused({"devices": [{"id": "frigde", "at": {"back": "1 m"}}, {"id": "fann", "amps": "3 A"}]})
    assert "no frigde under devices, and to be added it lacks name: did you mean fridge?" in text
    assert "no fann under devices, and to be added it lacks name, at: did you mean fan?" in text
    assert "no fann under devices: did you mean fan?" in refused({"devices": {"fann": None}})
    assert "there is no slck to remove: did you mean slack?" in refused({"shop": {"slck": None}})


def test_format_and_alternatives_are_not_for_changing() -> None:
    assert "cannot change ribway" in refused({"ribway": 2})
    assert "cannot change alternatives" in refused({"alternatives": []})


def test_alternatives_of_a_file() -> None:
    base, changed = read_all(FILE)
    assert list(changed) == ["fridge right", "no fan", "second light"]
    assert [device.id for device in changed["no fan"].devices] == ["battery", "board", "fridge"]
    assert changed["fridge right"].devices[2].at.wall == "right"
    assert changed["fridge right"].runs[0].via == ()
    assert [circuit.id for circuit in changed["second light"].circuits] == ["main", "fridge", "fan", "lamp"]
    assert base.devices[2].at.wall == "left"
    assert alternative_project(FILE, "no fan") == changed["no fan"]
    assert alternative_project(FILE, "") == base


def test_an_unknown_alternative_is_refused_with_the_nearest() -> None:
    with pytest.raises(ProjectFaults, match=r"no alternative called nofan: did you mean no fan\?"):
        alternative_project(FILE, "nofan")


def test_data_from_code_is_checked_like_a_file() -> None:
    raw = {
        "ribway": 1,
        "name": "v",
        "vehicle": {"preset": "long-high"},
        "devices": [{"id": "a", "name": "A", "at": {"wall": "roof", "back": "1 m"}}],
        "circuits": [{"id": "c", "name": "C", "from": "a", "to": ["b"]}],
    }
    with pytest.raises(ProjectFaults, match=r"^circuits / c / to / item 1: circuit c names the device b"):
        alternative_project(raw, "")


@pytest.mark.parametrize(
    ("old", "new", "place", "at", "words"),
    [
        ("- id: fridge\n          at:", "- id: frigde\n          at:", "devices / frigde", "frigde", "mean fridge?"),
        ("wall: right, back: 2.4 m", "wall: rihgt, back: 2.4 m", "devices / fridge / at / wall", "rihgt", "right?"),
        ("wall: right, back: 2.4 m", "wall: right, back: 2.4", "devices / fridge / at / back", "back: 2.4,", "quotes"),
        ("to: [lamp]", "to: [lamb]", "circuits / lamp / to / item 1", "lamb", "did you mean lamp?"),
        ("circuits: {fan: null}", "circuits: {fam: null}", "circuits / fam", "{fam", "did you mean fan?"),
        ("devices: {fan: null}", "devices: {fan: }", "devices / fan", "{fan: }", "write null to remove"),
        ("watts: 6 W", "wats: 6 W", "devices / lamp / wats", "wats", "did you mean watts?"),
    ],
)  # fmt: skip
def test_a_change_that_does_not_fit_is_told_at_its_line(old: str, new: str, place: str, at: str, words: str) -> None:
    assert GOOD.count(old) == 1
    text = GOOD.replace(old, new)
    with pytest.raises(ProjectFaults) as caught:
        check_text(text, "van.yaml", FILE.parent)
    found = [fault for fault in caught.value.faults if f" / change / {place}, line " in fault.place]
    assert len(found) == 1, str(caught.value)
    assert found[0].line == text[: text.index(at)].count("\n") + 1
    assert words in found[0].message


def test_a_removed_device_that_a_circuit_still_names() -> None:
    text = GOOD.replace("      circuits: {fan: null}\n", "")
    with pytest.raises(ProjectFaults) as caught:
        check_text(text, "van.yaml", FILE.parent)
    (fault,) = caught.value.faults
    assert fault.place.startswith("alternatives / no fan / change")
    assert (
        "with this change, circuits / fan / to / item 1: circuit fan names the device fan, which is not"
        in fault.message
    )
