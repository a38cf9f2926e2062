"""What a measurement's error does to runs, against lengths added up by hand and against throws of dice."""

from __future__ import annotations

import math

import numpy as np
import pytest

from ribway.router.chance.survey import Bound, Measurement, Short, bounds_of, gains
from ribway.router.chance.sway import Change, Stretch, change, stretch_m

# A board, a hole in a rib 0.5 m further back and 0.2 m higher, a lamp 0.7 m behind that at the hole's height.
BOARD, HOLE, LAMP = (-1.0, 0.9, 0.5), (-1.5, 0.9, 0.7), (-2.2, 0.9, 0.7)
THROUGH = (Stretch("board", "hole", BOARD, HOLE, "square"), Stretch("hole", "lamp", HOLE, LAMP, "square"))


def test_lengths() -> None:
    assert stretch_m(BOARD, HOLE, "square") == pytest.approx(0.7)
    assert stretch_m(BOARD, HOLE, "taut") == pytest.approx(math.hypot(0.5, 0.2))


def test_a_rib_that_is_passed_straight_changes_nothing() -> None:
    assert change(THROUGH, {"hole": (-0.1, 0.0, 0.0)}).bound_m == pytest.approx(0.0, abs=1e-12)


def test_a_rib_that_is_passed_there_and_back_counts_twice() -> None:
    back = (*THROUGH[:1], Stretch("hole", "lamp", HOLE, (-1.1, 0.9, 0.7), "square"))
    assert change(back, {"hole": (-0.1, 0.0, 0.0)}) == Change(0.0, pytest.approx(0.2))


def test_a_hole_at_the_lamps_height_only_makes_it_longer_there() -> None:
    """0.1 m higher: 0.1 m more up to it and 0.1 m more down to the lamp; 0.1 m lower: 0.1 m less and 0.1 m more.
    The change is 0.2 at one end, nothing at the other and at the middle: a mean of 0.05, from 0 to 0.2."""
    assert change(THROUGH, {"hole": (0.0, 0.0, 0.1)}) == Change(pytest.approx(0.05), pytest.approx(0.1))


def test_a_lamp_at_the_holes_height_is_longer_either_way() -> None:
    assert change(THROUGH, {"lamp": (0.0, 0.0, 0.1)}) == Change(pytest.approx(0.05), pytest.approx(0.05))


def test_a_row_that_both_rest_on_moves_together() -> None:
    """Hole and lamp at one height: only the way up from the board changes."""
    moved = change(THROUGH, {"hole": (0.0, 0.0, 0.1), "lamp": (0.0, 0.0, 0.1)})
    assert (moved.mean_m, moved.bound_m) == pytest.approx((0.0, 0.1))
    everything = change(THROUGH, dict.fromkeys(("board", "hole", "lamp"), (-0.3, 0.1, 0.2)))
    assert (everything.mean_m, everything.bound_m) == pytest.approx((0.0, 0.0), abs=1e-12)


def test_only_what_changes_a_length_is_listed() -> None:
    rib = Measurement("rib", 0.1, 0.01, ({"hole": (-0.1, 0.0, 0.0)},))
    row = Measurement("row", 0.05, 0.01, ({"hole": (0.0, 0.0, 0.05)},))
    lamp = Measurement("lamp", 0.4, 0.005, ({"lamp": (-0.4, 0.0, 0.0)}, {"lamp": (0.0, 0.0, 0.4)}))
    bounds = bounds_of(THROUGH, (rib, row, lamp))
    assert [one.measurement for one in bounds] == ["row", "lamp", "lamp"]
    assert [one.change.bound_m for one in bounds] == pytest.approx([0.05, 0.4, 0.2])


def test_the_chance_of_a_run_against_throws_of_its_measurements() -> None:
    """The board's and the lamp's places are thrown, the path is measured again; the hole is where it is."""
    rng = np.random.default_rng(3)
    count = 100_000
    board, lamp = rng.uniform(-0.3, 0.3, (count, 2)), rng.uniform(-0.2, 0.2, (count, 2))
    first = np.abs(0.5 + board[:, 0]) + np.abs(0.2 - board[:, 1])
    second = np.abs(0.7 + lamp[:, 0]) + np.abs(lamp[:, 1])
    longer = first + second - 1.4
    measurements = [
        Measurement(name, error, 0.005, ({name: (-error, 0.0, 0.0)}, {name: (0.0, 0.0, error)}))
        for name, error in (("board", 0.3), ("lamp", 0.2))
    ]
    bounds = bounds_of(THROUGH, measurements)
    for margin in (0.2, 0.3, 0.45, 0.6, 0.75):
        thrown = float(np.mean(longer > margin))
        # Errors that make a length longer either way are spread evenly about their mean here, which they are not quite.
        assert Short(margin, bounds).chance == pytest.approx(thrown, abs=0.02)


def test_gains_are_what_is_left_out_of_the_expected_number() -> None:
    """One rough lamp with two runs, one rough pump with a run of ample margin: the lamp is worth reading."""
    lamp, pump = Measurement("lamp", 0.5, 0.005, ()), Measurement("pump", 0.5, 0.005, ())
    read = Measurement("board", 0.005, 0.005, ())
    shorts = {
        "C1": Short(0.3, (Bound("lamp", Change(0.0, 0.5)), Bound("board", Change(0.0, 0.005)))),
        "C2": Short(0.4, (Bound("lamp", Change(0.0, 0.5)),)),
        "C3": Short(0.9, (Bound("pump", Change(0.0, 0.5)),)),
    }
    found = gains(shorts, (lamp, pump, read))
    # (0.5 - 0.3) / 1 and (0.5 - 0.4) / 1, evenly spread; read, its 5 mm are less than either margin.
    assert found["lamp"] == pytest.approx(0.2 + 0.1, abs=0.002)
    assert found["pump"] == 0.0
    assert found["board"] == 0.0
