"""The chance of being short against throws of dice, closed forms, and the audit's own way of finding it."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ribway.router.audit.shortness import chance_on_grid
from ribway.router.chance.tail import chance_of_any, chance_over

THROWS = 200_000
# Three standard deviations of a share found by so many throws, and 0.004 for the errors that are taken as normal.
DICE_PLAY = 3.0 * 0.5 / math.sqrt(THROWS) + 0.004

BOUNDS = [(0.6,), (0.6, 0.4), (0.1, 0.1, 0.1), (0.3, 0.3, 0.05, 0.05, 0.01), (0.1,) * 8, (0.01, 0.3, 0.29, 0.28)]


@pytest.mark.parametrize("bounds", BOUNDS, ids=str)
def test_it_is_the_share_of_throws_that_pass_the_margin(bounds: tuple[float, ...]) -> None:
    rng = np.random.default_rng(len(bounds))
    sums = sum(rng.uniform(-bound, bound, THROWS) for bound in bounds)
    for share in (-0.5, -0.1, 0.0, 0.2, 0.4, 0.6, 0.9):
        margin = share * sum(bounds)
        assert chance_over(margin, bounds) == pytest.approx(np.mean(sums > margin), abs=DICE_PLAY)


def test_one_error_is_a_straight_line() -> None:
    assert [chance_over(m, [0.4]) for m in (-0.4, -0.2, 0.0, 0.2, 0.4)] == pytest.approx([1.0, 0.75, 0.5, 0.25, 0.0])


def test_two_equal_errors_are_a_triangle() -> None:
    """The sum of two even spreads of bound a has a triangle of half width 2a: above m it leaves (2a - m)^2 / 8a^2."""
    for margin in (0.0, 0.1, 0.35, 0.8):
        assert chance_over(margin, [0.4, 0.4]) == pytest.approx((0.8 - margin) ** 2 / (8 * 0.16))


def test_many_equal_errors_are_normal() -> None:
    """Central limit: 60 spreads of +/-0.1 have a deviation of 0.1 sqrt(60 / 3); 1.645 of it is passed once in twenty
    (table of the normal distribution)."""
    deviation = 0.1 * math.sqrt(60 / 3)
    assert chance_over(1.645 * deviation, [0.1] * 60) == pytest.approx(0.05, abs=0.001)


def test_what_cannot_be_passed_is_never_passed() -> None:
    assert chance_over(0.31, [0.1, 0.1, 0.1]) == 0.0
    assert chance_over(-0.31, [0.1, 0.1, 0.1]) == 1.0
    assert chance_over(0.0, []) == 0.0
    assert chance_over(-0.01, []) == 1.0
    with pytest.raises(ValueError, match="none negative"):
        chance_over(0.1, [0.1, -0.1])


@given(
    bounds=st.lists(st.floats(0.001, 1.0), min_size=1, max_size=12),
    share=st.floats(-1.2, 1.2),
    more=st.floats(0.0, 0.5),
)
def test_it_falls_with_the_margin_and_is_symmetric(bounds: list[float], share: float, more: float) -> None:
    margin = share * sum(bounds)
    chance = chance_over(margin, bounds)
    assert 0.0 <= chance <= 1.0
    assert chance_over(margin + more, bounds) <= chance + 1e-9
    assert chance_over(-margin, bounds) == pytest.approx(1.0 - chance, abs=1e-6)


@given(bounds=st.lists(st.floats(0.001, 1.0), min_size=1, max_size=10), share=st.floats(-1.0, 1.0))
def test_the_audit_finds_the_same(bounds: list[float], share: float) -> None:
    """Densities folded into one another on a grid: no normal error, no closed form."""
    margin = share * sum(bounds)
    assert chance_on_grid(margin, bounds) == pytest.approx(chance_over(margin, bounds), abs=0.006)


def test_one_of_several() -> None:
    """Two dice: no six in either is 25 of 36."""
    assert chance_of_any([1 / 6, 1 / 6]) == pytest.approx(11 / 36)
    assert chance_of_any([]) == 0.0


def test_shared_errors_only_make_it_rarer_that_any_is_short() -> None:
    """Ten lengths that all rest on one height, each with an error of its own: thrown, against what is printed."""
    rng = np.random.default_rng(7)
    shared = rng.uniform(-0.2, 0.2, THROWS)
    short = np.zeros(THROWS, dtype=bool)
    for _ in range(10):
        short |= shared + rng.uniform(-0.1, 0.1, THROWS) > 0.2
    printed = chance_of_any([chance_over(0.2, [0.2, 0.1])] * 10)
    assert float(np.mean(short)) < printed < 10 * chance_over(0.2, [0.2, 0.1])
