"""A board with three home runs at the far end of a plain van, and earth points at either end."""

from __future__ import annotations

from functools import cache
from typing import Any

import small_vans
from plain_shells import on_roof, on_wall, project

from ribway.models.plan.plan import Plan
from ribway.models.project import Project
from ribway.router.planner import plan_on

AMPS = {"pump": 5.0, "fan": 2.0, "usb": 3.0}
BODY_OHM = 0.004
CONTACT_OHM = 0.003


def negative_project(back: str, joint: bool = False, **more: Any) -> Project:
    """Circuits P, F and U with one kind of return; with a chassis return the bond too; the pump through a joint if wanted."""
    places: dict[str, dict[str, Any]] = {
        "battery": on_wall(0.2, 0.3, 0.06),
        "board": on_wall(0.4, 0.6, 0.06),
        "pump": on_wall(2.7, 0.4, 0.06),
        "fan": on_roof(2.0, 0.1, 0.06),
        "usb": on_wall(2.1, 0.9, 0.06),
        "front earth": on_wall(0.3, 0.1, 0.06),
        "plug": on_wall(1.5, 0.5, 0.06),
        "rear earth": on_wall(2.65, 0.15, 0.06),
    }
    places = {name.replace(" ", "-"): at for name, at in places.items()}
    devices: dict[str, dict[str, Any]] = {
        "battery": {"kind": "source"},
        "board": {"kind": "board"},
        **{name: {"amps": amps} for name, amps in AMPS.items()},
        "pump": {"amps": AMPS["pump"], "start_amps": 8.0},
        "plug": {"kind": "joint", "contact_amps": 20.0, "contact_resistance": CONTACT_OHM},
        "front-earth": {"kind": "earth point", "allowed_by_maker": True},
        "rear-earth": {"kind": "earth point", "allowed_by_maker": True},
    }
    says: dict[str, Any] = {"return": back}
    if back == "chassis":
        says["earth"] = "rear-earth"
    circuits: list[dict[str, Any]] = [
        {"id": "main", "name": "Main", "from": "battery", "to": ["board"], "drop": "critical"},
        {"id": "P", "name": "Pump", "from": "board", "to": ["pump"], **says},
        {"id": "F", "name": "Fan", "from": "board", "to": ["fan"], **says},
        {"id": "U", "name": "Sockets", "from": "board", "to": ["usb"], **says},
    ]
    if back == "chassis":
        circuits.append({"id": "B", "name": "Bond", "from": "battery", "to": ["front-earth"], "pattern": "bond"})
    shop = {"spare": "none", "slack": 5.0, "body_resistance": BODY_OHM, **more}
    if not joint:
        del places["plug"]
    runs = [{"circuit": "P", "from": "board", "to": "pump", "through": ["plug"]}] if joint else []
    return project(places, circuits, shop, devices=devices, runs=runs)


@cache
def negative_plan(back: str, joint: bool = False) -> Plan:
    """The same, planned once."""
    return plan_on(negative_project(back, joint), small_vans.shell())
