"""One way by itself, to be asked what it admits."""

from __future__ import annotations

from typing import Any

import numpy as np

from ribway.router.paths.admission import Item
from ribway.router.space.types import NOWHERE, Mouth, Way
from ribway.router.space.ways import clear_area_m2

NO_MOUTH = Mouth(NOWHERE, np.zeros(2), 0.0, np.zeros(2), np.zeros(3))


def round_hole(bore_mm: float, limit: float = 0.4, **changes: Any) -> Way:
    """A round hole of that clear bore."""
    return _way("round", bore_mm, bore_mm, limit, changes)


def slot(width_mm: float, length_mm: float, limit: float = 0.4, **changes: Any) -> Way:
    """A slot of that clear width and overall length."""
    return _way("slot", width_mm, length_mm, limit, changes)


def _way(shape: Any, bore_mm: float, room_mm: float, limit: float, changes: dict[str, Any]) -> Way:
    bore, room = bore_mm / 1000, room_mm / 1000
    given: dict[str, Any] = {
        "name": "hole",
        "kind": "opening",
        "member": "L1",
        "line": np.array([[0.0, 0, 0], [0.06, 0, 0]]),
        "length_m": 0.06,
        "turns": 0,
        "mouths": (NO_MOUTH, NO_MOUTH),
        "shape": shape,
        "raw_bore_m": bore + 0.004,
        "drawn_bore_m": bore + 0.004,
        "bore_m": bore,
        "room_m": room,
        "area_m2": clear_area_m2(shape, bore, room),
        "limit": limit,
        "taken_m": 0.0,
        "grommet_m": None,
        "state": "measured",
        "closed": "",
        "zone": "wall",
        "rim": np.zeros((0, 3)),
    }
    return Way(**{**given, **changes})


def cable(run: str, width_mm: float, thick_mm: float | None = None, plug_mm: float = 0.0, **changes: Any) -> Item:
    """A DC cable with a sheath; round unless a thickness is given."""
    given: dict[str, Any] = {
        "run": run,
        "kind": "dc",
        "width_m": width_mm / 1000,
        "thickness_m": (width_mm if thick_mm is None else thick_mm) / 1000,
        "plug_m": plug_mm / 1000,
        "sheathed": True,
    }
    return Item(**{**given, **changes})
