"""What is written into a project file once its openings were gone through."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from ribway.models.review.review import Review, ReviewError, marked, moved, renamed_together, review_of
from ribway.models.review.writing import Writing, saved, writings
from ribway.models.yaml_text import parse_yaml
from samples.draft import PROJECT, found_holes, hole

PLACE = ("vehicle", "openings")


@pytest.fixture
def raw() -> dict[str, Any]:
    return parse_yaml(PROJECT, "").raw


@pytest.fixture
def review() -> Review:
    third = hole("L1c", 1.2, state="measured", mark="confirmed")
    listed = [replace(one, state="assumed" if one.name in ("L1a", "L1b") else "") for one in found_holes()]
    return review_of([*listed, third])


def test_what_nobody_said_writes_nothing(review: Review, raw: dict[str, Any]) -> None:
    assert writings(review, raw) == ()


def test_confirmed_moved_and_taken_back(review: Review, raw: dict[str, Any]) -> None:
    review = marked(marked(review, "L1a", "confirmed"), "L1c", "open")
    review = moved(review, "L1b", (0.0, 0.0, 0.01))
    path = [
        {"x": "-0.96000 m", "y": "0.87000 m", "z": "0.81000 m"},
        {"x": "-1.04000 m", "y": "0.87000 m", "z": "0.81000 m"},
    ]
    assert writings(review, raw) == (
        (
            Writing((*PLACE, "L1a", "state"), "measured"),
            Writing((*PLACE, "L1b", "path"), path),
            Writing((*PLACE, "L1c", "state"), "assumed"),
        ),
    )  # fmt: skip


def test_an_opening_by_tape_that_moves_is_given_by_its_path(review: Review, raw: dict[str, Any]) -> None:
    first, second = writings(moved(review, "L1c", (0.002, 0.0, 0.0)), raw)[0]
    assert (first.names[-1], second) == ("path", Writing((*PLACE, "L1c", "at"), None))


def test_deleted_goes_and_a_confirmed_candidate_comes(review: Review, raw: dict[str, Any]) -> None:
    review = marked(marked(review, "L1b", "deleted"), "L1d", "confirmed")
    gone, come = writings(review, raw)
    assert gone == (Writing((*PLACE, "L1b"), None),)
    assert come[0].add
    assert come[0].value == {
        "name": "L1d", "member": "L1", "shape": "round", "size": "0.02500 m", "skins": ["left", "left"],
        "state": "measured",
        "path": [{"x": x, "y": "0.87000 m", "z": "1.00000 m"} for x in ("-0.96000 m", "-1.04000 m")],
    }  # fmt: skip


def test_windows_and_candidates_that_nobody_took_are_no_openings(review: Review, raw: dict[str, Any]) -> None:
    review = marked(marked(review, "window-left-1", "confirmed"), "L1d", "deleted")
    assert writings(review, raw) == ()


@pytest.mark.parametrize(
    "names", [{"L1a": "x"}, {"L1a": "L1b", "L1b": "L1a"}, {"L1a": "L1b", "L1b": "L1c", "L1c": "L1a"}, {"L1b": "L1a", "L1a": "y"}]
)  # fmt: skip
def test_new_names_in_an_order_in_which_no_two_are_alike(
    review: Review, raw: dict[str, Any], names: dict[str, str]
) -> None:
    """Done one after the other on a list of names, they come out as wanted."""
    there = {"L1a": "L1a", "L1b": "L1b", "L1c": "L1c"}
    for batch in writings(renamed_together(review, names), raw):
        for one in batch:
            who = [key for key, name in there.items() if name == one.names[2]]
            assert len(who) == 1
            there[who[0]] = str(one.value)
        assert len(set(there.values())) == 3
    assert there == {key: names.get(key, key) for key in there}


def test_a_name_that_circuits_use_stays(review: Review, raw: dict[str, Any]) -> None:
    raw["circuits"] = [{"id": "fridge", "via": ["L1a"]}]
    for changed in (renamed_together(review, {"L1a": "x"}), marked(review, "L1a", "deleted")):
        with pytest.raises(ReviewError, match=r"L1a is named in circuits / fridge / via / 1"):
            writings(changed, raw)


def test_rows_of_a_preset_are_said_to_be_there_or_blocked() -> None:
    review = review_of([hole("L1a", 0.3, rowed=True), hole("L1b", 0.8, rowed=True), hole("L1c", 1.2, rowed=True)])
    review = marked(marked(review, "L1a", "confirmed"), "L1b", "deleted")
    ((first, second),) = writings(review, {"vehicle": {"preset": "short-high"}})
    assert first == Writing(PLACE, {"name": "L1a", "state": "measured"}, add=True)
    assert second == Writing(PLACE, {"name": "L1b", "state": "blocked"}, add=True)


def test_after_saving_nothing_is_left_to_write(review: Review, raw: dict[str, Any]) -> None:
    review = marked(marked(renamed_together(review, {"L1a": "x"}), "L1d", "confirmed"), "L1b", "deleted")
    after = saved(moved(review, "L1c", (0.0, 0.0, 0.001)))
    kept = [{"name": one.was, "state": one.state} for one in after.holes if one.state]
    assert [one["name"] for one in kept] == ["x", "L1d", "L1c"]
    assert writings(after, {"vehicle": {"openings": kept}}) == ()
