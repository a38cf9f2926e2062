"""The survey picture's names: none on another, on a mark, or outside of its view."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from PIL import ImageFont

from ribway.viewer.fonts import font
from ribway.viewer.survey_picture import TEXT_PX, labels_of

ROOM = (30.0, 110.0, 1070.0, 640.0)


def rail(count: int, apart_px: float, rows: int = 1) -> list[tuple[float, float, float]]:
    """Marks of a rail's holes, small and large in turn, as they come out on a picture of a wall."""
    return [(60.0 + k * apart_px, 300.0 + 30.0 * row, 5.0 + 2.0 * (k % 2)) for row in range(rows) for k in range(count)]


@pytest.mark.parametrize(("count", "apart_px", "rows"), [(14, 70.0, 1), (40, 24.0, 1), (28, 36.0, 3)])
def test_names_lie_apart_from_each_other_and_from_all_marks(count: int, apart_px: float, rows: int) -> None:
    marks = rail(count, apart_px, rows)
    names = [f"LW{k}" for k in range(len(marks))]
    placed = labels_of(names, marks, ROOM)
    assert [one.wish for one in placed] == list(range(len(marks)))
    face = font(TEXT_PX)
    assert isinstance(face, ImageFont.FreeTypeFont)
    for one, other in itertools.combinations(placed, 2):
        (a, b, c, d), (e, f, g, h) = one.box, other.box
        assert c <= e or g <= a or d <= f or h <= b
    for one in placed:
        left, top, right, bottom = one.box
        # The drawn word, by the type's own measure, is inside of its box.
        assert right - left >= face.getlength(names[one.wish])
        assert ROOM[0] <= left
        assert ROOM[1] <= top
        assert right <= ROOM[2]
        assert bottom <= ROOM[3]
        for x, y, radius in marks:
            near = np.clip(x, left, right), np.clip(y, top, bottom)
            assert math.dist(near, (x, y)) >= radius


def test_a_name_stands_by_its_own_mark_where_there_is_room() -> None:
    marks = rail(6, 150.0)
    for one in labels_of([f"L{k}" for k in range(6)], marks, ROOM):
        x, y, radius = marks[one.wish]
        near = np.clip(x, one.box[0], one.box[2]), np.clip(y, one.box[1], one.box[3])
        assert math.dist(near, (x, y)) < radius + 20.0
