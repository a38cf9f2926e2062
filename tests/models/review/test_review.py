"""Confirming, deleting, renaming and moving openings of a draft."""

from __future__ import annotations

import math

import pytest

from ribway.models.review.review import (
    FARTHEST_M,
    Review,
    ReviewError,
    marked,
    moved,
    renamed,
    renamed_together,
    review_of,
    to_look_at,
)
from samples.draft import found_holes, hole


@pytest.fixture
def review() -> Review:
    return review_of(found_holes(), ["duct 1"])


def test_a_mark_is_of_one_opening_and_can_be_taken_back(review: Review) -> None:
    changed = marked(review, "L1b", "confirmed")
    assert [one.mark for one in changed.holes] == ["open", "confirmed", "open", "open"]
    assert changed.counts() == {"open": 3, "confirmed": 1, "deleted": 0}
    assert marked(changed, "L1b", "open") == review


def test_the_least_sure_way_is_to_be_looked_at_first(review: Review) -> None:
    assert [one.name for one in to_look_at(review)] == ["L1d", "L1a", "L1b", "window-left-1"]
    assert [one.name for one in to_look_at(marked(review, "L1d", "deleted"))] == ["L1a", "L1b", "window-left-1"]


def test_an_opening_moves_with_mouths_and_rim(review: Review) -> None:
    before, after = review.hole("L1a"), moved(moved(review, "L1a", (0.01, 0, 0)), "L1a", (0, -0.002, 0.003)).hole("L1a")
    assert after.moved_m == (0.01, -0.002, 0.003)
    for old, new in zip((*before.line, *before.rim), (*after.line, *after.rim), strict=True):
        assert math.dist(old, new) == pytest.approx(math.hypot(0.01, 0.002, 0.003))
    assert after.centre == pytest.approx((-0.99, 0.868, 0.303))


def test_names_may_change_places(review: Review) -> None:
    swapped = renamed_together(review, {"L1a": "L1b", "L1b": "L1a", "L1d": " upper  hole "})
    assert [one.name for one in swapped.holes] == ["L1b", "L1a", "upper hole", "window-left-1"]
    assert [one.was for one in swapped.holes] == ["L1a", "L1b", "L1d", "window-left-1"]


@pytest.mark.parametrize("name", ["", " ", "a\nb:", "-x", "x" * 41, "{x}", "L1b", "duct 1", "window-left-1"])
def test_a_name_that_cannot_be_had_is_refused(review: Review, name: str) -> None:
    if name == "a\nb:":
        name = "a:b"
    with pytest.raises(ReviewError, match="opening L1a cannot be called"):
        renamed(review, "L1a", name)


def test_what_cannot_be_done_is_said(review: Review) -> None:
    with pytest.raises(ReviewError, match="no opening 'L1f'; did you mean L1"):
        marked(review, "L1f", "confirmed")
    with pytest.raises(ReviewError, match=r"0\.51 m from where it was found"):
        moved(moved(review, "L1a", (0.0, 0.0, 0.25)), "L1a", (0.0, 0.0, 0.26))
    with pytest.raises(ReviewError, match="no number"):
        moved(review, "L1a", (math.nan, 0.0, 0.0))
    assert moved(review, "L1a", (FARTHEST_M, 0.0, 0.0)).hole("L1a").moved_m[0] == FARTHEST_M


def test_all_refused_names_are_said_together(review: Review) -> None:
    with pytest.raises(ReviewError) as caught:
        renamed_together(review, {"L1a": "?", "L1b": "duct 1", "L1d": "fine"})
    assert len(caught.value.sentences) == 2
    with pytest.raises(ReviewError):
        renamed_together(review, {"L1a": "same", "L1b": "same"})


def test_rows_of_a_preset_keep_names_and_places() -> None:
    review = review_of([hole("L1a", 0.3, rowed=True)])
    with pytest.raises(ReviewError, match="by wall, rib and row"):
        renamed(review, "L1a", "x")
    with pytest.raises(ReviewError, match="measure the row"):
        moved(review, "L1a", (0.001, 0.0, 0.0))
    assert marked(review, "L1a", "deleted").hole("L1a").mark == "deleted"
