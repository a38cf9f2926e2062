"""Runs without a route that one thing stops: told once, with all of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ribway.models.printed import Units, counted, size_up
from ribway.router.paths.admission import Item, Separation, body_passes, plugs_pass
from ribway.router.paths.board import Shape, rooms_of, shape_id
from ribway.router.paths.dead_ends import DeadEnd, bore_mm, explain, refusals
from ribway.router.paths.jobs import Job
from ribway.router.paths.search import Path
from ribway.router.space.network import Network
from ribway.router.space.types import NOWHERE, Way

NAMED = 6  # ways or devices that a sentence names of one kind
Region = frozenset[int]


@dataclass(frozen=True)
class Cause:
    """What stops runs.

    Args:
        runs: their numbers.
        dead: what is wrong and what would mend it; of one run by itself where it stops.
        inside: devices that are cut off; empty if it is about one run.
        outside: devices that they have no way to.
    """

    runs: tuple[int, ...]
    dead: DeadEnd
    inside: tuple[str, ...] = ()
    outside: tuple[str, ...] = ()


def causes(
    network: Network,
    jobs: Sequence[Job],
    paths: Sequence[Path | None],
    separation: Separation,
    units: Units = "metric",
) -> tuple[Cause, ...]:
    """What stops the runs without a path, each thing once.

    Bays that a run reaches are a region all of whose ways out refuse it. The region that stops most runs is told first, the
    smallest of equals; what stops one run alone is told as that run meets it.

    Args:
        network: the network.
        jobs: all of them.
        paths: theirs; None for a run without one.
        separation: which kinds may share a way.
        units: that sizes are told in.
    """
    dead = [number for number, path in enumerate(paths) if path is None]
    map_of = _Map(network, jobs, paths, separation, units)
    free = [number for number in dead if not jobs[number].via and not jobs[number].exact]
    regions = sorted({map_of.reached(number, end) for number in free for end in (0, 1)}, key=lambda one: sorted(one))
    stopped = {region: {number for number in free if map_of.stops(region, number)} for region in regions}
    out: list[Cause] = []
    left = set(dead)
    while True:
        best = max(regions, key=lambda one: (len(stopped[one] & left), -len(one)), default=None)
        if best is None or len(stopped[best] & left) < 2:
            break
        runs = tuple(sorted(stopped[best] & left))
        out.append(map_of.cause(best, runs))
        left -= set(runs)
    for number in sorted(left):
        others = [pair for other, pair in enumerate(zip(jobs, paths, strict=True)) if other != number]
        out.append(Cause((number,), explain(network, jobs[number], others, separation, units)))
    return tuple(out)


class _Map:
    """Where runs come to beside all others as they lie."""

    def __init__(
        self,
        network: Network,
        jobs: Sequence[Job],
        paths: Sequence[Path | None],
        separation: Separation,
        units: Units,
    ) -> None:
        self._units = units
        self._space, self._jobs, self._separation = network.space, jobs, separation
        self._inside: dict[int, list[Item]] = {}
        for job, path in zip(jobs, paths, strict=True):
            for way in rooms_of(network, path):
                self._inside.setdefault(way, []).append(job.item)
        self._shapes: dict[Shape, int] = {}
        self._refused: dict[tuple[int, int], bool] = {}
        self._between = [self._bays(way) for way in self._space.ways]

    def _bays(self, way: Way) -> tuple[Region, Region]:
        """Bays at both ends of a way; of an end at a device, those that the device stands in or is led to."""
        ends = []
        for device, mouth in zip(way.ends_at, way.mouths, strict=True):
            there = (
                next((portal for portal in self._space.portals if portal.device == device), None) if device else None
            )
            own = frozenset({mouth.bay}) - {NOWHERE}
            ends.append(self._space.bays_of(there) if there is not None else own)
        return ends[0], ends[1]

    def refuses(self, way: int, number: int) -> bool:
        """Whether a way, or one whose room it takes, refuses a run."""
        job = self._jobs[number]
        if way in job.avoid:
            return True
        return any(self._full(room, job.item) for room in (way, *self._space.sharers.get(way, ())))

    def _full(self, room: int, item: Item) -> bool:
        key = room, shape_id(item, self._shapes)
        if key not in self._refused:
            way = self._space.ways[room]
            self._refused[key] = bool(way.closed) or bool(
                refusals(way, item, self._inside.get(room, []), self._separation)
            )
        return self._refused[key]

    def reached(self, number: int, end: int) -> Region:
        """Bays that a run reaches from one of its ends."""
        job = self._jobs[number]
        portal = self._space.portals[job.end if end else job.start]
        reached, grown = set(self._space.bays_of(portal)), True
        open_ways = [
            way
            for way, (a, b) in enumerate(self._between)
            if a and b and not self._space.ways[way].room_only and not self.refuses(way, number)
        ]
        while grown:
            grown = False
            for way in open_ways:
                a, b = self._between[way]
                if (a & reached or b & reached) and not (a | b) <= reached:
                    reached |= a | b
                    grown = True
        return frozenset(reached)

    def out_of(self, region: Region) -> list[int]:
        """Ways that lead out of a region."""
        return [
            index
            for index, (a, b) in enumerate(self._between)
            if a and b and not self._space.ways[index].room_only and bool(a & region) != bool(b & region)
        ]

    def stops(self, region: Region, number: int) -> bool:
        """Whether a run has one end in a region, and all ways out of it refuse the run."""
        ends = [
            self._space.bays_of(self._space.portals[at]) for at in (self._jobs[number].start, self._jobs[number].end)
        ]
        if bool(ends[0] & region) == bool(ends[1] & region):
            return False
        return all(self.refuses(way, number) for way in self.out_of(region))

    def cause(self, region: Region, runs: Sequence[int]) -> Cause:
        """What is told of runs that a region keeps in, or out."""
        devices: tuple[dict[str, None], dict[str, None]] = ({}, {})
        for number in runs:
            for at in (self._jobs[number].start, self._jobs[number].end):
                portal = self._space.portals[at]
                devices[0 if self._space.bays_of(portal) & region else 1][portal.device] = None
        kinds: dict[str, list[int]] = {}
        for way in self.out_of(region):
            kinds.setdefault(self._why(way, runs), []).append(way)
        items = [self._jobs[number].item for number in runs]
        words = "; ".join(f"{self._names(ways)} {why}" for why, ways in kinds.items())
        passed = f"all ways between refuse them: {words}" if words else "no way leads from one to the other"
        small = any(why.startswith(SMALL) for why in kinds)
        code = "no-way" if not small and FULL not in kinds else "opening-full" if FULL in kinds else "opening-too-small"
        dead = DeadEnd(code, passed, self._remedy(kinds, items))
        inside, outside = sorted(devices, key=len)
        return Cause(tuple(runs), dead, tuple(inside), tuple(outside))

    def _why(self, index: int, runs: Sequence[int]) -> str:
        way = self._space.ways[index]
        if way.closed:
            return f"({way.closed})"
        if all(index in self._jobs[number].avoid for number in runs):
            return "(to be avoided by these runs)"
        items = [self._jobs[number].item for number in runs]
        small = [item for item in items if not body_passes(way, item) or not plugs_pass(way, [item])]
        if len(small) == len(items):
            return f"{SMALL} for each of them)"
        return f"{SMALL} for {len(small)} of them, full for the others)" if small else FULL

    def _names(self, ways: Sequence[int]) -> str:
        return named([self._space.ways[way].name for way in ways])

    def _remedy(self, kinds: Mapping[str, Sequence[int]], items: Sequence[Item]) -> str:
        """One thing for each kind of refusal."""
        out = []
        for why, ways in kinds.items():
            if why == "(blocked)":
                out.append(f"open one of {self._names(ways)}")
            elif why.startswith(SMALL):
                widest = max(max(item.width_m, item.plug_m) for item in items)
                size = size_up(bore_mm(widest), self._units)
                out.append(f"bore one of {self._names(ways)} larger: {size} lets the thickest in alone")
            elif why == FULL:
                out.append(f"bore one of {self._names(ways)} larger, or drill another beside it")
        return "; or ".join(out) if out else "a hole or a duct between them"


SMALL = "(too small"
FULL = "(full, or shared with what must be kept apart)"


def named(names: Sequence[str]) -> str:
    """Names as a sentence lists them: the first few, and how many more."""
    if len(names) <= NAMED + 1:
        return ", ".join(names)
    return f"{', '.join(names[:NAMED])} and {counted(len(names) - NAMED, 'other')}"
