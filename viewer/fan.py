"""Lays cables side by side: where each run really is drawn, beside its neighbours in every hole."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanRun
from ribway.viewer.frames import (
    Frames,
    distances_along,
    nearest_along,
    point_at,
    refined,
    travelling_frames,
    without_repeats,
)
from ribway.viewer.pack import pack
from ribway.viewer.passages import Passage, device_passage, opening_passage, way_passage

Points = NDArray[np.float64]

STEP_M = 0.04


@dataclass(frozen=True, eq=False)
class Seat:
    """The place of one run in one cross-section.

    Args:
        passage: the cross-section.
        place: ``(2,)`` in its axes [m].
    """

    passage: Passage
    place: Points


def curve_of(run: PlanRun) -> Points:
    """A run's centreline without repeated points.

    Args:
        run: as the plan has it.

    Returns:
        ``(n, 3)`` the curve [m]; fewer than two points if the run has no route.
    """
    return _curve(run.centreline)


@lru_cache(maxsize=1024)
def _curve(centreline: tuple[tuple[float, float, float], ...]) -> Points:
    """Kept, since each run's curve is asked for at every passage; nobody may write into it."""
    found = without_repeats(np.array(centreline, dtype=np.float64).reshape(-1, 3))
    found.flags.writeable = False
    return found


def _seated(passage: Passage, runs: Sequence[PlanRun], spread: float) -> dict[str, Seat]:
    """Places for all runs of one cross-section; thick ones inside, then those that go far, ties by id."""
    order = sorted(runs, key=lambda run: (-run.outside_mm, run.loom, -run.sharp_m, run.id))
    places, _ = pack([run.outside_mm / 2000.0 for run in order], passage.region, spread)
    return {run.id: Seat(passage, places[i]) for i, run in enumerate(order)}


def seats_in_passages(plan: Plan, spread: float = 1.0) -> dict[str, dict[str, Seat]]:
    """Places of all runs in all openings and other ways.

    Args:
        plan: the plan.
        spread: how many times thicker than true cables are to be laid out, where there is room.

    Returns:
        For each opening or way that is used, the seat of each run in it.
    """
    through: dict[str, list[PlanRun]] = defaultdict(list)
    for run in plan.runs:
        for name in run.openings:
            if len(curve_of(run)) >= 2 and run not in through[name]:
                through[name].append(run)
    passages = {o.id: opening_passage(o) for o in plan.openings if o.id in through}
    passages |= {w.id: way_passage(w) for w in plan.ways if w.id in through}
    return {name: _seated(passage, through[name], spread) for name, passage in passages.items()}


def seats_at_devices(plan: Plan, spread: float = 1.0) -> dict[str, dict[str, Seat]]:
    """Places of all runs where they end.

    Args:
        plan: the plan.
        spread: how many times thicker than true cables are to be laid out, where there is room.

    Returns:
        For each device with a routed run, the seat of each run there.
    """
    ending: dict[str, list[PlanRun]] = defaultdict(list)
    leaving: dict[str, Points] = {}
    place: dict[str, Points] = {}
    for run in plan.runs:
        curve = curve_of(run)
        if len(curve) < 2:
            continue
        for device, end, inner in ((run.from_, curve[0], curve[1]), (run.to, curve[-1], curve[-2])):
            ending[device].append(run)
            leaving.setdefault(device, inner - end)
            place.setdefault(device, end)
    return {
        device: _seated(device_passage(device, place[device], leaving[device]), runs, spread)
        for device, runs in ending.items()
    }


def _carried(step: Points, frames: Frames, at: int) -> Points:
    """A sideways step in the frame that travels along the curve."""
    return np.array([step @ frames.first[at], step @ frames.second[at]])


def _with_stops(curve: Points, stops: Sequence[float]) -> Points:
    """The curve with a point of its own at each of some distances."""
    at = distances_along(curve)
    every = np.unique(np.concatenate([at, np.clip(stops, 0.0, at[-1])]))
    every = every[np.concatenate([[True], np.diff(every) > 1e-6])]
    return np.stack([np.interp(every, at, curve[:, axis]) for axis in range(3)], axis=1)


def fanned(
    run: PlanRun,
    in_passages: Mapping[str, Mapping[str, Seat]],
    at_devices: Mapping[str, Mapping[str, Seat]],
) -> Points:
    """The curve along which a run is drawn: beside its neighbours, never through the metal round an opening.

    From mouth to mouth of a passage the run keeps its place in it; from one passage to the next its place is carried
    along by a frame that does not twist and passes smoothly from the one to the other.

    Args:
        run: as the plan has it.
        in_passages: seats by opening or way, then by run.
        at_devices: seats by device, then by run.

    Returns:
        ``(n, 3)`` the curve [m]; fewer than two points if the run has no route.
    """
    curve = curve_of(run)
    if len(curve) < 2:
        return curve
    length, own = float(distances_along(curve)[-1]), curve.tobytes()
    stops: list[tuple[float, float, float, Points]] = []
    reached = 0.0
    if run.id in at_devices.get(run.from_, {}):
        seat = at_devices[run.from_][run.id]
        stops.append((0.0, 0.0, 0.0, seat.passage.to_space(seat.place)))
    for name in run.openings:
        if run.id not in in_passages.get(name, {}):
            continue
        seat = in_passages[name][run.id]
        stops.append(_stop(own, seat.passage, tuple(map(float, seat.place)), reached))
        reached = stops[-1][2]
    if run.id in at_devices.get(run.to, {}):
        seat = at_devices[run.to][run.id]
        stops.append((length, length, length, seat.passage.to_space(seat.place)))
    held = tuple((*stop[:3], *map(float, stop[3])) for stop in stops)
    return np.frombuffer(_drawn(own, held)).reshape(-1, 3)


@lru_cache(maxsize=4096)
def _stop(
    curve_bytes: bytes, passage: Passage, place: tuple[float, ...], reached: float
) -> tuple[float, float, float, Points]:
    """Where a curve enters a passage, its middle, where it leaves it [m], and its step aside to its place there."""
    curve = np.frombuffer(curve_bytes).reshape(-1, 3)
    middle = nearest_along(curve, passage.centre, reached)
    mouths = [nearest_along(curve, mouth, reached) for mouth in (passage.line[0], passage.line[-1])]
    off = passage.to_plane(point_at(curve, middle) - passage.centre)
    return min(*mouths, middle), middle, max(*mouths, middle), passage.to_space(np.array(place) - off)


@lru_cache(maxsize=1024)
def _drawn(curve_bytes: bytes, held: tuple[tuple[float, ...], ...]) -> bytes:
    """The drawn curve as bytes of float64: kept, since of a plan that is made again most runs lie as they lay."""
    curve = np.frombuffer(curve_bytes).reshape(-1, 3)
    stops = [(first, middle, last, np.array(step)) for first, middle, last, *step in held]
    curve = without_repeats(refined(_with_stops(curve, [at for stop in stops for at in stop[:3]]), STEP_M))
    return (curve + _sideways(curve, stops)).tobytes()


def _sideways(curve: Points, stops: Sequence[tuple[float, float, float, Points]]) -> Points:
    """Sideways steps along a curve: held from first to last distance of each stop, smooth in between."""
    if not stops:
        return np.zeros_like(curve)
    at = distances_along(curve)
    frames = travelling_frames(curve)
    held = [_carried(step, frames, int(np.argmin(np.abs(at - middle)))) for _, middle, _, step in stops]
    sides = np.repeat(held[0][None], len(curve), axis=0)
    for (_, _, end, _), (start, _, stop, _), before, after in zip(
        stops[:-1], stops[1:], held[:-1], held[1:], strict=True
    ):
        share = np.clip((at - end) / max(start - end, 1e-9), 0.0, 1.0)
        smooth = (share * share * (3.0 - 2.0 * share))[:, None]
        here = at > end
        sides[here] = ((1.0 - smooth) * before + smooth * after)[here]
        sides[at > stop] = after
    return sides[:, :1] * frames.first + sides[:, 1:] * frames.second
