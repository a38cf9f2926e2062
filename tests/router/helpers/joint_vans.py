"""Two lamps behind joints: one in a cupboard that comes out, one on a rear door; a moving duct."""

from __future__ import annotations

from functools import cache
from typing import Any

import small_vans
from plain_shells import on_roof, on_wall, project

from ribway.models.plan.plan import Plan
from ribway.models.project import Project
from ribway.router.planner import plan_on

LOOP_M = 0.4
CONTACT_OHM = 0.003
LAMP_A, PUMP_A = 2.0, 6.0


def joint_project(joint: dict[str, Any] | None = None, stock: str = "metric", pump: float = PUMP_A) -> Project:
    """A home run to a pump through a joint, and a lamp on a door that moves."""
    places: dict[str, dict[str, Any]] = {
        "battery": on_wall(0.2, 0.3, 0.06),
        "board": on_wall(0.4, 0.6, 0.06),
        "plug": on_wall(1.5, 0.5, 0.06),
        "pump": on_wall(2.1, 0.4, 0.06),
        "lamp": {**on_wall(2.8, 0.9, 0.06), "moving": "rear door", "loop": LOOP_M},
        "fan": on_roof(2.0, 0.1, 0.06),
    }
    devices: dict[str, dict[str, Any]] = {
        "battery": {"kind": "source"},
        "board": {"kind": "board"},
        "plug": {"kind": "joint", "contact_amps": 20.0, "contact_resistance": CONTACT_OHM, **(joint or {})},
        "pump": {"amps": pump},
        "lamp": {"amps": LAMP_A},
        "fan": {"amps": 1.0},
    }
    circuits: list[dict[str, Any]] = [
        {"id": "main", "name": "Main", "from": "battery", "to": ["board"]},
        {"id": "P", "name": "Pump", "from": "board", "to": ["pump", "fan"]},
        {"id": "L", "name": "Lamp", "from": "board", "to": ["lamp"]},
    ]
    runs = [{"circuit": "P", "from": "board", "to": "pump", "through": ["plug"], "tail_to": 0.7}]
    shop = {"spare": "none", "slack": 5.0, "stock": stock}
    return project(places, circuits, shop, devices=devices, runs=runs)


@cache
def joint_plan(stock: str = "metric", bears: float = 20.0) -> Plan:
    """The same, planned once."""
    return plan_on(joint_project({"contact_amps": bears}, stock), small_vans.shell())
