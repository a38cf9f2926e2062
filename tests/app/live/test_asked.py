"""What a browser asks for, made on the project's text, and read by another reader of YAML."""

from __future__ import annotations

from typing import Any

import pytest
from ruamel.yaml import YAML

from ribway.editing.changes import edited
from ribway.live.asked import AskedError, edit_of
from ribway.models.yaml_text import parse_yaml
from samples.live import SMALL

PLACE = {"wall": "roof", "back": "1 m"}


def after(asked: dict[str, Any], text: str = SMALL) -> tuple[Any, str]:
    edit, words = edit_of(asked, parse_yaml(text, "").raw)
    return YAML(typ="safe", pure=True).load(edited(text, edit)), words


def thing(data: Any, kind: str, name: str) -> Any:
    return next(one for one in data[kind] if one.get("id", one.get("name")) == name)


def test_a_new_thing_gets_an_id_of_its_own_and_a_circuit() -> None:
    data, words = after({"do": "place", "device": {"name": "Fridge", "at": PLACE, "amps": "1 A"}, "fed_from": "board"})
    assert words == "add Fridge"
    assert thing(data, "devices", "fridge-2") == {"id": "fridge-2", "name": "Fridge", "at": PLACE, "amps": "1 A"}
    assert thing(data, "circuits", "fridge-2") == {
        "id": "fridge-2", "name": "Fridge", "from": "board", "to": ["fridge-2"],
    }  # fmt: skip
    odd, _ = after({"do": "place", "device": {"name": "2nd ~ Lämp!", "at": PLACE}})
    assert thing(odd, "devices", "d-2nd-l-mp")["name"] == "2nd ~ Lämp!"


@pytest.mark.parametrize(
    ("asked", "kind", "name", "wanted"),
    [
        ({"do": "move", "id": "fridge", "at": PLACE}, "devices", "fridge", {"at": PLACE}),
        ({"do": "set device", "id": "fridge", "values": {"amps": "6 A", "at": PLACE}}, "devices", "fridge",
         {"at": PLACE, "amps": "6 A"}),
        ({"do": "set device", "id": "fridge", "values": {}, "fed_from": "battery"}, "circuits", "fridge",
         {"from": "battery"}),
        ({"do": "set circuit", "id": "main", "values": {"fuse": "60 A"}}, "circuits", "main", {"fuse": "60 A"}),
        ({"do": "add circuit", "circuit": {"name": "Main", "from": "battery", "to": ["fridge"]}}, "circuits", "main-2",
         {"to": ["fridge"]}),
    ],
)  # fmt: skip
def test_things_and_circuits_are_changed(asked: dict[str, Any], kind: str, name: str, wanted: dict[str, Any]) -> None:
    found = thing(after(asked)[0], kind, name)
    assert {key: found[key] for key in wanted} == wanted


def test_a_thing_without_a_circuit_gets_one_when_it_is_fed() -> None:
    bare = "\n".join(line for line in SMALL.splitlines() if "to: [fridge]" not in line) + "\n"
    data, _ = after({"do": "set device", "id": "fridge", "fed_from": "board"}, bare)
    assert thing(data, "circuits", "fridge")["from"] == "board"


def test_things_circuits_and_keep_outs_are_taken_out() -> None:
    assert len(after({"do": "take out device", "id": "fridge"})[0]["circuits"]) == 1
    assert len(after({"do": "take out circuit", "id": "fridge"})[0]["circuits"]) == 1
    corners = {"corner": PLACE, "opposite": {"wall": "roof", "back": "2 m"}}
    asked = {"do": "keep out", "name": "hatch", "why": "window", **corners, "margin": ""}
    data, _ = after(asked)
    assert data["vehicle"]["keep_outs"] == [{"name": "hatch", "why": "window", **corners}]
    edit, _ = edit_of(asked, parse_yaml(SMALL, "").raw)
    with_hatch = edited(SMALL, edit)
    wide, _ = after({"do": "set keep-out", "name": "hatch", "values": {"margin": "20 mm"}}, with_hatch)
    assert wide["vehicle"]["keep_outs"][0]["margin"] == "20 mm"
    assert "keep_outs" not in after({"do": "take out keep-out", "name": "hatch"}, with_hatch)[0]["vehicle"]


def test_openings_are_measured_blocked_and_left_as_they_were() -> None:
    measured, words = after({"do": "opening", "name": "L2a", "state": "measured", "size": "30 mm", "grommet": ""})
    assert words == "opening L2a measured"
    assert measured["vehicle"]["openings"] == [{"name": "L2a", "size": "30 mm", "state": "measured"}]
    assert (
        after({"do": "opening", "name": "L2a", "state": "blocked"})[0]["vehicle"]["openings"][0]["state"] == "blocked"
    )
    assert "openings" not in after({"do": "opening", "name": "L2a", "state": None})[0]["vehicle"]


@pytest.mark.parametrize("asked", [{}, {"do": "place"}, {"do": "set device", "id": "fridge"}, {"do": "move", "id": 3}])
def test_what_lacks_something_is_no_edit(asked: dict[str, Any]) -> None:
    with pytest.raises(AskedError):
        edit_of(asked, parse_yaml(SMALL, "").raw)
