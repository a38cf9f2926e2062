"""Choices for many runs at once: 120,000 against a checker in arrays that shares no code, 600 against the choice one by one."""

import importlib.util
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from ribway.sizing.choice import Choice, choose_conductor
from ribway.sizing.conductor import Conductor
from ribway.sizing.demand import Demand, Leg, Stretch
from ribway.sizing.errors import BadNumberError, SizingError
from ribway.sizing.fuse import FuseChoice
from ribway.sizing.gauge import awg_area_mm2, sae_area_mm2
from ribway.sizing.heat.many import ManySections
from ribway.sizing.heat.section import Section
from ribway.sizing.many_choices import NONE_FITS, ManyRuns, choose_many
from ribway.sizing.rules import rule_set
from ribway.sizing.verdict import hardest

_SPEC = importlib.util.spec_from_file_location("sizing_reference", Path(__file__).with_name("reference.py"))
assert _SPEC is not None
assert _SPEC.loader is not None
reference = importlib.util.module_from_spec(_SPEC)
_SPEC.loader.exec_module(reference)

METRIC = tuple(
    Conductor(f"m{area:g}", "metric", f"{area:g}", area, 2, 105.0, True)
    for area in (0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0)
)
AWG = tuple(
    Conductor(name, "awg", name, awg_area_mm2(name), 2, 90.0, False)
    for name in ("18", "16", "14", "12", "8", "4", "1/0")
)
SAE = tuple(
    Conductor(name, "sae", name, sae_area_mm2(name), 2, 125.0, True) for name in ("16", "14", "12", "10", "6", "2")
)


def some(rng, count, share, low, high):
    return np.where(rng.random(count) < share, rng.uniform(low, high, count), np.nan)


def random_runs(seed, count):
    rng = np.random.default_rng(seed)
    run_a = np.round(rng.uniform(0, 1, count) ** 2 * 60, 1)
    ambient = rng.choice([20.0, 30.0, 40.0, 52.5, 60.0, 71.3], (count, 3))
    ambient[:, 1:][rng.random((count, 2)) < 0.5] = np.nan
    return ManyRuns(
        cut_m=rng.uniform(0.2, 12, count),
        run_a=run_a,
        start_a=np.where(rng.random(count) < 0.3, run_a * 3, np.nan),
        ambient_c=ambient,
        loaded=rng.choice([2, 2, 3, 4, 6, 8, 24, 25, 45], (count, 3)),
        nominal_v=rng.choice([12.0, 24.0, 48.0], count),
        drop_percent=np.where(rng.random(count) < 0.9, rng.choice([3.0, 5.0, 10.0], count), np.nan),
        start_percent=np.where(rng.random(count) < 0.3, 15.0, np.nan),
        upstream_v=rng.choice([0.0, 0.1, 0.3], count),
        upstream_start_v=some(rng, count, 0.2, 0.0, 0.6),
        circuit_a=rng.choice([0.0, 10.0, 25.0], count),
        fuse_a=np.where(rng.random(count) < 0.3, rng.choice([5.0, 15.0, 30.0], count), np.nan),
        copper_c=np.where(rng.random(count) < 0.5, rng.choice([20.0, 75.0], count), np.nan),
    )


def with_heat(runs, seed):
    """Two stretches of three described as bundles, beside others or alone."""
    rng, shape = np.random.default_rng(seed), runs.ambient_c.shape
    described = (rng.random(shape) < 0.6) & ~np.isnan(runs.ambient_c)
    return replace(
        runs,
        sections=ManySections(
            np.where(described, rng.uniform(0.004, 0.05, shape), np.nan),
            np.where(rng.random(shape) < 0.5, rng.uniform(0, 8, shape), 0.0),
            np.where(rng.random(shape) < 0.3, rng.choice([70.0, 90.0, 105.0], shape), np.nan),
            rng.choice([1.0, 2.0, 2.0, 3.0], len(runs.cut_m)),
        ),
    )


# ISO 10133:2012 table A.1 at 105 C (memory), typed here once more.
ISO_105_C = {0.75: 16, 1: 20, 1.5: 25, 2.5: 35, 4: 45, 6: 60, 10: 90, 16: 130, 25: 170, 35: 210}


def table_amps(wire, rules):
    if rules.base == "ISO10133":
        assert wire["insulation"] == 105
        return max((amps for area, amps in ISO_105_C.items() if area <= wire["area"]), default=0.0)
    column = max(one for one in reference.COLUMNS if one <= wire["insulation"])
    gauge = [name for name, area in reference.AREAS if area <= reference.copper_mm2(wire) * (1 + 1e-12)][-1]
    return reference.base_amps(gauge, column)


def cool_enough(amps, wire, runs, k):
    """Whether, with all metal at its limit, a bundle's surface gives off what is made inside; true where not described.

    One question at one temperature: Churchill and Chu (1975), Stefan and Boltzmann, Sutherland; q/(4 pi k) to the middle.
    """
    width, air = runs.sections.diameter_m[:, k], runs.ambient_c[:, k]
    limit = np.fmin(wire["insulation"], runs.sections.others_insulation_c[:, k])
    grown = 1 + 0.00393 * (limit - 20)
    per_core = amps**2 * reference.ohm_per_m(wire, 20) * grown
    total = per_core * runs.sections.cores + runs.sections.others_w_per_m_20c[:, k] * grown
    surface = limit - total / (4 * np.pi * 0.15) - per_core * np.log(2) / (2 * np.pi * 0.17)
    kelvin = (surface + air) / 2 + 273.15
    mu = 1.716e-5 * (kelvin / 273.15) ** 1.5 * (273.15 + 110.4) / (kelvin + 110.4)
    nu, conducts = mu * 287.05 * kelvin / 101325, mu * 1006 / 0.707
    rise = np.maximum(surface - air, 0)
    rayleigh = 9.80665 * rise * width**3 / (kelvin * nu**2) * 0.707
    nusselt = (0.60 + 0.387 * rayleigh ** (1 / 6) / (1 + (0.559 / 0.707) ** (9 / 16)) ** (8 / 27)) ** 2
    off = np.pi * (
        nusselt * conducts * rise + width * 0.9 * 5.670374e-8 * ((surface + 273.15) ** 4 - (air + 273.15) ** 4)
    )
    nothing = (amps == 0) & (surface > -273)  # what carries nothing is never too much for its own insulation
    return np.isnan(width) | ((surface > air) & (off >= total * (1 - 1e-9))) | nothing


def fine_many(wire, runs, rules):
    """Whether a wire keeps every limit of each run: plain arrays and the tables of `reference.py`."""
    eps = 1e-9
    kept = np.full(len(runs.cut_m), np.inf)
    for k in range(runs.ambient_c.shape[1]):
        air, n = runs.ambient_c[:, k], runs.loaded[:, k]
        if rules.bundle == "33CFR183":
            bundle = np.select([n < 3, n < 4, n < 7, n < 25], [1, 0.7, 0.6, 0.5], 0.4)
        else:
            bundle = np.select([n < 4, n < 7, n < 10, n < 21, n < 31, n < 41], [1, 0.8, 0.7, 0.5, 0.45, 0.4], 0.35)
        tops = np.arange(30, 200, 5)
        top = tops[np.searchsorted(tops, np.nan_to_num(air, nan=0.0) - 1e-9)]
        hot = np.sqrt(np.clip((wire["insulation"] - top) / (wire["insulation"] - 30), 0, 1))
        if rules.derating == "heat" and runs.sections is not None:
            bundle = np.where(np.isnan(runs.sections.diameter_m[:, k]) | (runs.nominal_v >= 50), bundle, 1.0)
        kept = np.fmin(kept, np.where(np.isnan(air), np.nan, hot * bundle))
    may = table_amps(wire, rules) * kept
    least = {"ISO10133": (1.0, 0.75), "33CFR183": (1.308, 0.823)}[rules.least_size][1 if wire["sheath"] else 0]
    fine = np.full(len(may), reference.copper_mm2(wire) >= least) & (runs.run_a <= may * (1 + eps))
    load = 1.25 * np.maximum(runs.run_a, runs.circuit_a)
    ratings = np.array([*reference.BLADE, *reference.BOLTED, np.inf])
    bought = np.array([ratings[ratings >= one * (1 - eps)][0] for one in np.unique(load)])
    fuse = np.where(np.isnan(runs.fuse_a), bought[np.unique(load, return_inverse=True)[1]], runs.fuse_a)
    most = may * (1.5 if rules.fuse_window == "33CFR183-150" else 1.0)
    fine &= (fuse >= load * (1 - eps)) & (fuse <= most * (1 + eps))
    if runs.sections is not None and rules.derating != "factor":
        through = fuse / (1.5 if rules.fuse_window == "33CFR183-150" else 1.0)
        for k in range(runs.ambient_c.shape[1]):
            with np.errstate(invalid="ignore"):
                fine &= cool_enough(np.maximum(runs.run_a, through), wire, runs, k)
    celsius = np.fmax(
        np.fmax.reduce(runs.ambient_c, axis=1), np.where(np.isnan(runs.copper_c), wire["insulation"], runs.copper_c)
    )
    ohm = reference.ohm_per_m(wire, 20) * (1 + 0.00393 * (celsius - 20))
    for amps, before, limit in (
        (runs.run_a, runs.upstream_v, runs.drop_percent),
        (
            np.where(np.isnan(runs.start_a), runs.run_a, runs.start_a),
            np.where(np.isnan(runs.upstream_start_v), runs.upstream_v, runs.upstream_start_v),
            runs.start_percent,
        ),
    ):
        lost = before + amps * ohm * runs.cut_m * 2
        fine &= np.isnan(limit) | (lost <= limit / 100 * runs.nominal_v * (1 + eps))
    return fine


@pytest.mark.parametrize(
    ("stock", "name", "derating", "count"),
    [
        (METRIC, "careful", "factor", 20000),
        (AWG, "33CFR183", "factor", 20000),
        (SAE, "NEC", "factor", 20000),
        (METRIC, "careful", "stricter", 20000),
        (METRIC, "ISO13297", "stricter", 20000),
        (SAE, "NEC", "heat", 20000),
    ],
)
def test_the_smallest_that_passes(stock, name, derating, count):
    runs, rules = random_runs(count, count), replace(rule_set(name), derating=derating)
    if derating != "factor":
        runs = with_heat(runs, 11)
    chosen = choose_many(stock, runs, rules)
    fine = np.array(
        [
            fine_many(
                {
                    "system": w.system,
                    "name": w.size_name,
                    "area": w.area_mm2,
                    "insulation": w.insulation_c,
                    "sheath": w.sheath,
                },
                runs,
                rules,
            )
            for w in stock
        ]
    )
    expected = np.where(fine.any(axis=0), fine.argmax(axis=0), NONE_FITS)
    assert (chosen.index == expected).all()
    assert len(set(chosen.index.tolist())) >= len(stock) - 1  # nearly every size is chosen somewhere
    assert 0.05 < (expected == NONE_FITS).mean() < 0.95
    assert (np.isnan(chosen.lost_v) == (expected == NONE_FITS)).all()


def section_of(runs, n, k):
    if runs.sections is None or np.isnan(runs.sections.diameter_m[n, k]):
        return None
    rating = runs.sections.others_insulation_c[n, k]
    return Section(
        float(runs.sections.diameter_m[n, k]),
        float(runs.sections.others_w_per_m_20c[n, k]),
        None if np.isnan(rating) else float(rating),
        int(runs.sections.cores[n]),
    )


def rows_as_demands(runs):
    def given(value):
        return None if np.isnan(value) else float(value)

    for n in range(len(runs.cut_m)):
        stretches = [
            Stretch(f"s{k}", float(air), int(count), section_of(runs, n, k))
            for k, (air, count) in enumerate(zip(runs.ambient_c[n], runs.loaded[n], strict=True))
            if not np.isnan(air)
        ]
        yield Demand(
            (Leg(float(runs.cut_m[n]), float(runs.run_a[n]), given(runs.start_a[n])),),
            tuple(stretches),
            float(runs.nominal_v[n]),
            given(runs.drop_percent[n]),
            given(runs.start_percent[n]),
            upstream_v=float(runs.upstream_v[n]),
            upstream_start_v=given(runs.upstream_start_v[n]),
            circuit_a=float(runs.circuit_a[n]),
            fuse_a=given(runs.fuse_a[n]),
            conductor_temperature_c=given(runs.copper_c[n]),
        )


@pytest.mark.parametrize(
    ("stock", "name", "derating"),
    [(METRIC, "careful", "factor"), (AWG, "33CFR183", "factor"), (SAE, "NEC", "factor"), (METRIC, "ISO13297", "stricter"),
     (AWG, "careful", "heat")],
)  # fmt: skip
def test_the_same_as_one_by_one(stock, name, derating):
    runs, rules = random_runs(7, 120), replace(rule_set(name), derating=derating)
    if derating != "factor":
        runs = with_heat(runs, 5)
    chosen = choose_many(stock, runs, rules)
    for n, demand in enumerate(rows_as_demands(runs)):
        answer = choose_conductor(stock, demand, rules)
        if isinstance(answer, Choice):
            verdict = answer.verdict
            assert isinstance(verdict.fuse, FuseChoice)
            assert (answer.index, answer.reason) == (chosen.index[n], chosen.reason[n])
            assert chosen.fuse_a[n] == verdict.fuse.fuse.rating_a
            assert chosen.ampacity_a[n] == pytest.approx(verdict.ampacity.derated_a, rel=1e-10)
            assert chosen.lost_v[n] == pytest.approx(verdict.node_lost_v[0], rel=1e-12)
        else:
            assert chosen.index[n] == NONE_FITS
            assert chosen.reason[n] == hardest(answer.largest.broken).name


def test_inputs_are_left_alone():
    runs = random_runs(3, 50)
    names = [name for name in runs.__dataclass_fields__ if name != "sections"]
    before = [getattr(runs, name).copy() for name in names]
    choose_many(METRIC, with_heat(runs, 2), rule_set())
    for name, old in zip(names, before, strict=True):
        assert np.array_equal(getattr(runs, name), old, equal_nan=True)


def test_bad_arrays_are_refused():
    runs = random_runs(3, 5)
    with pytest.raises(BadNumberError, match="cut_m of run 2"):
        replace(runs, cut_m=np.array([1, 1, np.nan, 1, 1]))
    with pytest.raises(SizingError, match=r"run_a has shape \(4,\); 5 runs want"):
        replace(runs, run_a=np.ones(4))
    with pytest.raises(SizingError, match="without surroundings"):
        replace(runs, ambient_c=np.full((5, 3), np.nan))
    with pytest.raises(BadNumberError, match="fewer than 1 loaded"):
        replace(runs, loaded=np.zeros((5, 3), dtype=np.int64))
    with pytest.raises(SizingError, match=r"sections \(5, 3\), stretches \(4, 3\)"):
        replace(random_runs(3, 4), sections=with_heat(runs, 1).sections)
    with pytest.raises(BadNumberError, match="fewer than 1 core"):
        replace(with_heat(runs, 1).sections, cores=np.zeros(5))
    with pytest.raises(BadNumberError, match="without a diameter"):
        replace(with_heat(runs, 1).sections, diameter_m=np.zeros((5, 3)))
    with pytest.raises(SizingError, match="thin to thick"):
        choose_many(METRIC[::-1], runs, rule_set())
    with pytest.raises(SizingError, match="no stocked cable"):
        choose_many((), runs, rule_set())
