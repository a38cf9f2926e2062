"""The choice for many plain runs at once: arrays in, arrays out, the same answers as `choose_conductor` one by one.

A plain run has one leg, and stretches that are judged by factors, by heat balances, or both. Runs with chains, makers'
demands or terminals go one by one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ribway.sizing.ampacity import BAND_K, BASE_AMBIENT_C, base_ampacity
from ribway.sizing.conductor import Conductor
from ribway.sizing.errors import BadNumberError, SizingError
from ribway.sizing.fuse import ROUNDING, fuse_ratings
from ribway.sizing.heat.many import ManySections, heat_per_core
from ribway.sizing.metals import metal_named
from ribway.sizing.resistance import conductor_ohm_per_m_20c
from ribway.sizing.rules import SizingRules, bundle_steps, fuse_window, least_size
from ribway.sizing.verdict import FACTOR_IS_LAW_V, PLAY

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

LIMITS: Final = ("mechanical minimum", "ampacity", "fuse window", "drop", "start drop")
"""Order in which a reason is looked for, as `verdict.passes` lists its limits."""
NONE_FITS: Final = -1
SMALLEST: Final = "smallest in stock"


@dataclass(frozen=True)
class ManyRuns:
    """Plain runs, one a row; `nan` where a field of `Demand` would be None.

    Attributes:
        cut_m: `(n,)` cable lengths one way [m].
        run_a: `(n,)` design currents [A].
        start_a: `(n,)` starting currents [A]; `nan`: as running.
        ambient_c: `(n, k)` hottest air in each stretch [deg C]; `nan`: no such stretch.
        loaded: `(n, k)` loaded conductors in each stretch.
        nominal_v: `(n,)` nominal voltages [V].
        drop_percent: `(n,)` greatest drops [%]; `nan`: no limit.
        start_percent: `(n,)` greatest drops while starting [%]; `nan`: no limit.
        upstream_v: `(n,)` lost before the run [V].
        upstream_start_v: `(n,)` the same while starting [V]; `nan`: as running.
        circuit_a: `(n,)` design current of the circuit [A].
        fuse_a: `(n,)` settled fuse [A]; `nan`: to be chosen.
        copper_c: `(n,)` temperature of the copper for the drop [deg C]; `nan`: the insulation's.
        sections: heat of the stretches; None if no stretch's is described.
    """

    cut_m: Floats
    run_a: Floats
    start_a: Floats
    ambient_c: Floats
    loaded: Ints
    nominal_v: Floats
    drop_percent: Floats
    start_percent: Floats
    upstream_v: Floats
    upstream_start_v: Floats
    circuit_a: Floats
    fuse_a: Floats
    copper_c: Floats
    sections: ManySections | None = None

    def __post_init__(self) -> None:
        count = len(self.cut_m)
        for name in ("cut_m", "run_a", "nominal_v", "upstream_v", "circuit_a"):
            self._check(name, count, may_be_nan=False)
        for name in ("start_a", "drop_percent", "start_percent", "upstream_start_v", "fuse_a", "copper_c"):
            self._check(name, count, may_be_nan=True)
        if self.ambient_c.shape != self.loaded.shape or self.ambient_c.ndim != 2 or len(self.ambient_c) != count:
            raise SizingError(f"stretches of {count} runs: ambient {self.ambient_c.shape}, loaded {self.loaded.shape}")
        if np.isnan(self.ambient_c).all(axis=1).any():
            raise SizingError("a run without surroundings: give at least one stretch with its ambient")
        if self.sections is not None and self.sections.diameter_m.shape != self.ambient_c.shape:
            raise SizingError(f"sections {self.sections.diameter_m.shape}, stretches {self.ambient_c.shape}")
        if (self.nominal_v == 0.0).any() or (self.loaded[~np.isnan(self.ambient_c)] < 1).any():
            raise BadNumberError("a nominal voltage of 0 V, or fewer than 1 loaded conductor; give more")

    def _check(self, name: str, count: int, *, may_be_nan: bool) -> None:
        values: Floats = getattr(self, name)
        if values.shape != (count,):
            raise SizingError(f"{name} has shape {values.shape}; {count} runs want ({count},)")
        fine = np.isfinite(values) & (values >= 0.0) | (np.isnan(values) if may_be_nan else False)
        if not fine.all():
            raise BadNumberError(f"{name} of run {int(np.argmin(fine))} is {values[~fine][0]!r}; give 0 or more")


@dataclass(frozen=True)
class ManyChoices:
    """The choices, one a row.

    Attributes:
        index: `(n,)` place among the candidates; `NONE_FITS` if none will do.
        reason: `(n,)` what decided: the hardest broken limit of the candidate below; of the thickest if none will do.
        fuse_a: `(n,)` fuse [A]; `nan` if none will do.
        ampacity_a: `(n,)` derated ampacity [A]; `nan` if none will do.
        lost_v: `(n,)` volts lost, upstream included [V]; `nan` if none will do.
    """

    index: Ints
    reason: NDArray[np.str_]
    fuse_a: Floats
    ampacity_a: Floats
    lost_v: Floats


def choose_many(candidates: Sequence[Conductor], runs: ManyRuns, rules: SizingRules) -> ManyChoices:
    """The first candidate that keeps every limit, for many plain runs at once.

    Args:
        candidates: stock, thin to thick (see `choice.stock_order`).
        runs: the runs.
        rules: rule set; every run is fused.

    Returns:
        Index, reason, fuse, ampacity and loss of each.

    Raises:
        SizingError: no candidate, or candidates not thin to thick.
    """
    if not candidates:
        raise SizingError("no stocked cable to choose from: none has the cores wanted, or the stock is empty")
    if any(thin.copper_mm2 > thick.copper_mm2 for thin, thick in pairwise(candidates)):
        raise SizingError("order the stock thin to thick")
    count, stock = len(runs.cut_m), len(candidates)
    strains = np.empty((stock, len(LIMITS), count))
    holds = np.empty((stock, len(LIMITS), count), dtype=np.bool_)
    amps, lost, fuses = (np.empty((stock, count)) for _ in range(3))
    left: dict[tuple[float, str], tuple[Floats, Floats | None]] = {}
    wanted = _fuse_wanted(runs, rules)
    for place, one in enumerate(candidates):
        key = one.insulation_c, one.metal
        if key not in left:
            left[key] = _kept(runs, one, rules)
        amps[place] = _ampacity(one, left[key], rules)
        fuses[place], fuse_strain, fuse_holds = _held_by_fuse(runs, wanted, amps[place], rules)
        running, starting = _lost(runs, one)
        lost[place] = running
        rule = least_size(rules.least_size)
        least = np.full(count, rule.sheath_mm2 if one.sheath else rule.single_mm2)
        rows = (
            _at_most(least, np.full(count, one.counts_as_mm2)),
            _at_most(runs.run_a, amps[place]),
            (fuse_strain, fuse_holds),
            _at_most(100.0 * running / runs.nominal_v, runs.drop_percent),
            _at_most(100.0 * starting / runs.nominal_v, runs.start_percent),
        )
        for row, (strain, kept) in enumerate(rows):
            strains[place, row], holds[place, row] = strain, kept
    fits: Bools = np.asarray(holds.all(axis=1), dtype=np.bool_)
    some = fits.any(axis=0)
    index = np.where(some, fits.argmax(axis=0), NONE_FITS)
    at, each = np.maximum(index, 0), np.arange(count)
    below = np.where(some, index - 1, stock - 1)
    broken = np.where(holds, -np.inf, strains)[np.maximum(below, 0), :, each]
    hardest = (broken >= broken.max(axis=1, keepdims=True) * (1.0 - PLAY)).argmax(axis=1)  # the first of equals
    reason = np.where(below < 0, SMALLEST, np.array(LIMITS)[hardest])
    picked = [np.where(some, table[at, each], np.nan) for table in (fuses, amps, lost)]
    return ManyChoices(index.astype(np.int64), reason, *picked)


def _at_most(value: Floats, bound: Floats) -> tuple[Floats, Bools]:
    """Strain and whether a value is at most a bound; a bound of `nan` asks nothing. See `verdict.Limit`."""
    asks = ~np.isnan(bound)
    holds = np.asarray(~asks | (bound - value >= -PLAY * np.maximum(np.abs(bound), np.abs(value))), dtype=np.bool_)
    with np.errstate(divide="ignore", invalid="ignore"):
        strain = np.where(bound > 0.0, value / bound, np.where(value > 0.0, np.inf, 0.0))
    return np.where(asks, strain, -np.inf), holds


def _kept(runs: ManyRuns, one: Conductor, rules: SizingRules) -> tuple[Floats, Floats | None]:
    """Share that ambient and bundle leave in each stretch, and what a core may give off there by its heat balance."""
    heat = None
    if runs.sections is not None and rules.derating != "factor":
        alpha = metal_named(one.metal).alpha_per_k
        heat = heat_per_core(runs.sections, runs.ambient_c, one.insulation_c, alpha)
    return _shares(runs, one.insulation_c, rules), heat


def _ampacity(one: Conductor, kept: tuple[Floats, Floats | None], rules: SizingRules) -> Floats:
    """What a candidate may carry in its worst stretch. See `ampacity.derated_ampacity`."""
    share, heat = kept
    amps = base_ampacity(one, rules.base).amps * share
    if heat is not None:
        amps = np.fmin(amps, np.sqrt(heat / conductor_ohm_per_m_20c(one)))
    return np.asarray(np.nanmin(amps, axis=1), dtype=np.float64)


def _shares(runs: ManyRuns, insulation_c: float, rules: SizingRules) -> Floats:
    """What ambient and bundle leave in each stretch. See `ampacity.ambient_factor`, `rules.bundle_factor`."""
    bundle = np.ones(runs.loaded.shape)
    for step in bundle_steps(rules.bundle):
        inside = (runs.loaded >= step.least) & (runs.loaded <= (np.inf if step.most is None else step.most))
        bundle[inside] = step.factor
    if rules.derating == "heat" and runs.sections is not None:
        by_heat = ~np.isnan(runs.sections.diameter_m) & (runs.nominal_v < FACTOR_IS_LAW_V)[:, None]
        bundle[by_heat] = 1.0
    air = np.where(np.isnan(runs.ambient_c), -np.inf, runs.ambient_c)
    ambient = np.ones(air.shape)
    if rules.ambient != "none":
        hot = air > BASE_AMBIENT_C
        top_c = BAND_K * np.ceil(air[hot] / BAND_K - 1e-9)
        ambient[hot] = np.sqrt(np.maximum(0.0, (insulation_c - top_c) / (insulation_c - BASE_AMBIENT_C)))
    return np.where(np.isnan(runs.ambient_c), np.nan, ambient * bundle)


def _fuse_wanted(runs: ManyRuns, rules: SizingRules) -> Floats:
    """The settled fuse, or the smallest one can buy for the load; infinite if none is big enough, 0 if too small."""
    least = np.maximum(runs.run_a, runs.circuit_a) * fuse_window(rules.fuse_window).load_factor
    ratings = np.array([one.rating_a for one in fuse_ratings()] + [np.inf])
    bought = ratings[np.searchsorted(ratings, least * (1.0 - ROUNDING))]
    settled = np.where(runs.fuse_a < least * (1.0 - ROUNDING), 0.0, runs.fuse_a)
    return np.where(np.isnan(runs.fuse_a), bought, settled)


def _held_by_fuse(
    runs: ManyRuns, wanted: Floats, ampacity_a: Floats, rules: SizingRules
) -> tuple[Floats, Floats, Bools]:
    """Fuse, strain and whether it lies in its window. See `verdict._fuse_limit`."""
    window = fuse_window(rules.fuse_window)
    most = ampacity_a * window.ampacity_factor
    helpless = np.isinf(wanted) | (wanted == 0.0)
    holds = ~helpless & (wanted <= most * (1.0 + ROUNDING))
    strain, _ = _at_most(wanted, most)
    # No wire helps: strained by what the load asks for over what is settled.
    load = np.maximum(runs.run_a, runs.circuit_a) * window.load_factor
    with np.errstate(divide="ignore", invalid="ignore"):
        by_load = np.where(np.isnan(runs.fuse_a), np.inf, load / np.nan_to_num(runs.fuse_a))
    return wanted, np.where(helpless, by_load, strain), holds


def _lost(runs: ManyRuns, one: Conductor) -> tuple[Floats, Floats]:
    """Volts lost running and starting. See `verdict.node_lost_v`."""
    said = np.where(np.isnan(runs.copper_c), one.insulation_c, runs.copper_c)
    hot = np.maximum(said, np.nanmax(runs.ambient_c, axis=1))
    alpha = metal_named(one.metal).alpha_per_k
    loop = 2.0 * runs.cut_m * conductor_ohm_per_m_20c(one) * (1.0 + alpha * (hot - 20.0))
    start_a = np.where(np.isnan(runs.start_a), runs.run_a, runs.start_a)
    before = np.where(np.isnan(runs.upstream_start_v), runs.upstream_v, runs.upstream_start_v)
    return runs.upstream_v + runs.run_a * loop, before + start_a * loop
