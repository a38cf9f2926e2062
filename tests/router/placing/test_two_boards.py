"""Two further boards: bounds against all divisions one by one, and against whole plans."""

from __future__ import annotations

import itertools
from pathlib import Path

import numpy as np
import pytest
from far_loads import van, wall

from ribway.router.faults import RouterFaults
from ribway.router.placing.dividing import divided
from ribway.router.placing.moving import moved_to
from ribway.router.placing.trying import Trying
from ribway.router.placing.two_boards import _of_what_is_left, two_boards_for

PLAY_KG = 2e-6


def test_what_is_left_is_divided_best() -> None:
    """Against all parts of all sets of four circuits, listed one by one."""
    rng = np.random.default_rng(3)
    stays, goes = rng.random((16, 5)), rng.random((16, 5))
    stays[0], goes[0] = 0.0, np.inf
    least, taken = _of_what_is_left(stays, goes)
    for whole, at in itertools.product(range(1, 16), range(5)):
        parts = {part: goes[part, at] + stays[whole - part, at] for part in range(1, 16) if part & whole == part}
        assert least[whole, at] == min(parts.values())
        assert parts[int(taken[whole, at])] == least[whole, at]
    assert np.isinf(least[0]).all()


def test_no_plan_with_two_further_boards_does_with_less_than_its_bound() -> None:
    """Whole plans of every division of four circuits among three boards, at the pair that was planned first and at the last."""
    base, trying = van(), Trying(Path(), wall())
    found = two_boards_for(base, trying, "board", step_m=1.0, most=3)
    places = found.ask.spots.found
    assert found.count == len(places) * (len(places) - 1) // 2
    assert found.without_kg == trying.plan(base).kg
    assert [one.kg for one in found.pairs] == sorted(one.kg for one in found.pairs)
    assert found.least_kg == min(one.bound_kg for one in found.pairs)
    planned = 0
    for pair in (found.pairs[0], found.pairs[-1]):
        least = np.inf
        for choice in itertools.product((0, 1, 2), repeat=len(found.ask.circuits)):
            if not {1, 2} <= set(choice):
                continue
            variant = base
            for number, (new, at) in enumerate(zip(found.ask.new, pair.places, strict=True), 1):
                names = [name for name, board in zip(found.ask.circuits, choice, strict=True) if board == number]
                variant = moved_to(divided(variant, found.ask.main, new, names), new[0], places[at].place)
            try:
                least = min(least, trying.plan(variant).kg)
            except RouterFaults:
                continue
            planned += 1
        assert pair.bound_kg <= least + PLAY_KG
        assert least <= pair.kg + PLAY_KG
    assert planned > 50


def test_a_board_of_two_circuits_is_not_divided_among_three() -> None:
    base = van()
    kept = tuple(one for one in base.circuits if one.id in ("main", "C-near", "C-far1"))
    few = base.model_copy(update={"circuits": kept})
    with pytest.raises(RouterFaults, match="board is no board that feeds three circuits or more"):
        two_boards_for(few, Trying(Path(), wall()), "board")
