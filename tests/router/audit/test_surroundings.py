"""Which section of a loom a leg lies in: by hand, at a fork in a hole where hotter air begins."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any, cast

from ribway.router.audit.book import Book
from ribway.router.audit.surroundings import sections_by_leg

WALL = ((0.0, 0.0, 0.0), (0.0, 0.0, 1.0))
AFTER = {"left": (0.0, 0.5, 1.3), "right": (0.0, -0.5, 1.3)}


def forked(legs_of: dict[str, list[tuple[tuple[float, float, float], ...]]]) -> Book:
    """A loom along a wall that forks where the roof begins."""
    sections = [
        SimpleNamespace(points=WALL, runs=("left", "right")),
        *(SimpleNamespace(points=(WALL[1], (0.0, 0.0, 1.0002), end), runs=(name,)) for name, end in AFTER.items()),
    ]
    loom = SimpleNamespace(id="A", runs=("left", "right"), sections=sections)
    runs = {
        name: SimpleNamespace(legs=[SimpleNamespace(points=points) for points in legs])
        for name, legs in legs_of.items()
    }
    return cast(Book, SimpleNamespace(plan=SimpleNamespace(looms=[loom]), runs=cast(Any, runs)))


def test_what_begins_where_a_section_ends_does_not_lie_in_it() -> None:
    """The roof's legs begin with two tenths of a millimetre straight on: beside each other they are on the wall alone."""
    legs = {name: [WALL, (WALL[1], (0.0, 0.0, 1.0002), end)] for name, end in AFTER.items()}
    found = sections_by_leg(forked(legs))
    for name in AFTER:
        assert found["A", name, 0] == [("left", "right")]
        assert found["A", name, 1] == [(name,)]


def test_a_leg_that_is_all_within_a_hair_of_an_end_lies_in_what_it_touches() -> None:
    legs = {name: [WALL, (WALL[1], (0.0, 0.0, 1.0002)), ((0.0, 0.0, 1.0002), end)] for name, end in AFTER.items()}
    found = sections_by_leg(forked(legs))
    assert set(found["A", "left", 1]) == {("left", "right"), ("left",)}


def test_a_leg_that_lies_in_a_section_for_longer_is_in_it() -> None:
    """Five millimetres beyond the fork the runs part in truth: there each warms the other in the roof's air as well."""
    book = forked({name: [WALL, (WALL[1], (0.0, 0.0, 1.005), end)] for name, end in AFTER.items()})
    wall = book.plan.looms[0].sections[0]
    wall.points = ((0.0, 0.0, 0.0), (0.0, 0.0, 1.005))  # type: ignore[misc]
    assert ("left", "right") in sections_by_leg(book)["A", "left", 1]
