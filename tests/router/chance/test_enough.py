"""Tails that make the whole van long enough: by closed form for one error, by drawing errors at random for many."""

from __future__ import annotations

import random

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from ribway.router.chance.enough import chance_with, common_extra_m, extras_m
from ribway.router.chance.survey import Bound, Short
from ribway.router.chance.sway import Change

STEP = 0.01


def short(margin: float, *bounds: tuple[str, float]) -> Short:
    return Short(margin, tuple(Bound(name, Change(0.0, bound)) for name, bound in bounds))


@given(st.floats(-0.2, 0.3), st.floats(0.02, 0.5))
@example(0.0, 0.4)  # a whole number of steps: 0.36 m
def test_one_error_by_closed_form(margin: float, bound: float) -> None:
    """Evenly spread between -b and b, more than m with a chance of (1 - m/b)/2: 5 % wants a margin of 0.9 b, in whole steps."""
    one = short(margin, ("tape", bound))
    steps = common_extra_m([one], STEP) / STEP
    wanted = (0.9 * bound - margin) / STEP
    assert steps == pytest.approx(np.ceil(wanted - 1e-7), abs=1e-6)
    if margin < 0.9 * bound - 1e-6:
        assert extras_m({"A": one}, STEP)["A"] == pytest.approx(steps * STEP)
    elif margin > 0.9 * bound + 1e-6:
        assert extras_m({"A": one}, STEP) == {}


def van(seed: int) -> dict[str, Short]:
    """Runs that rest on errors of their own, on a row of holes and on a width that they share, some with each sign."""
    rng = random.Random(seed)
    out = {}
    for number in range(12):
        bounds = [
            (f"own {number}", rng.uniform(0.01, 0.2)),
            ("row", rng.uniform(0.0, 0.15)),
            ("width", rng.uniform(0.0, 0.1)),
        ]
        out[f"R{number}"] = short(rng.uniform(-0.05, 0.3), *bounds)
    return out


@pytest.mark.parametrize("seed", range(4))
def test_the_whole_van_is_long_enough_in_19_of_20_drawn(seed: int) -> None:
    """40 000 vans with errors drawn evenly: shared ones once a van, with a sign of its own for each run."""
    shorts = van(seed)
    draws, rng = 40_000, np.random.default_rng(seed)
    names = sorted({bound.measurement for one in shorts.values() for bound in one.bounds})
    drawn = {name: rng.uniform(-1.0, 1.0, draws) for name in names}
    signs = {(run, name): rng.choice((-1.0, 1.0)) for run in shorts for name in names}

    def share_short(extra: dict[str, float]) -> float:
        any_short = np.zeros(draws, dtype=bool)
        for run, one in shorts.items():
            longer = sum(signs[run, b.measurement] * b.change.bound_m * drawn[b.measurement] for b in one.bounds)
            any_short |= longer > one.margin_m + extra.get(run, 0.0)
        return float(any_short.mean())

    assert share_short({}) > 0.05, "not safe as it is, or nothing is tried"
    luck = 3.0 * (0.05 * 0.95 / draws) ** 0.5
    common = common_extra_m(list(shorts.values()), STEP)
    assert share_short(dict.fromkeys(shorts, common)) <= 0.05 + luck
    singly = extras_m(shorts, STEP)
    assert share_short(singly) <= 0.05 + luck
    assert sum(singly.values()) < common * len(shorts), "run by run takes less cable than all alike"


@pytest.mark.parametrize("seed", range(4))
def test_a_step_less_would_not_be_shown_to_do(seed: int) -> None:
    shorts = van(seed)
    common = common_extra_m(list(shorts.values()), STEP)
    assert sum(chance_with(one, common) for one in shorts.values()) <= 0.05
    assert sum(chance_with(one, common - STEP) for one in shorts.values()) > 0.05
    singly = extras_m(shorts, STEP)
    assert sum(chance_with(one, singly.get(run, 0.0)) for run, one in shorts.items()) <= 0.05
    for run, extra in singly.items():
        assert chance_with(shorts[run], extra) < chance_with(shorts[run], 0.0)


def test_what_is_safe_may_be_shorter_and_nothing_is_asked_of_no_van() -> None:
    one = short(0.505, ("tape", 0.1))
    assert common_extra_m([one], STEP) == pytest.approx(-0.41)
    assert extras_m({"A": one}, STEP) == {}
    assert common_extra_m([], STEP) == 0.0
    for step, most in ((0.0, 0.05), (0.01, 0.0), (0.01, 1.0)):
        with pytest.raises(ValueError, match="steps above 0 m"):
            common_extra_m([one], step, most)
