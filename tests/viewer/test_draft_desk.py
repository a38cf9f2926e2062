"""What keys do to a draft's openings."""

from __future__ import annotations

import pytest

from ribway.models.review.review import review_of
from ribway.viewer.draft.desk import HELP, Desk, about_words, desk_of, picked, pressed, state_words
from samples.draft import found_holes, hole


@pytest.fixture
def desk() -> Desk:
    return desk_of(review_of(found_holes()))


def typed(desk: Desk, *keys: str) -> Desk:
    for key in keys:
        desk, asks = pressed(desk, key)
        assert asks == ""
    return desk


def marks(desk: Desk) -> list[str]:
    return [one.mark[0] for one in desk.review.holes]


def test_confirming_goes_on_to_the_next_one(desk: Desk) -> None:
    desk = typed(desk, "n", "c", "x")
    assert marks(desk) == ["c", "d", "o", "o"]
    assert desk.chosen == "L1d"
    assert desk.is_changed
    desk = typed(desk, "c", "c")
    assert marks(desk) == ["c", "d", "c", "c"]
    assert "all are looked at" in state_words(desk)


def test_going_back_and_round(desk: Desk) -> None:
    assert typed(desk, "b").chosen == "window-left-1"
    assert typed(desk, "n", "b").chosen == "window-left-1"
    assert typed(desk, "n", "n", "n", "n", "n").chosen == "L1a"


def test_all_sure_ones_of_a_member_at_once(desk: Desk) -> None:
    desk = typed(picked(desk, "L1b"), "C")
    assert marks(desk) == ["c", "c", "o", "o"]  # the candidate is no sure one, the window no part of the rib
    assert "2 sure openings of L1" in state_words(desk)


def test_arrows_nudge_by_the_step(desk: Desk) -> None:
    desk = typed(picked(desk, "L1a"), "Right", "Up", "m", "comma", "m", "Down")
    assert desk.review.hole("L1a").moved_m == pytest.approx((0.001, 0.005, 0.001 - 0.025))
    assert "moved +1 mm forward, +5 mm left, -24 mm up" in about_words(desk)
    desk = typed(desk, *["Down"] * 30)
    assert "0.5 m at most" in state_words(desk)
    assert desk.review.hole("L1a").moved_m[2] > -0.5


def test_a_name_is_typed_with_all_letters(desk: Desk) -> None:
    """While typing, no letter does anything else: not even q, which closes, or s, which saves."""
    desk = typed(picked(desk, "L1a"), "t", "q", "s", "space", "x", "period", "2", "0", "BackSpace", "Shift_L", "Return")
    assert desk.chosen == "qs x.2"
    assert desk.review.holes[0].name == "qs x.2"
    assert desk.typing is None


def test_a_typed_name_can_be_given_up_or_refused(desk: Desk) -> None:
    assert typed(picked(desk, "L1a"), "t", "z", "Escape").review == desk.review
    refused = typed(picked(desk, "L1a"), "t", "L", "1", "b", "Return")
    assert refused.typing == "L1b"
    assert "something else has that name" in state_words(refused)
    assert typed(refused, "BackSpace", "z", "Return").review.holes[0].name == "L1z"


def test_undo_goes_all_the_way_back(desk: Desk) -> None:
    changed = typed(picked(desk, "L1b"), "x", "c", "t", "k", "Return", "Up")
    undone = typed(changed, "u", "u", "u", "u")
    assert undone.review == desk.review
    assert not undone.is_changed
    assert "nothing to undo" in state_words(typed(undone, "u"))


def test_closing_with_something_unsaved_takes_two_keys(desk: Desk) -> None:
    assert pressed(desk, "q")[1] == "close"
    changed = typed(desk, "n", "x")
    once, asks = pressed(changed, "q")
    assert asks == ""
    assert "not saved yet" in state_words(once)
    assert pressed(once, "q")[1] == "close"
    assert pressed(typed(once, "n"), "q")[1] == ""


@pytest.mark.parametrize(("key", "asks"), [("s", "save"), ("i", "picture"), ("4", "left"), ("0", "overview")])
def test_what_is_done_outside_is_asked_for(desk: Desk, key: str, asks: str) -> None:
    assert pressed(desk, key) == (desk, asks)


def test_without_a_picked_opening_nothing_is_changed(desk: Desk) -> None:
    for key in ("c", "C", "x", "o", "t", "Up"):
        after = typed(desk, key)
        assert after.review == desk.review
        assert "pick an opening first" in state_words(after)
    assert typed(desk, "Shift_L", "F5") == desk


def test_every_key_is_told_on_the_screen() -> None:
    told = " ".join(HELP)
    for key in (
        "n,",
        "b:",
        "c:",
        "C:",
        "x:",
        "o:",
        "u:",
        "t:",
        "m:",
        "s:",
        "i:",
        "q:",
        "arrows",
        ", .",
        "0:",
        "4 6 8 2 9 1",
    ):
        assert key in told


def test_what_is_said_of_an_opening(desk: Desk) -> None:
    words = about_words(picked(desk, "L1d"))
    for part in ("L1d: way, round 25.0 mm", "in L1", "1.000 m back, 0.870 m left, 1.000 m up", "56 % sure"):
        assert part in words
    rowed = desk_of(review_of([hole("L1a", 0.3, rowed=True)]))
    assert "name cannot be changed" in state_words(typed(rowed, "n", "t"))
