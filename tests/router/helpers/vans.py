"""Preset vans with devices at random places, ready to be routed."""

from __future__ import annotations

import random
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

import numpy as np
from plain_shells import project

from ribway.models.project import Project
from ribway.router.faults import RouterFaults
from ribway.router.laying.layer import Laid, Layer
from ribway.router.paths.search import Path, Searcher
from ribway.router.shell.build import build
from ribway.router.shell.parts import Shell
from ribway.router.shell.presets import preset
from ribway.router.space.build import build_space
from ribway.router.space.network import Network, build_network
from ribway.router.space.types import Space


@dataclass(frozen=True, eq=False)
class Van:
    """A shell, its space with devices on it, and the network."""

    shell: Shell
    space: Space
    network: Network
    places: dict[str, dict[str, Any]]

    def routes(self, count: int, seed: int) -> list[tuple[int, int, Path, Laid]]:
        """Shortest routes between random devices: portals, path, and how it is laid. Every one of them exists."""
        rng = random.Random(seed)
        search, layer = Searcher(self.network), Layer(self.network)
        out = []
        for _ in range(count):
            a, b = rng.sample(range(len(self.space.portals)), 2)
            path = search.path(a, b, self.network.length + 0.05 * self.network.turns, np.zeros(self.network.ways))
            assert path is not None, (self.space.portals[a].device, self.space.portals[b].device)
            out.append((a, b, path, layer.lay(path, a, b)))
        return out


def random_places(shell: Shell, count: int, seed: int) -> dict[str, dict[str, Any]]:
    """Tape places on walls, roof, floor and bulkhead; some of them will be refused."""
    rng = random.Random(seed)
    out: dict[str, dict[str, Any]] = {}
    for k in range(count):
        wall = rng.choice(("left", "right", "roof", "roof", "floor", "bulkhead"))
        back = round(rng.uniform(0.1, shell.length_m - 0.1), 4)
        side = {rng.choice(("left", "right")): round(rng.uniform(0.0, 0.65), 4)}
        if wall in ("left", "right"):
            place = {"back": back, "up": round(rng.uniform(0.1, 1.55), 4)}
        elif wall == "bulkhead":
            place = {"up": round(rng.uniform(0.2, 1.6), 4), **side}
        else:
            place = {"back": back, **side}
        out[f"d{k}"] = {"wall": wall, **place}
    return out


@cache
def van(name: str, devices: int, seed: int) -> Van:
    """A preset with about that many devices: places that the router refuses are left out, the rest must do. Built once."""
    shell = build(preset(name))
    places = random_places(shell, devices, seed)
    try:
        build_space(_with(places), replace(shell, openings=()))  # places are looked at without the holes: quicker
    except RouterFaults as faults:
        refused = {fault.place.split(" / ")[1] for fault in faults.faults}
        assert len(refused) < devices / 2, "most places of a van are good places"
        places = {key: at for key, at in places.items() if key not in refused}
    space = build_space(_with(places), shell)
    return Van(shell, space, build_network(space), places)


def _with(places: dict[str, dict[str, Any]]) -> Project:
    first, second = list(places)[:2]
    return project(places, [{"id": "C", "name": "C", "from": first, "to": [second]}])
