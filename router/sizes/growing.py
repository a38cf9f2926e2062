"""Which cables grow by one size when limits are broken, and what is said when none can."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from ribway.router.circuits.patterns import STARS
from ribway.router.circuits.runs import Feed, Run
from ribway.router.errors import SizeFault
from ribway.router.faults import Collector
from ribway.router.sizes.held import Sized
from ribway.router.sizes.sizer import Sizer
from ribway.sizing.demand import Stretch
from ribway.sizing.needed import needed_area
from ribway.sizing.verdict import Limit, LimitName

DROPS = frozenset({"drop", "start drop", "maker's drop"})
UNMENDED: Final[dict[LimitName, str]] = {
    "maker's area": "the device nearer its source, or its maker asked about longer wires",
    "maker's fuse": "a circuit with a fuse of its own for the device",
    "terminal": "a thinner tail with a fuse that fits it, or a bigger terminal",
    "plug": "a terminal or plug for more amps, or the load split",
}
"""What no thicker cable mends, and what does."""


@dataclass(frozen=True, eq=False)
class _Now:
    """The present state that a step is judged on."""

    sized: Mapping[str, Sized]
    cut_m: Mapping[str, float]
    stretches: Mapping[str, Sequence[Stretch]]
    index: Mapping[str, int]


def alike(feed: Feed, runs: Mapping[str, Run]) -> list[list[str]]:
    """Runs of a circuit that are of one size: all of a chain; of a star, each run with the pieces that it is parted into.

    Args:
        feed: the circuit.
        runs: by id.
    """
    if feed.circuit.pattern not in STARS:
        return [list(feed.runs)]
    groups: list[list[str]] = []
    for run in feed.runs:
        known = next((group for group in groups if runs[run].after in group), None)
        if known is None:
            groups.append([run])
        else:
            known.append(run)
    return groups


class Grower:
    """Chooses steps up for the circuits of one project."""

    def __init__(self, sizer: Sizer) -> None:
        self._sizer = sizer
        self._by_id = {feed.circuit.id: feed for feed in sizer.feeds}

    def wanted(
        self,
        sized: Mapping[str, Sized],
        cut_m: Mapping[str, float],
        stretches: Mapping[str, Sequence[Stretch]],
        index: Mapping[str, int],
    ) -> frozenset[str]:
        """Runs that take one size more.

        What a conductor may carry is mended by that conductor. A drop may be mended by the run or by what feeds it: the
        step that saves most volts for its copper is taken.

        Args:
            sized: every run held against its limits.
            cut_m: cut lengths [m].
            stretches: surroundings.
            index: present sizes.

        Returns:
            Ids of runs; empty if every limit is kept.

        Raises:
            RouterFaults: a limit is broken and no stocked size mends it.
        """
        now = _Now(sized, cut_m, stretches, index)
        collector = Collector()
        grown: set[str] = set()
        for feed in self._sizer.feeds:
            broken = [run for run in feed.runs if run in sized and _broken(sized[run])]
            for group in alike(feed, self._sizer.runs):
                group = [run for run in group if run in sized]
                if not set(group) & set(broken):
                    continue
                step = self._step(feed, group, now)
                grown |= step
                if not step:
                    hurt = next(run for run in group if run in broken)
                    collector.add(self._no_size(feed, sized[hurt], hurt))
        collector.raise_all()
        return frozenset(grown)

    def _step(self, feed: Feed, group: Sequence[str], now: _Now) -> frozenset[str]:
        limits = [limit for run in group for limit in _broken(now.sized[run])]
        own = frozenset(run for run in group if self._can(run, now))
        if any(limit.name not in DROPS for limit in limits):
            # A terminal, a plug or the maker's fuse is mended by no size, whatever else a thicker one would mend.
            hopeless = any(limit.name in UNMENDED and not limit.size_helps for limit in limits)
            helps = any(limit.size_helps for limit in limits if limit.name not in DROPS)
            return own if helps and not hopeless else frozenset()
        options = [own, *self._above(feed, now)]
        better = [option for option in options if option and self._gain(option, now) > 0.0]
        # The next reel may be hotter or of another metal, and lose as much; one behind it may mend it all the same.
        better = better or [option for option in options if self._mends_later(option, now)]
        return max(better, key=lambda option: (self._gain(option, now), sorted(option)), default=frozenset())

    def _above(self, feed: Feed, now: _Now) -> list[frozenset[str]]:
        """Runs that lead to a circuit's source, circuit by circuit upwards."""
        out = []
        while feed.parent and feed.parent in self._by_id:
            parent = self._by_id[feed.parent]
            chain = parent.runs if parent.circuit.pattern not in STARS else self._to(parent, feed.circuit.source)
            out.append(frozenset(run for run in chain if run in now.cut_m and self._can(run, now)))
            feed = parent
        return out

    def _to(self, feed: Feed, device: str) -> tuple[str, ...]:
        return tuple(run for run in feed.runs if self._sizer.runs[run].b == device)

    def _can(self, run: str, now: _Now) -> bool:
        cables, thicker = self._sizer.cables[run], now.index[run] + 1
        return thicker < len(cables) and cables[thicker].stock.area_mm2 <= self._sizer.most_mm2(run)

    def _mends_later(self, group: frozenset[str], now: _Now) -> bool:
        """Whether a thicker cable that a run of a group may have loses less than its present one."""
        for run in group:
            ohm = self._sizer.hot_ohm(run, now.stretches, now.index)
            for place in range(now.index[run] + 1, len(self._sizer.cables[run])):
                fits = self._sizer.cables[run][place].stock.area_mm2 <= self._sizer.most_mm2(run)
                if fits and self._sizer.hot_ohm(run, now.stretches, {**now.index, run: place}) < ohm:
                    return True
        return False

    def _gain(self, group: frozenset[str], now: _Now) -> float:
        """Volts saved per kilogram-like unit of metal when all of a group take one size more [V/(mm2 m)]."""
        volts = metal = 0.0
        for run in group:
            larger = {**now.index, run: now.index[run] + 1}
            saved = self._sizer.hot_ohm(run, now.stretches, now.index) - self._sizer.hot_ohm(run, now.stretches, larger)
            volts += self._sizer.runs[run].cores_in_line * now.cut_m[run] * saved * self._sizer.runs[run].amps
            cables = self._sizer.cables[run]
            # By metal, not by copper: of clad reels and others a size more is dear too.
            metal += now.cut_m[run] * (cables[larger[run]].metal_mm2 - cables[now.index[run]].metal_mm2)
        return volts / max(metal, 1e-9)

    def _no_size(self, feed: Feed, sized: Sized, run: str) -> SizeFault:
        verdict, demand = sized.verdict, sized.demand
        if verdict is None or demand is None:
            raise ValueError(f"{run} breaks no limit")
        # A cause that no copper mends, then what the cable itself can't carry, and only then the drop.
        hard = min(verdict.broken, key=lambda limit: (limit.size_helps, limit.name in DROPS, -limit.strain))
        if hard.name in UNMENDED and not hard.size_helps:
            found = f"run {run} ({feed.circuit.name}): no size of cable mends this: {hard.says}"
            return SizeFault(f"circuits / {feed.circuit.id}", found, UNMENDED[hard.name])
        if not hard.size_helps and hard.name == "fuse window":
            says, _, cure = hard.says.partition(": ")
            return SizeFault(f"circuits / {feed.circuit.id}", f"run {run} ({feed.circuit.name}): {says}", cure)
        asked = replace(demand, fuse_a=feed.circuit.fuse)
        needed = needed_area(asked, self._sizer.rules_of(run), verdict.conductor.insulation_c, verdict.conductor.sheath)
        taken = [one for one in self._sizer.cables[run] if one.stock.area_mm2 <= self._sizer.most_mm2(run)]
        thickest = (taken or self._sizer.cables[run])[-1].stock.spelling
        found = (
            f"run {run} ({feed.circuit.name}): {thickest}, the thickest cable it may have, is not enough: {hard.says}"
        )
        return SizeFault(f"circuits / {feed.circuit.id}", found, needed.says)


def _broken(sized: Sized) -> tuple[Limit, ...]:
    return sized.verdict.broken if sized.verdict is not None else ()
