"""A battery board on a plain wall: battery, fuse, isolator and bus on it, a fuse board and loads off it."""

from __future__ import annotations

from functools import cache
from typing import Any

import small_vans
from plain_shells import on_roof, on_wall, project

from ribway.models.plan.plan import Plan
from ribway.models.project import Project
from ribway.router.planner import plan_on

WIDTH, HEIGHT = 0.5, 0.4
ON_BOARD: dict[str, tuple[float, float]] = {
    "battery": (0.05, 0.05),
    "fuse": (0.12, 0.30),
    "isolator": (0.30, 0.30),
    "bus": (0.45, 0.10),
}
MAIN_A = 90.0


def board_project(**changes: Any) -> Project:
    """A chain across the board at 90 A and a little more, a home run off it, and two loads far away."""
    places: dict[str, dict[str, Any]] = {
        "panel": on_wall(1.15, 0.2, 0.06),
        **{name: {"on": "panel", "across": across, "up": up} for name, (across, up) in ON_BOARD.items()},
        "fuses": on_wall(1.5, 1.0, 0.06),
        "fridge": on_wall(2.7, 0.5, 0.06),
        "lamp": on_roof(2.0, 0.1, 0.06),
    }
    devices: dict[str, dict[str, Any]] = {
        "panel": {"kind": "mounting board", "width": WIDTH, "height": HEIGHT},
        "battery": {"kind": "source", "stud": "M8"},
        "fuse": {"kind": "joint", "stud": "M8"},
        "isolator": {"kind": "switch", "stud": "M10"},
        "bus": {"kind": "board", "amps": MAIN_A},
        "fuses": {"kind": "board", "stud": "M6"},
        "fridge": {"amps": 5.0, "start_amps": 9.0},
        "lamp": {"amps": 1.0},
    }
    devices = {name: {**one, **changes.get(name, {})} for name, one in devices.items()}
    circuits = [
        {"id": "main", "name": "Main", "from": "battery", "to": ["fuse", "isolator", "bus"], "pattern": "chain"},
        {"id": "B", "name": "Fuses", "from": "bus", "to": ["fuses"]},
        {"id": "C1", "name": "Fridge", "from": "fuses", "to": ["fridge"]},
        {"id": "C2", "name": "Lamp", "from": "fuses", "to": ["lamp"]},
    ]
    for circuit in circuits:
        circuit.update(changes.get(str(circuit["id"]), {}))
    return project(places, circuits, {"spare": "none", "slack": 5.0}, devices=devices)


@cache
def board_plan() -> Plan:
    """The same, planned once."""
    return plan_on(board_project(), small_vans.shell())
