"""Fuse boards of the finished van: a way for each circuit, what is spare, what the board carries."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from ribway.models.circuits import Device
from ribway.models.project import Project
from ribway.router.circuits.passing import feeder_of
from ribway.router.circuits.runs import Feed
from ribway.router.sizes.held import CircuitSizes
from ribway.sizing.feeders.main_fuse import bar_faults
from ribway.sizing.feeders.states import FeederLoad
from ribway.sizing.fuse import FuseChoice
from ribway.sizing.protection.boards import Allotment, Board, BoardCircuit, allot_ways
from ribway.sizing.rules import SizingRules, fuse_window

MANY_AMPS = 1e5  # a board whose total nobody stated


@dataclass(frozen=True)
class Allotted:
    """A board with its ways given out.

    Args:
        device: the board.
        allotment: way by circuit, spare ways, findings.
        amps: what its circuits draw at once in the worst state [A].
        faults: sentences about its bar.
    """

    device: Device
    allotment: Allotment
    amps: float
    faults: tuple[str, ...]


def allotted(
    project: Project, feeds: Sequence[Feed], circuits: Mapping[str, CircuitSizes], rules: SizingRules
) -> tuple[Allotted, ...]:
    """Every board whose ways were stated.

    Args:
        project: what the user said.
        feeds: all circuits.
        circuits: sizes by circuit.
        rules: the rule set.
    """
    out: list[Allotted] = []
    for device in project.devices:
        if device.kind != "board" or device.ways is None or device.amps_per_way is None:
            continue
        mine: list[BoardCircuit] = []
        for feed in feeds:
            sizes = circuits.get(feed.circuit.id)
            if feed.circuit.source != device.id or feed.circuit.kind != "dc" or sizes is None:
                continue
            rating = sizes.fuse.fuse.rating_a if isinstance(sizes.fuse, FuseChoice) else feed.circuit.fuse
            if rating is not None:
                mine.append(BoardCircuit(feed.circuit.id, rating, feed.amps))
        load = feeder_of(device, "dc", project)
        summed = sum(one.load_a for one in mine)
        amps = load.worst.amps if load is not None else min(device.amps or summed, summed)
        total = device.amps_total or MANY_AMPS
        share = min(1.0, max(1e-6, amps / summed)) if summed > 0.0 else 1.0
        allotment = allot_ways(Board(device.id, (device.amps_per_way,) * device.ways, total), mine, share)
        out.append(Allotted(device, allotment, amps, tuple(_bar(device, load, feeds, circuits, rules))))
    return tuple(out)


def bars_alone(
    project: Project, feeds: Sequence[Feed], circuits: Mapping[str, CircuitSizes], rules: SizingRules
) -> Iterator[tuple[Device, str]]:
    """What is wrong with the bars of boards of which nobody stated the ways.

    Args:
        project, feeds, circuits, rules: as of `allotted`.
    """
    for device in project.devices:
        if device.kind == "board" and device.ways is None:
            for says in _bar(device, feeder_of(device, "dc", project), feeds, circuits, rules):
                yield device, says


def _bar(
    device: Device,
    load: FeederLoad | None,
    feeds: Sequence[Feed],
    circuits: Mapping[str, CircuitSizes],
    rules: SizingRules,
) -> Iterator[str]:
    """A board's bar behind the fuse that is really before it, be it chosen or stated."""
    parent = next((feed for feed in feeds if feed.circuit.kind == "dc" and device.id in feed.circuit.loads), None)
    sizes = circuits.get(parent.circuit.id) if parent is not None else None
    if parent is None or sizes is None or device.amps_total is None:
        return
    rating_a = sizes.fuse.fuse.rating_a if isinstance(sizes.fuse, FuseChoice) else parent.circuit.fuse
    yield from bar_faults(load, rating_a, device.amps_total, fuse_window(rules.fuse_window))
