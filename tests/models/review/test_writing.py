"""What is written into a project file once its openings were gone through."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from ribway.editing.changes import Change, changed_data
from ribway.models.review.review import (
    Review,
    ReviewError,
    freed,
    marked,
    moved,
    renamed_together,
    replaced,
    review_of,
)
from ribway.models.review.writing import Writing, follows, saved, writings
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


def naming(raw: dict[str, Any]) -> dict[str, Any]:
    """The draft with runs, a way in a hollow and another plan that name openings."""
    raw["runs"] = [
        {"id": "fridge", "circuit": "fridge", "via": ["L1a", "L1b"]},
        {"id": "pump", "circuit": "pump", "avoid": ["L1b"]},
        {"id": "lamp", "circuit": "lamp", "by_hand": ["L1a", "L1b", "L1c"]},
    ]
    raw["vehicle"]["ways"] = [{"name": "duct", "kind": "hollow", "between": ["L1a", "L1c"]}]
    said = {"vehicle": {"openings": [{"name": "L1a", "state": "blocked"}, {"name": "L1b", "size": "9 mm"}]}}
    raw["alternatives"] = [{"name": "other", "change": said}]
    return raw


def laid_on(raw: dict[str, Any], review: Review) -> dict[str, Any]:
    """The data once everything is written, by another way than the one that writes texts."""
    for batch in writings(review, raw):
        raw = changed_data(raw, [Change(one.names, one.value, one.add) for one in batch])
    return raw


def test_what_names_an_opening_follows_its_new_name(review: Review, raw: dict[str, Any]) -> None:
    """Names that change places: every place names the same opening as before, by what it is called then."""
    before = naming(raw)
    names = {"L1a": "L1b", "L1b": "L1a", "L1c": "top"}
    after = laid_on(before, renamed_together(review, names))
    assert [run.get("via") for run in after["runs"]] == [["L1b", "L1a"], None, None]
    assert after["runs"][1]["avoid"] == ["L1a"]
    assert after["runs"][2]["by_hand"] == ["L1b", "L1a", "top"]
    assert after["vehicle"]["ways"][0]["between"] == ["L1b", "top"]
    assert {one["name"]: one for one in after["alternatives"][0]["change"]["vehicle"]["openings"]} == {
        "L1b": {"name": "L1b", "state": "blocked"}, "L1a": {"name": "L1a", "size": "9 mm"},
    }  # fmt: skip
    heights = {one["name"]: (one.get("path") or [one["at"]])[0]["z"] for one in after["vehicle"]["openings"]}
    assert heights == {"L1b": "0.30 m", "L1a": "0.80 m", "top": "1.20 m"}


def test_a_deleted_opening_that_runs_name_needs_a_word(review: Review, raw: dict[str, Any]) -> None:
    raw = naming(raw)
    gone = marked(review, "L1b", "deleted")
    with pytest.raises(ReviewError, match=r"L1b is named in runs / fridge / via, runs / lamp / by_hand, .*say free"):
        writings(gone, raw)
    free = freed(gone, "L1b")
    after = laid_on(raw, free)
    assert after["runs"] == [
        {"id": "fridge", "circuit": "fridge", "via": ["L1a"]},
        {"id": "pump", "circuit": "pump"},
        {"id": "lamp", "circuit": "lamp"},
    ]
    assert [one["name"] for one in after["alternatives"][0]["change"]["vehicle"]["openings"]] == ["L1a"]
    words = [one.words for one in follows(free, raw) if one.words]
    assert words == [
        "runs / fridge has to pass L1a only: L1b is gone",
        "runs / lamp is not laid by hand any more, the planner finds its way: L1b is gone",
    ]
    assert saved(free).hole("L1b").freed is False


def test_another_opening_in_its_place(review: Review, raw: dict[str, Any]) -> None:
    raw = naming(raw)
    other = replaced(marked(review, "L1b", "deleted"), "L1b", "L1a")
    after = laid_on(raw, renamed_together(other, {"L1a": "low"}))
    assert after["runs"][0]["via"] == ["low"]
    assert after["runs"][2]["by_hand"] == ["low", "L1c"]
    for name in ("L1b", "L1d", "window-left-1"):
        with pytest.raises(ReviewError, match="cannot give way"):
            replaced(review, "L1b", name)


def test_a_way_between_two_openings_cannot_lose_one(review: Review, raw: dict[str, Any]) -> None:
    raw = naming(raw)
    with pytest.raises(ReviewError, match="vehicle / ways / duct / between, which cannot do without it"):
        writings(freed(marked(review, "L1a", "deleted"), "L1a"), raw)
    raw["looms"] = {"tied": "L1a"}
    with pytest.raises(ReviewError, match="looms / tied, which cannot follow"):
        writings(renamed_together(review, {"L1a": "x"}), raw)


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
