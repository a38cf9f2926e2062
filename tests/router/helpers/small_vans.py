"""A small but complete project on a plain shell: a battery, a board, home runs, a chain, data, AC."""

from __future__ import annotations

import random
from typing import Any

from plain_shells import Bar, Corner, Hole, on_roof, on_wall, plain_shell, project

from ribway.models.project import Project
from ribway.router.shell.parts import Shell

LENGTH, HEIGHT = 3.0, 1.6


def shell() -> Shell:
    """A wall with four ribs and a roof with four bows, three holes each, and three passages between them."""
    backs = (0.6, 1.2, 1.8, 2.4)
    ribs = [Bar(back, (Hole(0.25, bore=0.032), Hole(0.7, bore=0.03), Hole(1.2, bore=0.025))) for back in backs]
    bows = [Bar(back, (Hole(0.4, bore=0.025), Hole(0.0, bore=0.03), Hole(-0.4, bore=0.025))) for back in backs]
    corners = [Corner(0.3, bore=0.025), Corner(1.5, bore=0.032), Corner(2.7, bore=0.025)]
    return plain_shell(LENGTH, HEIGHT, ribs, bows, corners, roof=True)


def small_project(seed: int, **shop: Any) -> Project:
    """Loads at random places with random currents."""
    rng = random.Random(seed)

    def back(*bays: int) -> float:
        return round(0.3 + 0.6 * rng.choice(bays or range(5)) + rng.uniform(-0.2, 0.2), 3)

    def wall(*bays: int) -> dict[str, Any]:
        return on_wall(back(*bays), round(rng.uniform(0.1, 1.4), 3), 0.06)

    def roof(*bays: int) -> dict[str, Any]:
        return on_roof(back(*bays), round(rng.uniform(-0.7, 0.7), 3), 0.06)

    places = {
        "battery": wall(0), "board": wall(1), "fridge": wall(3, 4), "pump": wall(2, 3, 4), "usb": wall(),
        "lamp1": roof(1, 2), "lamp2": roof(3), "lamp3": roof(4), "radio": wall(1, 2), "aerial": roof(4), "inlet": wall(0),
        "socket": wall(4), "heater": wall(3),
    }  # fmt: skip
    devices: dict[str, dict[str, Any]] = {
        "battery": {"kind": "source"},
        "board": {"kind": "board"},
        "fridge": {"amps": round(rng.uniform(3, 8), 1), "start_amps": 14.0},
        "pump": {"amps": round(rng.uniform(4, 9), 1), "start_amps": 12.0},
        "usb": {"amps": round(rng.uniform(2, 8), 1)},
        "lamp1": {"amps": 0.4},
        "lamp2": {"amps": 0.4},
        "lamp3": {"amps": 0.4},
        "heater": {"amps": round(rng.uniform(1, 10), 1), "start_amps": 10.0},
        "inlet": {"kind": "source"},
        "socket": {"watts": 1500.0},
    }
    circuits = [
        {"id": "main", "name": "Main", "from": "battery", "to": ["board"], "drop": "critical"},
        {"id": "C1", "name": "Kitchen", "from": "board", "to": ["fridge", "pump"]},
        {"id": "C2", "name": "Lights", "from": "board", "to": ["lamp1", "lamp2", "lamp3"], "pattern": "chain"},
        {"id": "C3", "name": "USB", "from": "board", "to": ["usb"], "drop": rng.choice(("critical", "other"))},
        {"id": "C4", "name": "Heater", "from": "board", "to": ["heater"]},
        {"id": "D1", "name": "Aerial", "from": "radio", "to": ["aerial"], "kind": "data", "cable": "19/0.18"},
        {"id": "M1", "name": "Mains", "from": "inlet", "to": ["socket"], "kind": "ac"},
    ]
    more = {"slack": 5.0, "spare": "draw cord", "bend_costs": 0.05, "opening_costs": 0.1, **shop}
    return project(places, circuits, more, devices=devices)
