"""What a browser asks for, as an edit of the project and in words."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from ribway.editing.alternatives import ALTERNATIVES, add_alternative
from ribway.editing.changes import Edit, Raw
from ribway.editing.circuits import add_circuit, set_circuit, take_out_circuit
from ribway.editing.devices import move_device, place_device, set_device, take_out_device
from ribway.editing.keep_outs import add_keep_out, set_keep_out, take_out_keep_out
from ribway.editing.openings import measure_opening, set_opening
from ribway.editing.things import entries, in_turn, names_in, set_value, take_out_thing

Asked = Mapping[str, Any]

OF_THE_WHOLE = ("add alternative", "take out alternative")
"""Edits of the project as a whole, whichever way is worked on."""
LONGEST_TEXT = 400
MOST_VALUES = 200


class AskedError(ValueError):
    """A request that is no edit; the sentence says why."""


def edit_of(asked: Asked, raw: Raw) -> tuple[Edit, str]:
    """The edit that a request means.

    Args:
        asked: ``do`` and what it needs, from JSON.
        raw: the project's data as it stands.

    Returns:
        The edit, and what it does in words.

    Raises:
        AskedError: the request is not one of those known, or lacks something.
    """
    make = _EDITS.get(str(asked.get("do")))
    if make is None:
        raise AskedError(f"there is no edit {asked.get('do')!r}: known are {', '.join(_EDITS)}")
    _check(asked, 0)
    return make(asked, raw)


def _place(asked: Asked, raw: Raw) -> tuple[Edit, str]:
    device = dict(_mapping(asked, "device"))
    name = _text(device, "name")
    taken = {*names_in(raw, ("devices",)), *names_in(raw, ("circuits",))}
    device = {"id": _free_id(str(device.get("id") or name), taken), **{k: v for k, v in device.items() if k != "id"}}
    edits = [place_device(device)]
    fed_from = asked.get("fed_from")
    if fed_from:
        circuit = {"id": device["id"], "name": name, "from": str(fed_from), "to": [device["id"]]}
        edits.append(add_circuit(circuit | ({"kind": asked["kind"]} if asked.get("kind") in ("ac", "data") else {})))
    return in_turn(*edits), f"add {name}"


def _move(asked: Asked, raw: Raw) -> tuple[Edit, str]:
    return move_device(_text(asked, "id"), _mapping(asked, "at")), f"move {_text(asked, 'id')}"


def _set_device(asked: Asked, raw: Raw) -> tuple[Edit, str]:
    values = dict(asked["values"]) if isinstance(asked.get("values"), Mapping) else {}
    at, name = values.pop("at", None), _text(asked, "id")
    edits = [move_device(name, at)] if isinstance(at, Mapping) else []
    edits += [set_device(name, values)] if values else []
    if asked.get("fed_from"):
        edits.append(_fed(name, str(asked["fed_from"]), raw))
    if not edits:
        raise AskedError("values is missing")
    moved = isinstance(at, Mapping) and len(edits) == 1
    return in_turn(*edits), f"{'move' if moved else 'change'} {name}"


def _fed(name: str, source: str, raw: Raw) -> Edit:
    """Feed a thing from somewhere: its own circuit starts there; one without gets one."""
    own = [one for one in entries(raw, ("circuits",)) if isinstance(one, dict) and one.get("to") == [name]]
    if own:
        return set_circuit(str(own[0].get("id")), {"from": source})
    device = next((one for one in entries(raw, ("devices",)) if isinstance(one, dict) and one.get("id") == name), {})
    circuit = {"id": _free_id(name, set(names_in(raw, ("circuits",)))), "name": str(device.get("name") or name)}
    return add_circuit({**circuit, "from": source, "to": [name]})


def _take_out(asked: Asked, raw: Raw) -> tuple[Edit, str]:
    return take_out_device(_text(asked, "id")), f"take out {_text(asked, 'id')}"


def _circuit(asked: Asked, raw: Raw) -> tuple[Edit, str]:
    circuit = dict(_mapping(asked, "circuit"))
    circuit["id"] = _free_id(str(circuit.get("id") or _text(circuit, "name")), set(names_in(raw, ("circuits",))))
    return add_circuit(circuit), f"add circuit {circuit['id']}"


def _set_circuit(asked: Asked, raw: Raw) -> tuple[Edit, str]:
    return set_circuit(_text(asked, "id"), _mapping(asked, "values")), f"change circuit {_text(asked, 'id')}"


def _take_out_circuit(asked: Asked, raw: Raw) -> tuple[Edit, str]:
    return take_out_circuit(_text(asked, "id")), f"take out circuit {_text(asked, 'id')}"


def _opening(asked: Asked, raw: Raw) -> tuple[Edit, str]:
    name, state = _text(asked, "name"), asked.get("state")
    if state == "measured":
        sizes = {key: str(asked[key]) for key in ("size", "length", "grommet", "taken") if asked.get(key)}
        return measure_opening(name, **sizes), f"opening {name} measured"
    return set_opening(name, {"state": state or None}), f"opening {name} {state or 'as it was'}"


def _keep_out(asked: Asked, raw: Raw) -> tuple[Edit, str]:
    corner, opposite = _mapping(asked, "corner"), _mapping(asked, "opposite")
    name = _text(asked, "name")
    return add_keep_out(name, _text(asked, "why"), corner, opposite, asked.get("margin") or None), f"keep out {name}"


def _set_keep_out(asked: Asked, raw: Raw) -> tuple[Edit, str]:
    return set_keep_out(_text(asked, "name"), _mapping(asked, "values")), f"change keep-out {_text(asked, 'name')}"


def _no_keep_out(asked: Asked, raw: Raw) -> tuple[Edit, str]:
    return take_out_keep_out(_text(asked, "name")), f"take out keep-out {_text(asked, 'name')}"


def _alternative(asked: Asked, raw: Raw) -> tuple[Edit, str]:
    why = asked.get("why")
    return add_alternative(_text(asked, "name"), why.strip() if isinstance(why, str) else ""), f"add {asked['name']}"


def _no_alternative(asked: Asked, raw: Raw) -> tuple[Edit, str]:
    return take_out_thing(ALTERNATIVES, _text(asked, "name")), f"take out {_text(asked, 'name')}"


def _value(asked: Asked, raw: Raw) -> tuple[Edit, str]:
    names = asked.get("names")
    if not isinstance(names, list) or not names or not all(isinstance(one, str) for one in names):
        raise AskedError("names has to be a list of keys and ids")
    return set_value(tuple(names), asked.get("value")), f"set {' / '.join(names)}"


_EDITS: dict[str, Callable[[Asked, Raw], tuple[Edit, str]]] = {
    "place": _place,
    "move": _move,
    "set device": _set_device,
    "take out device": _take_out,
    "add circuit": _circuit,
    "set circuit": _set_circuit,
    "take out circuit": _take_out_circuit,
    "opening": _opening,
    "keep out": _keep_out,
    "set keep-out": _set_keep_out,
    "take out keep-out": _no_keep_out,
    "value": _value,
    "add alternative": _alternative,
    "take out alternative": _no_alternative,
}


def _text(asked: Asked, key: str) -> str:
    value = asked.get(key)
    if not isinstance(value, str) or not value.strip():
        raise AskedError(f"{key} is missing: it has to be a text")
    return value.strip()


def _mapping(asked: Asked, key: str) -> Mapping[str, Any]:
    value = asked.get(key)
    if not isinstance(value, Mapping) or not value:
        raise AskedError(f"{key} is missing")
    return value


def _check(value: object, depth: int) -> None:
    """Refuse what no edit needs: endless texts, deep or huge structures."""
    inside = list(value.values()) if isinstance(value, Mapping) else value if isinstance(value, list) else []
    if depth > 6 or len(inside) > MOST_VALUES or (isinstance(value, str) and len(value) > LONGEST_TEXT):
        raise AskedError("the request is longer or deeper than any edit")
    for one in inside:
        _check(one, depth + 1)


def _free_id(wanted: str, taken: set[str]) -> str:
    """An id of letters and digits made from a name; numbered if it is taken."""
    plain = "".join(sign if sign.isascii() and sign.isalnum() else "-" for sign in wanted.lower()).strip("-")
    plain = "-".join(filter(None, plain.split("-")))[:32] or "thing"
    if not plain[0].isalpha():
        plain = f"d-{plain}"
    number, found = 1, plain
    while found in taken:
        number += 1
        found = f"{plain}-{number}"
    return found
