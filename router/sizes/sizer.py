"""Conductor sizes and fuses of whole circuits: which stocked cable each run takes, given its length and surroundings."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from ribway.models.cables import parse_cable
from ribway.models.circuits import NEGATIVES, Device
from ribway.models.shop import Shop
from ribway.router.circuits.drawn import limit_percent
from ribway.router.circuits.runs import Feed, Run
from ribway.router.circuits.stock import Cable
from ribway.router.looms.crowd import Neighbourhood
from ribway.router.sizes.asked import cut_out_percent, maker_of, terminals_of
from ribway.router.sizes.fusing import fuse_load_a, fuse_of, fuses_behind_a
from ribway.router.sizes.held import CircuitSizes, Sized
from ribway.router.sizes.rules import ac_rules, sizing_rules
from ribway.router.sizes.warming import Warming
from ribway.sizing.ampacity import derated_ampacity
from ribway.sizing.conductor import Conductor
from ribway.sizing.demand import Demand, Leg, Stretch
from ribway.sizing.fuse import FuseChoice, NoFuse
from ribway.sizing.resistance import hot_ohm_per_m
from ribway.sizing.rules import SizingRules
from ribway.sizing.verdict import hardest, passes

Volts = tuple[float, float]


@dataclass(frozen=True)
class Sizer:
    """Sizes the circuits of one project.

    Args:
        shop: ambients, limits, rules.
        runs: by id.
        feeds: circuits, parents first.
        cables: candidates by run id, thin to thick.
        warming: finds what warms the runs.
        devices: by id, for what they ask of their cables.
    """

    shop: Shop
    runs: Mapping[str, Run]
    feeds: Sequence[Feed]
    cables: Mapping[str, Sequence[Cable]]
    warming: Warming
    devices: Mapping[str, Device]
    # Most steps change one circuit: the others are found here as they were held before.
    known: dict[tuple[object, ...], tuple[CircuitSizes, dict[str, Sized]]] = field(
        default_factory=dict, compare=False, repr=False
    )

    @cached_property
    def rules(self) -> SizingRules:
        """The sizing rules that the shop's settings name."""
        return sizing_rules(self.shop)

    @cached_property
    def ac_rules(self) -> SizingRules:
        """Those for AC."""
        return ac_rules(self.shop)

    def rules_of(self, run: str) -> SizingRules:
        """The rules that a run is sized by."""
        return self.ac_rules if self.runs[run].kind == "ac" else self.rules

    def standing_fuse_a(self, run: str, demand: Demand) -> float | None:
        """A fuse that stands whatever the cable [A]: a stated one, or what the fuses before a negative let through."""
        circuit = next(feed.circuit for feed in self.feeds if run in feed.runs)
        return demand.fuse_a if circuit.pattern in NEGATIVES else circuit.fuse

    def ambient_c(self, zone: str) -> float:
        """Hottest air in a zone [deg C]."""
        return float(getattr(self.shop.ambients, zone.replace(" ", "_")))

    def limit_percent(self, feed: Feed) -> float | None:
        """Greatest drop of a circuit [%]; None for data."""
        if feed.circuit.kind == "data":
            return None
        if feed.circuit.pattern in NEGATIVES:
            # Half of what the strictest of its circuits may lose: the other half is for the way there.
            own = [self.limit_percent(one) or 0.0 for one in self.feeds if one.circuit.id in feed.serves]
            return 0.5 * min(own, default=self.shop.drop.other)
        return limit_percent(feed.circuit, self.shop)

    def conductor(self, run: str, index: Mapping[str, int]) -> Conductor | None:
        """The conductor a run has now."""
        return self.cables[run][index[run]].conductor

    def counts(
        self, near: Mapping[str, Sequence[Neighbourhood]], index: Mapping[str, int]
    ) -> dict[str, tuple[Stretch, ...]]:
        """Surroundings of every run, its loaded neighbours counted; see `ribway.router.sizes.warming`."""
        return self.warming.stretches(near, index)

    def hold(
        self, cut_m: Mapping[str, float], stretches: Mapping[str, Sequence[Stretch]], index: Mapping[str, int]
    ) -> tuple[dict[str, Sized], dict[str, CircuitSizes]]:
        """Every run and circuit as they stand, held against all limits.

        Args:
            cut_m: cut length by run [m].
            stretches: surroundings by run.
            index: which candidate each run takes.
        """
        sized: dict[str, Sized] = {}
        circuits: dict[str, CircuitSizes] = {}
        for feed in self.feeds:
            parent = circuits.get(feed.parent)
            upstream = self._at(parent, feed, "lost_v"), self._at(parent, feed, "lost_start_v")
            around = tuple((cut_m[run], index[run], tuple(stretches[run])) for run in feed.runs)
            back = self._back(feed, circuits)
            key = (feed.circuit.id, feed.runs, around, upstream, tuple(sorted(back.items())))
            if key not in self.known:
                own: dict[str, Sized] = {}
                self.known[key] = self._hold_circuit(feed, cut_m, stretches, index, upstream, back, own), own
            circuits[feed.circuit.id], held = self.known[key]
            sized.update(held)
        return sized, circuits

    def _at(self, parent: CircuitSizes | None, feed: Feed, which: str) -> float:
        if parent is None:
            return 0.0
        lost: Mapping[str, float] = getattr(parent, which)
        return max((volts for run, volts in lost.items() if feed.circuit.source in self.runs[run].draws), default=0.0)

    def _back(self, feed: Feed, circuits: Mapping[str, CircuitSizes]) -> dict[str, Volts]:
        """Volts lost on the way back beyond each run of a circuit, running and starting."""
        out: dict[str, Volts] = {}
        for run in feed.runs:
            by = self.runs[run].returns_by
            sizes = circuits.get(self.runs[by].circuit) if by else None
            if sizes is not None and by in sizes.lost_v:
                out[run] = sizes.lost_v[by], sizes.lost_start_v[by]
        return out

    def _hold_circuit(
        self,
        feed: Feed,
        cut_m: Mapping[str, float],
        stretches: Mapping[str, Sequence[Stretch]],
        index: Mapping[str, int],
        upstream: Volts,
        back: Mapping[str, Volts],
        sized: dict[str, Sized],
    ) -> CircuitSizes:
        kind = feed.circuit.kind
        rules = self.ac_rules if kind == "ac" else self.rules
        if kind == "data":
            sized.update({run: Sized(None, None) for run in feed.runs})
            return CircuitSizes(None, None, dict.fromkeys(feed.runs, 0.0), dict.fromkeys(feed.runs, 0.0), 0.0, 0.0)
        lost, lost_start = self._volts(feed, cut_m, stretches, index, upstream, back)
        derated: list[float] = []
        for run in feed.runs:
            conductor = self.conductor(run, index)
            if conductor is not None:
                derated.append(derated_ampacity(conductor, stretches[run], rules).derated_a)
        weakest = min(derated, default=0.0)
        fuse = fuse_of(feed, weakest, rules)
        for run in feed.runs:
            demand = self._demand(feed, run, cut_m, stretches, (lost, lost_start), upstream, back, fuse)
            conductor = self.conductor(run, index)
            verdict = passes(conductor, demand, rules) if conductor is not None else None
            sized[run] = Sized(verdict, demand)
        return CircuitSizes(fuse, weakest if derated else None, lost, lost_start, *upstream)

    def _demand(
        self,
        feed: Feed,
        run: str,
        cut_m: Mapping[str, float],
        stretches: Mapping[str, Sequence[Stretch]],
        lost: tuple[Mapping[str, float], Mapping[str, float]],
        upstream: Volts,
        back: Mapping[str, Volts],
        fuse: FuseChoice | NoFuse | None,
    ) -> Demand:
        """What one run is asked, the rest of its circuit as it stands."""
        one, negative = self.runs[run], feed.circuit.pattern in NEGATIVES
        before = (table[one.after] if one.after else up for table, up in zip(lost, upstream, strict=True))
        entry = tuple(volts + more for volts, more in zip(before, back.get(run, (0.0, 0.0)), strict=True))
        worst = tuple(max(table[name] for name in (run, *self._beyond(feed, run))) for table in lost)
        own = tuple(table[run] for table in lost)
        rating = fuse.fuse.rating_a if isinstance(fuse, FuseChoice) else feed.circuit.fuse
        if negative:
            rating = fuses_behind_a(feed, self.feeds, self.rules) or None
        least = parse_cable(one.least).area_mm2 if one.least else 0.0
        # One breaker protects all of an AC circuit, so each of its cables carries what the whole circuit draws.
        amps = max(one.amps, feed.amps) if feed.circuit.kind == "ac" else one.amps
        return Demand(
            legs=(
                Leg(
                    cut_m[run],
                    amps,
                    max(amps, one.start_amps),
                    worst[0] - own[0],
                    worst[1] - own[1],
                    return_ohm=0.0 if one.cores_in_line == 1 else None,
                    extra_ohm=one.extra_ohm,
                ),
            ),
            stretches=tuple(stretches[run]),
            nominal_v=feed.volts,
            drop_limit_percent=self.limit_percent(feed),
            start_limit_percent=self._start_limit(feed, one),
            upstream_v=entry[0],
            upstream_start_v=entry[1],
            circuit_a=fuse_load_a(feed),
            fuse_a=rating,
            fused=feed.circuit.kind == "dc" and not (negative and rating is None),
            conductor_temperature_c=self.shop.conductor_temperature,
            least_area_mm2=least,
            maker=maker_of(one, self.devices, self.runs, cut_m),
            terminals=terminals_of(one, self.devices),
        )

    def _start_limit(self, feed: Feed, run: Run) -> float | None:
        """Greatest drop while a motor starts [%]: the shop's, and what keeps each device above its cut-out voltage."""
        limits: list[float] = []
        if feed.circuit.kind == "dc" and run.start_amps > run.amps:
            limits.append(max(self.shop.drop.start, self.limit_percent(feed) or 0.0))
        cut_out = cut_out_percent(run, self.devices, feed.volts)
        if feed.circuit.kind == "dc" and cut_out is not None:
            limits.append(cut_out)
        return min(limits, default=None)

    def most_mm2(self, run: str) -> float:
        """Thickest conductor that a run's terminals take [mm2]; infinite if nobody said."""
        known = [one.most_mm2 for one in terminals_of(self.runs[run], self.devices) if one.most_mm2 is not None]
        return min(known, default=math.inf)

    def _volts(
        self,
        feed: Feed,
        cut_m: Mapping[str, float],
        stretches: Mapping[str, Sequence[Stretch]],
        index: Mapping[str, int],
        upstream: Volts,
        back: Mapping[str, Volts],
    ) -> tuple[dict[str, float], dict[str, float]]:
        """Volts lost from the source to the end of every run, node by node, running and starting."""
        lost: dict[str, float] = {}
        lost_start: dict[str, float] = {}
        for run in feed.runs:
            one, more = self.runs[run], back.get(run, (0.0, 0.0))
            loop = one.cores_in_line * cut_m[run] * self.hot_ohm(run, stretches, index) + one.extra_ohm
            lost[run] = (lost[one.after] if one.after else upstream[0]) + loop * one.amps + more[0]
            lost_start[run] = (lost_start[one.after] if one.after else upstream[1]) + loop * one.start_amps + more[1]
        return lost, lost_start

    def hot_ohm(self, run: str, stretches: Mapping[str, Sequence[Stretch]], index: Mapping[str, int]) -> float:
        """Resistance of one core of a run's present cable, hot [ohm/m]; 0 where nothing is to be sized."""
        conductor = self.conductor(run, index)
        if conductor is None:
            return 0.0
        said = self.shop.conductor_temperature
        hot = max(conductor.insulation_c if said is None else said, *(s.ambient_c for s in stretches[run]))
        return hot_ohm_per_m(conductor, hot)

    def _beyond(self, feed: Feed, run: str) -> list[str]:
        """Runs fed through this one."""
        found = [run]
        for other in feed.runs:
            if self.runs[other].after in found:
                found.append(other)
        return found[1:]

    def reason(self, run: str, index: Mapping[str, int], demand: Demand | None) -> str:
        """Why not the next thinner cable in stock."""
        if demand is None:
            return "as stated"
        if len(self.cables[run]) == 1:
            return "stated"
        if index[run] == 0:
            return "smallest in stock" if not self.runs[run].least else "the least that was asked for"
        thinner = self.cables[run][index[run] - 1].conductor
        if thinner is None:
            return "smallest in stock"
        broken = passes(thinner, replace(demand, fuse_a=None), self.rules_of(run)).broken
        if not broken:
            feeds_on = any(feed.parent == self.runs[run].circuit for feed in self.feeds)
            return "drop of what it feeds" if feeds_on else "kept alike along the circuit"
        return hardest(broken).name
