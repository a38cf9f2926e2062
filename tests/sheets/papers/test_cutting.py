"""Reels: the cheapest that hold every piece whole, held against every way to cut and against an integer programme."""

from __future__ import annotations

import csv
import itertools
import random
import re
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from ribway.sheets.buying.cutting import CutReel, Offer, TooShortError, best_reels

ROWS = list(
    csv.DictReader((Path(__file__).parents[2] / "data" / "checks" / "stock_cutting.csv").open(encoding="utf-8"))
)


def numbers(text: str) -> list[float]:
    return [float(found) for found in re.findall(r"[0-9.]+", text)]


def held(reels: tuple[CutReel, ...], pieces: list[float]) -> None:
    """Each piece lies on one reel, whole, and nothing is on a reel that is not there."""
    assert sorted(index for reel in reels for index in reel.pieces) == list(range(len(pieces)))
    for reel in reels:
        used = sum(pieces[index] for index in reel.pieces)
        assert used <= reel.offer.length_m + 1e-9
        assert reel.left_m == pytest.approx(reel.offer.length_m - used, abs=1e-6)


def test_row_1_of_the_cutting_values() -> None:
    pieces = numbers(ROWS[0]["pieces_m"])
    bought = best_reels(pieces, [Offer(10.0, 1.0)])
    assert ROWS[0]["answer"].startswith("3 reels")
    assert (len(bought.reels), bought.proved) == (3, True)
    held(bought.reels, pieces)


def test_row_2_of_the_cutting_values() -> None:
    pieces = numbers(ROWS[1]["pieces_m"])
    sizes = numbers(ROWS[1]["reels"])
    offers = [Offer(size, price) for size, price in zip(sizes[::2], sizes[1::2], strict=True)]
    bought = best_reels(pieces, offers)
    assert ROWS[1]["answer"] == "30 + 10 = 33"
    assert sorted(reel.offer.length_m for reel in bought.reels) == [10.0, 30.0]
    assert (bought.price, bought.proved) == (33.0, True)
    held(bought.reels, pieces)


def cheapest_of_all_ways(pieces: list[int], offers: list[tuple[int, int]]) -> int:
    """The least price over all ways to part the pieces into groups, each on the cheapest reel that holds it."""
    best = 10**9
    for labels in itertools.product(range(len(pieces)), repeat=len(pieces)):
        if any(label > (max(labels[:at], default=-1) + 1) for at, label in enumerate(labels)):
            continue
        price = 0
        for group in set(labels):
            size = sum(piece for piece, label in zip(pieces, labels, strict=True) if label == group)
            fitting = [cost for length, cost in offers if length >= size]
            price += min(fitting) if fitting else 10**9
        best = min(best, price)
    return best


@pytest.mark.parametrize("seed", range(25))
def test_small_cases_against_all_ways(seed: int) -> None:
    chance = random.Random(seed)
    pieces = [chance.randint(5, 60) for _ in range(chance.randint(1, 6))]
    offers = [(chance.randint(30, 150), chance.randint(1, 40)) for _ in range(chance.randint(1, 3))] + [(60, 30)]
    bought = best_reels([piece / 10 for piece in pieces], [Offer(length / 10, price) for length, price in offers])
    assert bought.proved
    assert bought.price == cheapest_of_all_ways(pieces, offers)
    held(bought.reels, [piece / 10 for piece in pieces])


def cheapest_by_integer_programme(pieces: list[float], offers: list[Offer]) -> float:
    """Least price by HiGHS: every reel open or not, every piece on one open reel."""
    reels = [(offer.length_m, offer.price) for offer in offers for _ in pieces]
    many, slots = len(pieces), len(reels)
    cost = np.concatenate([[price for _, price in reels], np.zeros(many * slots)])
    rows, low, high = [], [], []
    for piece in range(many):
        row = np.zeros(slots + many * slots)
        row[slots + piece * slots : slots + (piece + 1) * slots] = 1.0
        rows, low, high = [*rows, row], [*low, 1.0], [*high, 1.0]
    for slot, (length, _) in enumerate(reels):
        row = np.zeros(slots + many * slots)
        row[slot] = -length
        row[slots + slot :: slots] = pieces
        rows, low, high = [*rows, row], [*low, -np.inf], [*high, 0.0]
    done = milp(cost, constraints=LinearConstraint(np.array(rows), low, high), integrality=1, bounds=Bounds(0, 1))
    assert done.success
    return float(done.fun)


@pytest.mark.parametrize("seed", range(3))
def test_cases_of_a_van_against_an_integer_programme(seed: int) -> None:
    chance = random.Random(100 + seed)
    pieces = [round(chance.uniform(0.8, 6.0), 2) for _ in range(8)]
    offers = [Offer(10.0, 9.0), Offer(25.0, 20.0), Offer(7.0, 7.5)]
    bought = best_reels(pieces, offers)
    assert bought.proved
    assert bought.price == pytest.approx(cheapest_by_integer_programme(pieces, offers))


def test_thirty_pieces_are_held_whatever_can_be_proved() -> None:
    chance = random.Random(7)
    pieces = [round(chance.uniform(0.8, 6.5), 2) for _ in range(30)]
    bought = best_reels(pieces, [Offer(10.0, 9.0), Offer(25.0, 20.0), Offer(50.0, 36.0)])
    held(bought.reels, pieces)
    assert bought.least <= bought.price
    assert bought.least >= min(9.0 / 10, 20.0 / 25, 36.0 / 50) * sum(pieces) - 1e-9


def test_a_reel_that_is_too_short_is_said() -> None:
    with pytest.raises(TooShortError, match=r"a piece of 5\.3 m is longer than the longest reel offered, 5 m"):
        best_reels([1.0, 5.3], [Offer(5.0, 3.0)])
    with pytest.raises(ValueError, match="no reel is offered"):
        best_reels([1.0], [])


def test_of_equally_cheap_reels_the_one_with_least_left_over() -> None:
    assert best_reels([4.0], [Offer(10.0, 5.0), Offer(5.0, 5.0)]).reels[0].left_m == 1.0
    assert best_reels([], [Offer(10.0, 5.0)]).price == 0.0
