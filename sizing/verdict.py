"""Whether one stocked conductor will do for one demand: every limit, its margin, and the fuse. `passes` is the one
question that planner, audit text and explanations share."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal

from ribway.sizing.ampacity import Ampacity, derated_ampacity
from ribway.sizing.conductor import Conductor
from ribway.sizing.demand import Demand
from ribway.sizing.drop import chain_drops
from ribway.sizing.fuse import FuseChoice, NoFuse, check_fuse, choose_fuse
from ribway.sizing.maker import MakerLimits, Terminal
from ribway.sizing.resistance import hot_ohm_per_m
from ribway.sizing.rules import SizingRules, fuse_window, least_size

LimitName = Literal[
    "mechanical minimum",
    "ampacity",
    "fuse window",
    "drop",
    "start drop",
    "maker's area",
    "maker's fuse",
    "maker's drop",
    "terminal",
    "plug",
]
FACTOR_IS_LAW_V: Final = 50.0
"""From this voltage on the bundle factor is law [V] (33 CFR 183.425 note 2), and no heat balance stands in for it."""
PLAY: Final = 1e-9
"""Relative play for comparing numbers that are equal but for the last bits."""


@dataclass(frozen=True)
class Limit:
    """One limit and how it came out.

    Attributes:
        name: which.
        value: what was found.
        bound: what is allowed.
        sense: whether the value must be at most or at least the bound.
        unit: of both.
        size_helps: if it is broken, whether a thicker conductor can mend it.
        says: one clause for people.
    """

    name: LimitName
    value: float
    bound: float
    sense: Literal["at most", "at least"]
    unit: str
    size_helps: bool
    says: str

    @property
    def margin(self) -> float:
        """Room left, in `unit`; negative if the limit is broken."""
        return self.bound - self.value if self.sense == "at most" else self.value - self.bound

    @property
    def holds(self) -> bool:
        """Whether the limit is kept."""
        return self.margin >= -PLAY * max(abs(self.bound), abs(self.value))

    @property
    def strain(self) -> float:
        """How hard the limit is pressed: 1 exactly at it, more when broken; to compare limits of different units."""
        over, under = (self.value, self.bound) if self.sense == "at most" else (self.bound, self.value)
        return over / under if under > 0.0 else (float("inf") if over > 0.0 else 0.0)


@dataclass(frozen=True)
class Verdict:
    """A conductor held against a demand.

    Attributes:
        conductor: which.
        limits: all that apply, kept or broken.
        ampacity: in the worst stretch, factor by factor.
        fuse: the fuse, why none fits, or None if the run has no fuse.
        node_lost_v: `(n,)` lost from source to each node, what lies beyond the node included, running [V].
        node_lost_start_v: the same while starting [V].
        device_v: lowest voltage at a device, running [V].
        device_start_v: the same while starting [V].
        copper_c: temperature the drop was reckoned at [deg C].
        ohm_per_m: resistance of one core at that temperature [ohm/m].
        warnings: sentences that must be said with it.
    """

    conductor: Conductor
    limits: tuple[Limit, ...]
    ampacity: Ampacity
    fuse: FuseChoice | NoFuse | None
    node_lost_v: tuple[float, ...]
    node_lost_start_v: tuple[float, ...]
    device_v: float
    device_start_v: float
    copper_c: float
    ohm_per_m: float
    warnings: tuple[str, ...]

    @property
    def ok(self) -> bool:
        """Whether every limit is kept."""
        return all(limit.holds for limit in self.limits)

    @property
    def broken(self) -> tuple[Limit, ...]:
        """The limits that are not kept."""
        return tuple(limit for limit in self.limits if not limit.holds)

    def limit(self, name: LimitName) -> Limit | None:
        """The limit of that name, or None if it does not apply."""
        return next((limit for limit in self.limits if limit.name == name), None)


def node_lost_v(demand: Demand, ohm_per_m: float, *, starting: bool) -> tuple[float, ...]:
    """Volts lost from the source to the worst device at or beyond each node.

    Args:
        demand: the demand.
        ohm_per_m: resistance of one core, hot [ohm/m].
        starting: with starting currents.

    Returns:
        `(n,)` volts, upstream, fixed and beyond losses included.
    """
    loops, amps, beyond = [], [], []
    for leg in demand.legs:
        there = leg.cut_m * ohm_per_m
        loops.append(there + (there if leg.return_ohm is None else leg.return_ohm) + leg.extra_ohm)
        started = starting and leg.start_a is not None
        amps.append(leg.start_a if started and leg.start_a is not None else leg.run_a)
        beyond.append(leg.beyond_start_v if starting and leg.beyond_start_v is not None else leg.beyond_v)
    before = demand.upstream_start_v if starting and demand.upstream_start_v is not None else demand.upstream_v
    drops = chain_drops(loops, amps, before + demand.fixed_loss_v)
    return tuple(drop + past for drop, past in zip(drops, beyond, strict=True))


def hardest(limits: Sequence[Limit]) -> Limit:
    """The limit that is pressed hardest, the first of equals but for the last bits."""
    most = max(limit.strain for limit in limits)
    return next(limit for limit in limits if limit.strain >= most * (1.0 - PLAY))


def passes(conductor: Conductor, demand: Demand, rules: SizingRules) -> Verdict:
    """Hold one stocked conductor against a demand.

    Args:
        conductor: the stocked cable.
        demand: currents, limits, surroundings.
        rules: rule set.

    Returns:
        Every limit with its margin, the ampacity factor by factor, the fuse, the volts. `verdict.ok` is the answer.
    """
    if rules.derating == "heat" and demand.nominal_v >= FACTOR_IS_LAW_V:
        rules = replace(rules, derating="stricter")
    ampacity = derated_ampacity(conductor, demand.stretches, rules)
    copper_c = demand.copper_c(conductor.insulation_c)
    ohm_per_m = hot_ohm_per_m(conductor, copper_c)
    running = node_lost_v(demand, ohm_per_m, starting=False)
    starting = node_lost_v(demand, ohm_per_m, starting=True) if demand.starts else running
    fuse = _fuse(demand, ampacity, rules)
    limits = [_least_limit(conductor, demand, rules), _ampacity_limit(demand, ampacity)]
    if fuse is not None:
        limits.append(_fuse_limit(demand, ampacity, fuse, rules))
    if demand.drop_limit_percent is not None:
        limits.append(_drop_limit("drop", demand, running, demand.drop_limit_percent, starting=False))
    if demand.start_limit_percent is not None:
        limits.append(_drop_limit("start drop", demand, starting, demand.start_limit_percent, starting=True))
    if demand.maker is not None:
        limits += _maker_limits(conductor, demand, demand.maker, fuse, max(running))
    limits += [limit for terminal in demand.terminals for limit in _terminal_limits(conductor, demand, terminal)]
    warnings = (fuse.warning,) if isinstance(fuse, FuseChoice) and fuse.warning else ()
    return Verdict(
        conductor=conductor,
        limits=tuple(limits),
        ampacity=ampacity,
        fuse=fuse,
        node_lost_v=running,
        node_lost_start_v=starting,
        device_v=demand.nominal_v - max(running),
        device_start_v=demand.nominal_v - max(starting),
        copper_c=copper_c,
        ohm_per_m=ohm_per_m,
        warnings=warnings,
    )


def _fuse(demand: Demand, ampacity: Ampacity, rules: SizingRules) -> FuseChoice | NoFuse | None:
    if not demand.fused:
        return None
    if demand.fuse_a is None:
        return choose_fuse(demand.fuse_load_amps, ampacity.derated_a, rules.fuse_window)
    return check_fuse(demand.fuse_a, demand.fuse_load_amps, ampacity.derated_a, rules.fuse_window)


def _least_limit(conductor: Conductor, demand: Demand, rules: SizingRules) -> Limit:
    rule = least_size(rules.least_size)
    bound, because = (rule.sheath_mm2, "in a sheath") if conductor.sheath else (rule.single_mm2, "single")
    says = f"at least {bound:g} mm2 {because} ({rule.name})"
    if demand.least_area_mm2 > bound:
        bound, says = demand.least_area_mm2, f"at least {demand.least_area_mm2:.4g} mm2 as asked for"
    return Limit("mechanical minimum", conductor.counts_as_mm2, bound, "at least", "mm2", True, says)


def _ampacity_limit(demand: Demand, ampacity: Ampacity) -> Limit:
    says = f"carries {demand.run_amps:.4g} A, may carry {ampacity.derated_a:.4g} A at {ampacity.where}"
    return Limit("ampacity", demand.run_amps, ampacity.derated_a, "at most", "A", True, says)


def _fuse_limit(demand: Demand, ampacity: Ampacity, fuse: FuseChoice | NoFuse, rules: SizingRules) -> Limit:
    if isinstance(fuse, NoFuse) and fuse.needed_ampacity_a is None:
        # No wire helps: the settled fuse is below the load, or no fuse is big enough.
        value = demand.fuse_a if demand.fuse_a is not None else 0.0
        return Limit("fuse window", value, fuse.least_a, "at least", "A", False, fuse.remedy)
    if isinstance(fuse, FuseChoice):
        rating, says = (
            fuse.fuse.rating_a,
            f"{fuse.fuse.rating_a:g} A between {fuse.least_a:.4g} and {fuse.most_a:.4g} A",
        )
    else:
        rating = (fuse.needed_ampacity_a or 0.0) * fuse_window(rules.fuse_window).ampacity_factor
        says = fuse.remedy
    return Limit("fuse window", rating, fuse.most_a, "at most", "A", True, says)


def _drop_limit(
    name: Literal["drop", "start drop"], demand: Demand, lost: tuple[float, ...], limit: float, *, starting: bool
) -> Limit:
    volts = max(lost)
    percent = 100.0 * volts / demand.nominal_v
    says = f"loses {volts:.3f} V of {demand.nominal_v:g} V at its end or beyond, {percent:.2f} %; allowed {limit:g} %"
    if percent <= limit:
        return Limit(name, percent, limit, "at most", "%", True, says)
    at_best = 100.0 * max(node_lost_v(demand, 0.0, starting=starting)) / demand.nominal_v
    if at_best >= limit:
        says += f"; {at_best:.2f} % is lost outside this run's copper"
    return Limit(name, percent, limit, "at most", "%", at_best < limit, says)


def _maker_limits(
    conductor: Conductor, demand: Demand, maker: MakerLimits, fuse: FuseChoice | NoFuse | None, lost_v: float
) -> list[Limit]:
    """What the maker of the device asks for, beside the rules: each is a limit of its own, so the stricter decides."""
    out: list[Limit] = []
    area = maker.least_area_mm2(demand.cut_m)
    if area is not None and math.isinf(area):
        says = f"{demand.cut_m:.2f} m one way is longer than the table of {maker.device}'s maker goes: move it or ask"
        out.append(Limit("maker's area", demand.cut_m, maker.longest_m, "at most", "m", False, says))
    elif area is not None:
        says = f"at least {area:g} mm2 for {demand.cut_m:.2f} m one way ({maker.device}, its maker's table)"
        out.append(Limit("maker's area", conductor.counts_as_mm2, area, "at least", "mm2", True, says))
    if maker.drop_v is not None:
        says = f"loses {lost_v:.3f} V; {maker.device}'s maker allows {maker.drop_v:g} V"
        at_best = max(node_lost_v(demand, 0.0, starting=False))
        out.append(Limit("maker's drop", lost_v, maker.drop_v, "at most", "V", at_best < maker.drop_v, says))
    if maker.fuse_a is not None and isinstance(fuse, FuseChoice):
        rating = fuse.fuse.rating_a
        says = f"fuse {rating:g} A; {maker.device}'s maker allows {maker.fuse_a:g} A"
        if rating > maker.fuse_a:
            says += ": give the device a fuse of its own"
        out.append(Limit("maker's fuse", rating, maker.fuse_a, "at most", "A", False, says))
    return out


def _terminal_limits(conductor: Conductor, demand: Demand, terminal: Terminal) -> list[Limit]:
    out: list[Limit] = []
    if terminal.most_mm2 is not None:
        says = f"{terminal.where} takes at most {terminal.most_mm2:g} mm2"
        if conductor.area_mm2 > terminal.most_mm2:
            says += ": end in a thinner tail with a fuse that fits it, or in a bigger terminal"
        out.append(Limit("terminal", conductor.area_mm2, terminal.most_mm2, "at most", "mm2", False, says))
    if terminal.least_mm2 > 0.0:
        says = f"{terminal.where} holds nothing thinner than {terminal.least_mm2:g} mm2"
        out.append(Limit("terminal", conductor.area_mm2, terminal.least_mm2, "at least", "mm2", True, says))
    if terminal.most_a is not None:
        says = f"{terminal.where} carries {demand.run_amps:.4g} A, may carry {terminal.most_a:g} A"
        out.append(Limit("plug", demand.run_amps, terminal.most_a, "at most", "A", False, says))
    return out
