"""A wall and a roof with one circuit of each pattern: lamps, switches, a relay, a dimmer."""

from __future__ import annotations

from typing import Any

import small_vans
from plain_shells import on_roof, on_wall, project

from ribway.models.plan.plan import Plan
from ribway.models.project import Project
from ribway.router.planner import plan_on

LAMP_A = 1.5
COIL_A = 0.2
PATTERNS: dict[str, dict[str, Any]] = {
    "switched chain": {"to": ["lamp3", "lamp1", "switch1", "lamp2"]},
    "switch drop": {"to": ["lamp3", "switch1", "lamp1", "lamp2"]},
    "two-way": {"to": ["switch1", "switch2", "lamp3", "lamp1", "lamp2"]},
    "dimmer": {"to": ["dimmer", "lamp3", "lamp1", "lamp2"]},
    "relay": {"to": ["relay", "switch1", "lamp3", "lamp1", "lamp2"]},
    "relay at the board": {"to": ["switch1", "lamp3", "lamp1", "lamp2"], "pattern": "relay"},
    "sub-board": {"to": ["rear"]},
}


def lights_project(pattern: str, lamp_a: float = LAMP_A, **circuit: Any) -> Project:
    """A battery, a board and one circuit of a pattern."""
    places = {
        "battery": on_wall(0.2, 0.3, 0.06),
        "board": on_wall(0.4, 0.6, 0.06),
        "switch1": on_wall(1.5, 1.1, 0.06),
        "switch2": on_wall(0.9, 0.9, 0.06),
        "dimmer": on_wall(1.0, 1.1, 0.06),
        "relay": on_wall(0.9, 0.4, 0.06),
        "rear": on_wall(2.6, 0.6, 0.06),
        "lamp1": on_roof(0.8, 0.3, 0.06),
        "lamp2": on_roof(1.6, 0.1, 0.06),
        "lamp3": on_roof(2.7, -0.2, 0.06),
    }
    devices: dict[str, dict[str, Any]] = {
        "battery": {"kind": "source"},
        "board": {"kind": "board"},
        "rear": {"kind": "board", "amps": 10.0},
        "switch1": {"kind": "switch"},
        "switch2": {"kind": "switch"},
        "dimmer": {"kind": "switch"},
        "relay": {"kind": "controller"},
        **{f"lamp{number}": {"amps": lamp_a} for number in (1, 2, 3)},
    }
    circuits = [
        {"id": "main", "name": "Main", "from": "battery", "to": ["board"]},
        {"id": "L", "name": "Lights", "from": "board", "pattern": pattern, **PATTERNS[pattern], **circuit},
    ]
    return project(places, circuits, {"spare": "none", "slack": 5.0}, devices=devices)


def lights_plan(pattern: str, lamp_a: float = LAMP_A, **circuit: Any) -> Plan:
    """The same, planned."""
    return plan_on(lights_project(pattern, lamp_a, **circuit), small_vans.shell())
