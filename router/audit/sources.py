"""All sources that drive a short at a fuse, by the potentials of their nodes: Kirchhoff's laws as one set of equations."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

import numpy as np

from ribway.models.plan.results import PlanCircuit, PlanDevice
from ribway.router.audit.volts import Tree
from ribway.router.audit.wiring import NEGATIVES, drawn_behind

CHARGING: Final = 1.2
"""Highest over nominal voltage: common practice, no source."""
NO_OHM: Final = 1e-9


@dataclass
class Driving:
    """What drives a short at a place.

    Args:
        batteries: resistance of each by the node it stands at [ohm]; None if it is not known.
        given_a: by what limits its own current [A].
        by_plate_a: of it what only a plate says [A].
    """

    batteries: list[tuple[str, float | None]] = field(default_factory=list)
    given_a: float = 0.0
    by_plate_a: float = 0.0

    def add(self, node: str, device: PlanDevice) -> None:
        """One more source at a node."""
        if device.kind == "source" and device.gives_a is None:
            self.batteries.append((node, device.internal_ohm))
        elif device.kind in ("source", "charger"):
            self.given_a += device.amps if device.gives_a is None else device.gives_a
            self.by_plate_a += device.amps if device.gives_a is None else 0.0


def driving(tree: Tree, circuit: PlanCircuit) -> tuple[Driving, float | None]:
    """What drives a short right behind a circuit's fuse, and how much [A]; None if it is not known.

    Args:
        tree: the plan's DC runs.
        circuit: what the fuse protects.
    """
    book = tree.book
    edges: list[tuple[str, str, float]] = []
    ends = [(f"head {head}", book.devices[head]) for head in dict.fromkeys(tree.heads.values())]
    for run in tree.runs:
        own = book.circuits[run.circuit]
        if own.pattern in NEGATIVES or own.id == circuit.id:
            continue
        way = tree.there(run)
        before = way[-2] if len(way) > 1 else None
        ohm = tree.least_ohm(run) - (tree.least_ohm(before) if before is not None else 0.0)
        edges.append((before.id if before is not None else f"head {tree.heads[run.id]}", run.id, max(ohm, NO_OHM)))
        if own.load_can_feed:
            ends += [(run.id, book.devices[name]) for name in drawn_behind(book, run)]
    first = tree.there(book.runs[circuit.runs[0]])
    outside = [run.id for run in first if run.circuit != circuit.id]
    place = outside[-1] if outside else f"head {tree.heads[circuit.runs[0]]}"
    reached = _reached(place, edges)
    found = Driving()
    for node, device in ends:
        if node in reached:
            found.add(node, device)
    if any(ohm is None for _, ohm in found.batteries) or (not found.batteries and found.given_a <= 0.0):
        return found, None
    return found, _short_a(place, reached, edges, found, CHARGING * circuit.volts) + found.given_a


def _reached(place: str, edges: list[tuple[str, str, float]]) -> list[str]:
    reached, grown = [place], True
    while grown:
        grown = False
        for a, b, _ in edges:
            for here, there in ((a, b), (b, a)):
                if here in reached and there not in reached:
                    reached.append(there)
                    grown = True
    return reached


def _short_a(
    place: str, reached: list[str], edges: list[tuple[str, str, float]], found: Driving, volts: float
) -> float:
    """Current into the place at 0 V, by the potentials of all other nodes."""
    at = {node: number for number, node in enumerate(reached)}
    lead = np.zeros((len(at), len(at)))
    driven = np.zeros(len(at))
    for a, b, ohm in edges:
        if a in at:
            i, j = at[a], at[b]
            lead[[i, j], [i, j]] += 1.0 / ohm
            lead[[i, j], [j, i]] -= 1.0 / ohm
    for node, inside in found.batteries:
        siemens = 1.0 / max(inside or 0.0, NO_OHM)
        lead[at[node], at[node]] += siemens
        driven[at[node]] += siemens * volts
    rest = [number for node, number in at.items() if node != place]
    potentials = np.zeros(len(at))
    if rest and driven[rest].any():
        potentials[rest] = np.linalg.solve(lead[np.ix_(rest, rest)], driven[rest])
    return float(driven[at[place]] - lead[at[place]] @ potentials)


def weakest_ohm(tree: Tree, circuit: PlanCircuit, name: str) -> float:
    """The most resistance that any one battery's current meets to the end of a run, by the circuit's fuse [ohm]."""
    book, own = tree.book, tree.ohms(tree.book.runs[name])
    found = [(book.devices[tree.heads[name]].internal_ohm or 0.0) + sum(own.values())]
    for run in tree.runs:
        if not book.circuits[run.circuit].load_can_feed or tree.heads[run.id] != tree.heads[name]:
            continue
        if any(one.circuit == circuit.id for one in tree.there(run)):
            continue
        other = tree.ohms(run)
        apart = sum(own.get(piece, 0.0) + other.get(piece, 0.0) for piece in own.keys() ^ other.keys())
        behind = [book.devices[one] for one in drawn_behind(book, run)]
        found += [(one.internal_ohm or 0.0) + apart for one in behind if one.kind == "source" and one.gives_a is None]
    return max(found)


def fed_from_behind(tree: Tree) -> list[tuple[str, str, float]]:
    """Runs that a battery behind their circuit can feed too: run, battery, and the least fuse on its way there [A]."""
    book, found = tree.book, []
    for end in tree.runs:
        batteries = [
            one
            for one in drawn_behind(book, end)
            if book.devices[one].kind == "source" and book.devices[one].gives_a is None
        ]
        if not book.circuits[end.circuit].load_can_feed or not batteries:
            continue
        least = float("inf")
        for run in reversed(tree.there(end)):
            own = book.circuits[run.circuit]
            if run.circuit != end.circuit and least < float("inf"):
                found += [(run.id, one, least) for one in batteries]
            following = [one for one in tree.there(end) if one.circuit == run.circuit]
            if following[0] is run:  # past its circuit's own fuse
                least = min([least, *(amps for amps in (own.fuse_a, own.far_fuse_a) if amps is not None)])
    return found
