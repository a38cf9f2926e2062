"""Why a run has no route, and the cheapest thing that would free it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ribway.models.printed import Units, size_down, size_up
from ribway.router.paths.admission import Item, Separation, body_passes, fill, packs, plugs_pass
from ribway.router.paths.board import rooms_of
from ribway.router.paths.jobs import Job
from ribway.router.paths.search import Path, Searcher
from ribway.router.space.network import Network
from ribway.router.space.types import NOWHERE, Way

Array = NDArray[np.float64]

SHUT_COSTS_M = 100.0
GROMMET_MM = 4.0  # taken off a bore by a grommet; common practice, no source


@dataclass(frozen=True)
class DeadEnd:
    """Where a run stops.

    Args:
        code: ``no-way``, ``opening-too-small``, ``opening-full``.
        message: what is wrong, in words.
        remedy: what would free it.
    """

    code: str
    message: str
    remedy: str


def explain(
    network: Network,
    job: Job,
    others: Sequence[tuple[Job, Path | None]],
    separation: Separation,
    units: Units = "metric",
) -> DeadEnd:
    """Why a run has no path beside the others.

    The cheapest remedy is found by a search in which every way that refuses the run costs a long detour: the route that
    meets the fewest of them names what has to change.

    Args:
        network: the network.
        job: the run without a path.
        others: all other runs with their paths.
        separation: which kinds may share.
        units: the shop's, for sizes in the words.

    Returns:
        The dead end.
    """
    for index in job.via:
        wanted = network.space.ways[index]
        if wanted.closed or index in job.avoid:
            why = wanted.closed or "also to be avoided"
            asks = "by_hand" if job.exact else "via"
            return DeadEnd(
                "no-way",
                f"{wanted.name}, which {asks} asks for, can't be used: {why}",
                f"take {wanted.name} out of {asks}",
            )
    inside = _inside(network, others)
    path = _through(network, job, inside, separation)
    if path is None:
        return _no_way(network, job)
    words, remedies, small = [], [], False
    for index in dict.fromkeys(rooms_of(network, path)):
        passed = network.space.ways[index]
        found = refusals(passed, job.item, inside.get(index, []), separation, units)
        if found:
            small = small or not body_passes(passed, job.item) or not plugs_pass(passed, [job.item])
            words.append(f"{passed.name} ({'; '.join(why for why, _ in found)})")
            remedies += [f"{passed.name}: {mend}" for _, mend in found]
    if not words:
        return DeadEnd("opening-full", "no place was found beside the other runs", "name openings for it with via")
    code = "opening-too-small" if small else "opening-full"
    return DeadEnd(
        code, f"stops at {words[0]}" + (f", then {', '.join(words[1:])}" if words[1:] else ""), "; ".join(remedies)
    )


def _inside(network: Network, others: Sequence[tuple[Job, Path | None]]) -> dict[int, list[Item]]:
    """Cables in the room of each way."""
    inside: dict[int, list[Item]] = {}
    for other, path in others:
        for index in rooms_of(network, path):
            inside.setdefault(index, []).append(other.item)
    return inside


def _through(network: Network, job: Job, inside: Mapping[int, list[Item]], separation: Separation) -> Path | None:
    """The route of a run that meets the fewest ways which refuse it."""
    own = np.zeros(network.ways)
    for index, way in enumerate(network.space.ways):
        if way.closed or index in job.avoid:
            own[index] = np.inf
        elif refusals(way, job.item, inside.get(index, []), separation):
            own[index] = SHUT_COSTS_M
    cost = own.copy()
    for index, shared in network.space.sharers.items():
        cost[index] += own[list(shared)].sum()
    return Searcher(network).path(job.start, job.end, network.length, cost, job.via, job.exact)


def refusals(
    way: Way, item: Item, inside: Sequence[Item], separation: Separation, units: Units = "metric"
) -> list[tuple[str, str]]:
    """Every reason why a way refuses a cable, each with what would mend it.

    Args:
        way: that is not closed.
        item: the cable.
        inside: what lies in it already.
        separation: which kinds may share it.
        units: that sizes are told in.
    """
    out = []
    clear = f"{size_down(way.bore_m * 1000.0, units)} clear"
    across, thick = (size_up(one * 1000.0, units) for one in (item.width_m, item.thickness_m))
    if not body_passes(way, item):
        out.append(
            (
                f"the cable, {across.removesuffix(' mm')} x {thick}, does not pass {clear}",
                f"bore it to {size_up(bore_mm(item.width_m + way.taken_m), units)} or more and fit a grommet",
            )
        )
    elif item.plug_m > 0.0 and not plugs_pass(way, [item]):
        out.append(
            (
                f"the plug, {size_up(item.plug_m * 1000.0, units)}, does not pass {clear}",
                f"bore it to {size_up(bore_mm(item.plug_m + way.taken_m), units)} or more, or take the plug off and refit it",
            )
        )
    full = fill(way, [*inside, item])
    if full > way.limit + 1e-9:
        wider = math.sqrt(4.0 / math.pi * full * way.area_m2 / way.limit)
        out.append(
            (
                f"{100 * full:.0f} % full with this cable, limit {100 * way.limit:.0f} %",
                ("move another run, or " if inside else "")
                + f"bore it larger: to {size_up(bore_mm(wider), units)} or more",
            )
        )
    if any(not separation.allows(item, other) for other in inside):
        kinds = " and ".join(sorted({other.kind for other in inside}))
        out.append((f"{item.kind} may not share it with {kinds}", "give one of them another opening"))
    if not out and not plugs_pass(way, [*inside, item]):
        out.append(("its plug does not pass beside what is there", "pull it first, or take the plug off and refit it"))
    if not out and not packs(way, [*inside, item]):
        out.append(("it does not lie beside what is there", "move another run, or bore it larger"))
    return out


def bore_mm(clear_m: float) -> int:
    """Whole millimetres of a round bore that leaves this much clear inside a grommet [m to mm]."""
    return math.ceil(1000.0 * clear_m - 1e-6 + GROMMET_MM)


def _no_way(network: Network, job: Job) -> DeadEnd:
    space = network.space
    start, end = space.portals[job.start], space.portals[job.end]
    reached = set(space.bays_of(start))
    grown = True
    while grown:
        grown = False
        for index, way in enumerate(space.ways):
            if way.closed or way.room_only or index in job.avoid:
                continue
            bays = {mouth.bay for mouth in way.mouths if mouth.bay != NOWHERE}
            if bays & reached and not bays <= reached:
                reached |= bays
                grown = True
    here = ", ".join(sorted(space.bays[bay].name for bay in reached)[:6])
    target = " or ".join(sorted(space.bays[bay].name for bay in space.bays_of(end))) or end.device
    shut = sorted(
        f"{way.name} ({way.closed or 'to be avoided by this run'})"
        for index, way in enumerate(space.ways)
        if (way.closed or index in job.avoid) and any(mouth.bay in reached for mouth in way.mouths)
    )
    via = " in the order that via asks for" if job.via else ""
    if space.bays_of(end) & reached:
        if not job.via and not job.avoid:
            return DeadEnd("no-way", f"no path in {target} leads to {end.device}", "another place for it")
        return DeadEnd("no-way", f"no path to {end.device}{via} exists", "take an opening out of via or avoid")
    remedy = f"open one of {', '.join(shut[:6])}" if shut else f"a hole or a duct from there towards {target}"
    return DeadEnd("no-way", f"stops in {here}: no opening leads on to {target}{via}", remedy)
