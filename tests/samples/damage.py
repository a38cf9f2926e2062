"""Damage done to a small project's data, to see it refused."""

from __future__ import annotations

import copy
from collections.abc import Callable
from typing import Any

from samples.small_lab import SMALL

Raw = dict[str, Any]
Change = Callable[[Raw], object]
Place = dict[str, str]


def parameters(**changed: object) -> Change:
    """A change of the shell's parameters."""
    return lambda raw: raw["vehicle"]["parameters"].update(changed)


def _place(wall: str, back: str, **more: str) -> Place:
    return {"wall": wall, "back": back, **more}


def _way(name: str, **more: object) -> Raw:
    return {"name": name, "kind": "over", "gap": "10 mm", **more}


STRAY_DEVICES: dict[str, Place] = {
    "far": _place("right", "9.0 m", up="0.5 m"),
    "high": _place("right", "1.0 m", up="1.9 m"),
    "glass": _place("left", "1.07 m", up="1.3 m"),
    "aside": _place("roof", "1.0 m", left="2 m"),
    "rib": _place("right", "0.84 m", up="0.5 m", stand_off="20 mm"),
    "loose": {"x": "-1 m", "y": "0 m", "z": "0.9 m"},
    "bagged": _place("right", "1.05 m", up="1.2 m"),
}


def strays() -> Raw:
    """The small project with sixteen places and names that its shell does not have."""
    raw = copy.deepcopy(SMALL)
    vehicle = raw["vehicle"]
    vehicle["keep_outs"] = [
        _keep_out("bag", "airbag", _place("right", "0.95 m", up="1.1 m"), _place("right", "1.15 m", up="1.3 m")),
        _keep_out("nowhere", "heat", _place("right", "5 m", up="0.3 m"), _place("right", "6 m", up="0.6 m")),
    ]
    vehicle["openings"] = [{"name": "L2x"}, {"name": "Z9"}]
    path = [_place("left", "0.6 m", up="0.8 m"), _place("left", "7 m", up="0.8 m")]
    vehicle["ways"] = [
        {"name": "tube", "kind": "duct", "bore": "30 mm", "path": path},
        _way("gap", member="B12", at=_place("roof", "0.84 m")),
        _way("beside", member="B2", at=_place("roof", "1.1 m")),
    ]
    raw["devices"] += [
        {"id": name, "name": name.title(), "amps": "1 A", "at": place} for name, place in STRAY_DEVICES.items()
    ]
    raw["circuits"].append({"id": "C4", "name": "Strays", "from": "board", "to": list(STRAY_DEVICES)})
    raw["runs"] = [
        {"circuit": "C1", "from": "board", "to": "fridge", "via": ["LS22a"]},
        {"circuit": "C2", "from": "board", "to": "lamp", "avoid": ["B2x"]},
    ]
    raw["shop"]["lay_by_bay"] = {"left 9 lower": "taut"}
    return raw


def _keep_out(name: str, why: str, corner: Place, opposite: Place) -> Raw:
    return {"name": name, "why": why, "corner": corner, "opposite": opposite}
