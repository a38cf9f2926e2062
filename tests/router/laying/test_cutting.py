"""From legs to a cut length: the lines add up, tails go by class, everything is rounded up."""

from __future__ import annotations

import math
import random
from fractions import Fraction
from typing import Any

import numpy as np
import pytest

from ribway.models.shop import Shop, Tails
from ribway.models.stock_list import StockCable, load_stock
from ribway.router.circuits.runs import Run
from ribway.router.circuits.stock import Cable
from ribway.router.laying.cutting import Cut, cut_length, round_up, tail_m
from ribway.router.laying.layer import Laid, Leg


def stock(name: str) -> StockCable:
    return next(cable for cable in load_stock("metric") if cable.id == name)


def run(**changes: Any) -> Run:
    given: dict[str, Any] = {
        "id": "r", "circuit": "C", "a": "board", "b": "pump", "kind": "dc", "purpose": "circuit", "cable": None,
        "least": None, "via": (), "avoid": (), "tail_a_m": None, "tail_b_m": None, "amps": 1.0, "start_amps": 1.0,
    }  # fmt: skip
    return Run(**{**given, **changes})


def laid(*lengths: float) -> Laid:
    legs = [
        Leg("bay", f"b{k}", np.zeros((2, 3)), m, m, "wall", "square", ("bay", k, 0, 1)) for k, m in enumerate(lengths)
    ]
    return Laid(tuple(legs), np.zeros((2, 3)), ())


def shop(**changes: Any) -> Shop:
    return Shop.model_validate(changes, context={"si": True})


def cut(lengths: tuple[float, ...], side: float = 0.0, boards: frozenset[str] = frozenset(), **changes: Any) -> Cut:
    return cut_length(run(), laid(*lengths), Cable(stock("twin-2x1.5"), 1), side, boards, shop(**changes))


def test_a_cut_length_by_hand() -> None:
    """1.2 + 0.80005 -> 2.0001; 5 % -> 0.1001; side 0.0123; one way 2.1125 -> 2.113; tails 0.6 + 0.3 -> 3.013 -> 3.05."""
    found = cut((1.2, 0.80005), 0.01223, frozenset({"board"}))
    assert found.sharp_m == pytest.approx(2.0001, abs=1e-9)
    assert found.slack_m == pytest.approx(0.1001, abs=1e-9)
    assert found.loom_side_m == pytest.approx(0.0123, abs=1e-9)
    assert (found.tail_a_m, found.tail_b_m) == (0.6, 0.3)
    assert found.one_way_m == pytest.approx(2.113, abs=1e-9)
    assert found.cut_m == pytest.approx(3.05, abs=1e-9)
    assert [line.metres for line in found.lines] == pytest.approx([1.2, 0.8001, 0.1001, 0.0123, 0.6, 0.3, 0.0375])
    assert found.lines[-1].what == "rounded up to the next 50 mm"


@pytest.mark.parametrize("seed", range(50))
def test_lines_add_up_and_nothing_is_rounded_down(seed: int) -> None:
    """In exact arithmetic (fractions): cut >= sharp + slack + side + tails, and less than one step more."""
    rng = random.Random(seed)
    legs = tuple(
        rng.choice((rng.uniform(0.001, 2.0), round(rng.uniform(0.01, 2.0), 3))) for _ in range(rng.randint(1, 20))
    )
    slack, side, step = (
        rng.choice((0.0, 3.0, 5.0, 12.5)),
        rng.uniform(0.0, 0.2),
        rng.choice((0.001, 0.01, 0.05, 0.1, 0.25)),
    )
    found = cut(legs, side, frozenset(rng.choice(([], ["board"]))), slack=slack, cut_step=step)
    exact = sum(Fraction(leg) for leg in legs)
    least = exact * (1 + Fraction(slack) / 100) + Fraction(side) + Fraction(found.tail_a_m) + Fraction(found.tail_b_m)
    tiny = Fraction(1, 10**10)
    assert Fraction(found.cut_m) >= least - tiny
    assert Fraction(found.cut_m) < least + Fraction(step) + Fraction(len(legs) + 3, 10_000) + Fraction(1, 1000)
    assert found.cut_m / step == pytest.approx(round(found.cut_m / step), abs=1e-6), "a whole number of steps"
    assert sum(line.metres for line in found.lines) == pytest.approx(found.cut_m, abs=1e-9)
    assert all(line.metres >= 0.0 for line in found.lines)
    assert found.one_way_m >= found.sharp_m + found.slack_m + found.loom_side_m - 1e-12
    assert found.cut_m >= found.one_way_m + found.tail_a_m + found.tail_b_m - 1e-12


@pytest.mark.parametrize(
    ("value", "step", "want"),
    [
        (1.0, 0.05, 1.0),
        (1.00001, 0.05, 1.05),
        (0.3, 0.1, 0.3),  # 0.3 / 0.1 is 2.9999999999999996
        (0.7, 0.1, 0.7),  # 0.7 / 0.1 is 6.999999999999999
        (1.1 + 2.2, 0.1, 3.3),  # 3.3000000000000003
        (0.0, 0.05, 0.0),
        (2.0001, 0.0001, 2.0001),
    ],
)
def test_rounding_up(value: float, step: float, want: float) -> None:
    assert round_up(value, step) == pytest.approx(want, abs=1e-12)


@pytest.mark.parametrize(
    ("area", "at_board", "want"),
    [
        (0.0, False, 0.3), (1.5, False, 0.3), (3.99, False, 0.3), (4.0, False, 0.4), (10.0, False, 0.4),
        (15.9, False, 0.4), (16.0, False, 0.5), (70.0, False, 0.5),
        (1.5, True, 0.6), (10.0, True, 0.6), (70.0, True, 0.6),
    ],
)  # fmt: skip
def test_tails_by_class(area: float, at_board: bool, want: float) -> None:
    assert tail_m(None, area, at_board, Shop()) == want


def test_a_stated_tail_wins_and_a_short_board_tail_shortens_nothing() -> None:
    assert tail_m(0.12, 70.0, True, Shop()) == 0.12
    assert tail_m(0.0, 70.0, True, Shop()) == 0.0
    short = Shop(tails=Tails.model_validate({"board": 0.2}, context={"si": True}))
    assert tail_m(None, 16.0, True, short) == 0.5


def test_one_unit_more_anywhere_is_never_a_shorter_cut() -> None:
    """Longer leg, more slack, more side: the cut length never falls."""
    rng = random.Random(1)
    for _ in range(200):
        legs = tuple(rng.uniform(0.01, 1.5) for _ in range(4))
        base = cut(legs, 0.01).cut_m
        assert cut((legs[0] + 0.003, *legs[1:]), 0.01).cut_m >= base
        assert cut(legs, 0.02).cut_m >= base
        assert cut(legs, 0.01, slack=6.0).cut_m >= base
        assert math.isfinite(base)
