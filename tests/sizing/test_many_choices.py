"""Choices for many runs at once: 100,000 against a checker in arrays that shares no code, 600 against the choice one by one."""

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


def fine_many(wire, runs, rules):
    """Whether a wire keeps every limit of each run: plain arrays and the tables of `reference.py`."""
    eps = 1e-9
    column = max(one for one in reference.COLUMNS if one <= wire["insulation"])
    gauge = [name for name, area in reference.AREAS if area <= reference.copper_mm2(wire) * (1 + 1e-12)][-1]
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
        kept = np.fmin(kept, np.where(np.isnan(air), np.nan, hot * bundle))
    may = reference.base_amps(gauge, column) * kept
    least = {"ISO10133": (1.0, 0.75), "33CFR183": (1.308, 0.823)}[rules.least_size][1 if wire["sheath"] else 0]
    fine = np.full(len(may), reference.copper_mm2(wire) >= least) & (runs.run_a <= may * (1 + eps))
    load = 1.25 * np.maximum(runs.run_a, runs.circuit_a)
    ratings = np.array([*reference.BLADE, *reference.BOLTED, np.inf])
    bought = np.array([ratings[ratings >= one * (1 - eps)][0] for one in np.unique(load)])
    fuse = np.where(np.isnan(runs.fuse_a), bought[np.unique(load, return_inverse=True)[1]], runs.fuse_a)
    most = may * (1.5 if rules.fuse_window == "33CFR183-150" else 1.0)
    fine &= (fuse >= load * (1 - eps)) & (fuse <= most * (1 + eps))
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
    ("stock", "name", "count"), [(METRIC, "careful", 40000), (AWG, "33CFR183", 30000), (SAE, "NEC", 30000)]
)
def test_the_smallest_that_passes(stock, name, count):
    runs, rules = random_runs(count, count), rule_set(name)
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


def rows_as_demands(runs):
    def given(value):
        return None if np.isnan(value) else float(value)

    for n in range(len(runs.cut_m)):
        stretches = [
            Stretch(f"s{k}", float(air), int(count))
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


@pytest.mark.parametrize(("stock", "name"), [(METRIC, "careful"), (AWG, "33CFR183"), (SAE, "NEC")])
def test_the_same_as_one_by_one(stock, name):
    runs, rules = random_runs(7, 200), rule_set(name)
    chosen = choose_many(stock, runs, rules)
    for n, demand in enumerate(rows_as_demands(runs)):
        answer = choose_conductor(stock, demand, rules)
        if isinstance(answer, Choice):
            verdict = answer.verdict
            assert isinstance(verdict.fuse, FuseChoice)
            assert (answer.index, answer.reason) == (chosen.index[n], chosen.reason[n])
            assert chosen.fuse_a[n] == verdict.fuse.fuse.rating_a
            assert chosen.ampacity_a[n] == pytest.approx(verdict.ampacity.derated_a, rel=1e-12)
            assert chosen.lost_v[n] == pytest.approx(verdict.node_lost_v[0], rel=1e-12)
        else:
            assert chosen.index[n] == NONE_FITS
            assert chosen.reason[n] == hardest(answer.largest.broken).name


def test_inputs_are_left_alone():
    runs = random_runs(3, 50)
    before = [getattr(runs, name).copy() for name in runs.__dataclass_fields__]
    choose_many(METRIC, runs, rule_set())
    for name, old in zip(runs.__dataclass_fields__, before, strict=True):
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
    with pytest.raises(SizingError, match="thin to thick"):
        choose_many(METRIC[::-1], runs, rule_set())
    with pytest.raises(SizingError, match="no stocked cable"):
        choose_many((), runs, rule_set())
