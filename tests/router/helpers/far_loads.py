"""A board with three loads at the far end of a long wall: where further boards pay."""

from __future__ import annotations

from functools import cache
from typing import Any

from plain_shells import Bar, Hole, on_wall, plain_shell, project

from ribway.models.project import Project
from ribway.router.shell.parts import Shell

LENGTH = 6.0


@cache
def wall() -> Shell:
    """A long wall with a rib every metre, two holes each."""
    ribs = [Bar(float(back), (Hole(0.3, bore=0.04), Hole(0.8, bore=0.04))) for back in range(1, 6)]
    return plain_shell(LENGTH, 1.2, ribs)


def van() -> Project:
    """Three loads at the far end of a long wall, one beside the board."""
    at = {"battery": on_wall(0.2, 0.4), "board": on_wall(0.5, 0.5), "near": on_wall(0.7, 0.9)}
    at |= {"far1": on_wall(5.4, 0.4), "far2": on_wall(5.5, 0.7), "far3": on_wall(5.7, 0.9)}
    devices: dict[str, dict[str, Any]] = {"battery": {"kind": "source"}, "board": {"kind": "board"}}
    devices |= {name: {"amps": 2.0} for name in ("near", "far1", "far2", "far3")}
    circuits = [{"id": "main", "name": "main", "from": "battery", "to": ["board"]}]
    circuits += [
        {"id": f"C-{name}", "name": name, "from": "board", "to": [name], "drop": "critical"}
        for name in ("near", "far1", "far2", "far3")
    ]
    return project(at, circuits, devices=devices)
