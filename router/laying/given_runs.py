"""Runs whose way or length a person gives: checked against the shell, and laid without a search where they are taped."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np

from ribway.models.circuits import RunEntry
from ribway.models.shop import Ambients
from ribway.router.circuits.runs import Run
from ribway.router.errors import NameFault, PlaceFault
from ribway.router.faults import Collector
from ribway.router.laying.layer import NO_CORNER, TAPED, Laid, Leg
from ribway.router.shell.parts import SkinZone
from ribway.router.space.types import NOWHERE, Portal, Space, Way, Zone

SKIN_ZONES: tuple[SkinZone, ...] = ("wall", "roof", "floor")
CLOSE_M = 0.0005


def with_given(runs: Sequence[Run], entries: Iterable[RunEntry]) -> tuple[Run, ...]:
    """Runs with what the project file says of their way: by hand or by tape.

    Args:
        runs: as they follow from their circuits.
        entries: what a person wants of some of them.
    """
    wanted = {
        (entry.circuit, entry.a, entry.b): entry
        for entry in entries
        if entry.by_hand is not None or entry.taped is not None
    }
    if not wanted:
        return tuple(runs)
    out = []
    for run in runs:
        entry = wanted.get((run.circuit, run.a, run.b))
        if entry is not None:
            run = replace(
                run, by_hand=entry.by_hand, taped_m=entry.taped, surroundings=entry.surroundings or "", board=""
            )
        out.append(run)
    return tuple(out)


def check_given(runs: Sequence[Run], entries: Sequence[RunEntry], space: Space) -> None:
    """Ways by hand that lead on from bay to bay, and taped lengths that reach from end to end.

    Args:
        runs: all runs.
        entries: what a person wants of some of them, for the places of faults.
        space: the routing space.

    Raises:
        RouterFaults: every run that a person gave a way it can't take.
    """
    collector = Collector()
    portals = {portal.device: portal for portal in space.portals}
    places = {
        (one.circuit, one.a, one.b): f"runs / {one.id or f'item {number}'}"
        for number, one in enumerate(entries, start=1)
    }
    for run in runs:
        where = places.get((run.circuit, run.a, run.b), f"runs / {run.id}")
        ends = portals[run.a], portals[run.b]
        if run.taped_m is not None:
            straight = float(np.linalg.norm(ends[0].point - ends[1].point))
            if run.taped_m < straight - CLOSE_M:
                collector.add(
                    PlaceFault(
                        f"{where} / taped",
                        f"run {run.id}: {run.taped_m:.3f} m, but {run.a} and {run.b} are {straight:.3f} m apart in a straight "
                        "line",
                        f"what the tape says along the way from device to device: {straight:.3f} m or more",
                    )
                )
        elif run.by_hand is not None:
            fault = _gap_in(run, run.by_hand, space, *ends, f"{where} / by_hand")
            if fault is not None:
                collector.add(fault)
    collector.raise_all()


def _gap_in(run: Run, by_hand: Sequence[str], space: Space, start: Portal, end: Portal, where: str) -> NameFault | None:
    """The first way by hand that can't be entered from where the one before it comes out."""
    here = _bays_and_device(start)
    before, last = run.a, f"{run.b} is in {_names(space.bays_of(end), space)}"
    for name in by_hand:
        way = space.ways[space.way_index(name)]
        marks = [_mark(way, side) for side in (0, 1)]
        on = {marks[1 - side] for side in (0, 1) if marks[side] in here and marks[side] != NOWHERE}
        if way.room_only or (not on and not way.closed):
            return NameFault(
                where,
                f"run {run.id}: {name} can't follow {before}: from there one comes to {_names(here, space)}, "
                f"and {name} joins {_names(marks, space)}",
                _leading_on(here, space),
            )
        here, before = frozenset(on or marks), name
    at_end = run.b in here or (end.mouth.bay != NOWHERE and end.mouth.bay in here)
    if not at_end:
        return NameFault(
            where,
            f"run {run.id}: after {before} one comes to {_names(here, space)}, and {last}",
            f"all openings and ways on to {run.b}, in order: {_leading_on(here, space)}",
        )
    return None


Mark = int | str
"""A bay by its index, or a device by its id where a way ends at it."""


def _bays_and_device(portal: Portal) -> frozenset[Mark]:
    return frozenset({portal.mouth.bay if portal.mouth.bay != NOWHERE else portal.device})


def _mark(way: Way, side: int) -> Mark:
    return way.ends_at[side] or way.mouths[side].bay


def _names(marks: Iterable[Mark], space: Space) -> str:
    words = (
        mark if isinstance(mark, str) else space.bays[mark].name if mark != NOWHERE else "no bay" for mark in marks
    )
    return " and ".join(sorted(set(words)))


def _leading_on(here: frozenset[Mark], space: Space) -> str:
    found = [
        way.name
        for way in space.ways
        if not way.closed and not way.room_only and any(_mark(way, side) in here for side in (0, 1))
    ]
    return (
        f"one of {', '.join(found[:12])}{' ...' if len(found) > 12 else ''}" if found else "no way leads on from there"
    )


def taped(run: Run, length_m: float, start: Portal, end: Portal, ambients: Ambients) -> Laid:
    """A taped run as it is laid: one schematic straight that counts with the taped length.

    Args:
        run: the run.
        length_m: by tape, device to device [m].
        start, end: its devices.
        ambients: for the hottest air, in which it is reckoned if nobody said where it lies.
    """
    hottest = max(SKIN_ZONES, key=lambda one: (float(getattr(ambients, one)), one))
    zone: Zone = run.surroundings if run.surroundings else hottest
    points = np.vstack([start.point, end.point])
    # A piece of its own: nobody knows what lies beside it, so it shares its stretch with no other run.
    piece = (f"taped {run.id}", 0, NO_CORNER, NO_CORNER)
    leg = Leg(TAPED, "device to device", points, length_m, length_m, zone, "", piece)
    return Laid((leg,), points, ())
