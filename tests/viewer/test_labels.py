"""Names on pictures: never over one another; geometry checked with shapely."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Point, box

from ribway.viewer.labels import Wish, overlap, place_labels
from ribway.viewer.meeting import crossings, meetings

AREA = (0.0, 0.0, 900.0, 600.0)
NUMBER = st.floats(0.0, 100.0).map(lambda value: round(value, 2))
SPOT = st.tuples(NUMBER, NUMBER)
WISHES = st.lists(
    st.builds(
        Wish,
        spot=st.tuples(st.floats(0.0, 900.0), st.floats(0.0, 600.0)),
        width=st.floats(20.0, 220.0),
        height=st.floats(14.0, 60.0),
        rank=st.integers(0, 3),
    ),
    min_size=1,
    max_size=25,
)


@settings(max_examples=40, deadline=None, derandomize=True)
@given(WISHES)
def test_names_lie_in_the_picture_and_not_on_one_another(wishes: list[Wish]) -> None:
    taken = ((300.0, 200.0, 420.0, 260.0),)
    placed = place_labels(wishes, AREA, taken)
    assert placed == place_labels(wishes, AREA, taken)
    for one in placed:
        wish = wishes[one.wish]
        assert box(*AREA).buffer(1e-6).covers(box(*one.box))
        assert box(*one.box).intersection(box(*taken[0])).area == 0.0
        assert one.box[2] - one.box[0] == pytest.approx(wish.width)
        assert one.box[3] - one.box[1] == pytest.approx(wish.height)
        assert one.leader[1] == wish.spot
        assert LineString(one.leader).length == pytest.approx(box(*one.box).distance(Point(wish.spot)), abs=1e-6)
    for first, second in combinations(placed, 2):
        assert box(*first.box).intersection(box(*second.box)).area == 0.0


def test_thirty_names_in_a_row_all_find_room() -> None:
    wishes = [Wish((30.0 * i + 15.0, 300.0), 110.0, 22.0) for i in range(30)]
    placed = place_labels(wishes, AREA)
    assert [one.wish for one in placed] == list(range(30))


def test_names_keep_off_what_should_stay_seen() -> None:
    busy = np.zeros((600, 900), dtype=np.bool_)
    busy[280:320, 400:700] = True
    (free,) = place_labels([Wish((450.0, 300.0), 100.0, 20.0)], AREA)
    (kept_off,) = place_labels([Wish((450.0, 300.0), 100.0, 20.0)], AREA, busy=busy)

    def covered(one: tuple[float, float, float, float]) -> int:
        return int(busy[int(one[1]) : int(one[3]), int(one[0]) : int(one[2])].sum())

    assert covered(free.box) > 500
    assert covered(kept_off.box) == 0


def test_a_name_that_finds_no_room_is_left_out() -> None:
    assert place_labels([Wish((50.0, 50.0), 1000.0, 20.0)], AREA) == ()


def test_a_name_is_left_out_when_no_place_is_worth_it() -> None:
    taken = ((340.0, 200.0, 560.0, 400.0),)
    wish = Wish((450.0, 300.0), 60.0, 20.0, worth=50.0)
    assert place_labels([wish], AREA, taken) == ()
    assert len(place_labels([wish], AREA)) == 1


def test_lower_ranks_choose_first() -> None:
    late, early = Wish((450.0, 300.0), 100.0, 20.0, rank=2), Wish((450.0, 300.0), 100.0, 20.0, rank=0)
    alone = place_labels([early], AREA)[0]
    both = place_labels([late, early], AREA)
    assert both[1].box == alone.box
    assert both[0].box != alone.box


@settings(max_examples=300, deadline=None, derandomize=True)
@given(SPOT, SPOT, SPOT, SPOT)
def test_crossing_agrees_with_shapely(
    a: tuple[float, float], b: tuple[float, float], c: tuple[float, float], d: tuple[float, float]
) -> None:
    if crossings(np.array([[*a, *b]]), np.array([[*c, *d]])).all():
        assert LineString([a, b]).crosses(LineString([c, d])) or LineString([a, b]).distance(LineString([c, d])) < 1e-6
    elif a != b and c != d:
        assert not LineString([a, b]).crosses(LineString([c, d])) or any(
            LineString(line).distance(Point(end)) < 1e-6
            for line, ends in (([a, b], (c, d)), ([c, d], (a, b)))
            for end in ends
        )


@settings(max_examples=300, deadline=None, derandomize=True)
@given(SPOT, SPOT, SPOT, SPOT)
def test_line_meets_box_agrees_with_shapely(
    a: tuple[float, float], b: tuple[float, float], c: tuple[float, float], d: tuple[float, float]
) -> None:
    area = (min(c[0], d[0]), min(c[1], d[1]), max(c[0], d[0]) + 1.0, max(c[1], d[1]) + 1.0)
    inside = LineString([a, b]).intersection(box(*area).buffer(-1e-6)).length
    if inside > 1e-5:
        assert meetings(np.array([[*a, *b]]), np.array([area])).all()
    if LineString([a, b]).distance(box(*area)) > 1e-6:
        assert not meetings(np.array([[*a, *b]]), np.array([area])).any()


def test_all_pairs_at_once_are_each_pair_by_itself() -> None:
    rng = np.random.default_rng(5)
    lines, others = rng.uniform(0.0, 100.0, (20, 4)), rng.uniform(0.0, 100.0, (15, 4))
    boxes = np.hstack([others[:, :2], others[:, :2] + 20.0])
    for found, rows, columns in ((crossings, lines, others), (meetings, lines, boxes)):
        alone = [[found(rows[i : i + 1], columns[j : j + 1])[0, 0] for j in range(15)] for i in range(20)]
        assert np.array_equal(found(rows, columns), np.array(alone))
        assert 0 < np.count_nonzero(alone) < 300


def test_boxes_that_only_touch_do_not_overlap() -> None:
    assert not overlap((0, 0, 10, 10), (10, 0, 20, 10))
    assert overlap((0, 0, 10, 10), (10, 0, 20, 10), gap=1.0)
    assert overlap((0, 0, 10, 10), (9, 9, 20, 20))
