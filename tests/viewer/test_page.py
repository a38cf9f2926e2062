"""The sheet round a picture."""

from __future__ import annotations

from itertools import combinations

import pytest
from PIL import Image, ImageDraw
from shapely import box

from ribway.viewer import legend
from ribway.viewer.fonts import font, text_size
from ribway.viewer.page import page_of
from ribway.viewer.shapes import LegendLine


@pytest.mark.parametrize("size", [(1800, 1200), (600, 400), (1200, 1600), (2400, 1000)])
@pytest.mark.parametrize("shape", [1.0, 2.3])
def test_areas_do_not_overlap_and_fill_the_sheet(size: tuple[int, int], shape: float) -> None:
    page = page_of(size, shape, legend.KEY_ROWS)
    areas = [box(*area) for area in (page.title, page.body, page.legend, page.key, page.caution)]
    assert all(box(0, 0, *size).covers(area) and area.area > 0.0 for area in areas)
    assert all(a.intersection(b).area == 0.0 for a, b in combinations(areas, 2))
    assert page.below == (shape > 2.0)
    assert areas[1].area > 0.3 * size[0] * size[1]


def lines(count: int) -> list[LegendLine]:
    return [
        LegendLine(f"loom {i} with a long name", f"#{i:02x}50a0", "left rear", 12, 123.4, True) for i in range(count)
    ]


@pytest.mark.parametrize("count", [1, 8, 14, 40])
@pytest.mark.parametrize("below", [True, False])
def test_a_legend_stays_in_its_area(count: int, below: bool) -> None:
    page = page_of((1800, 1200), 2.0 if below else 1.0, legend.KEY_ROWS)
    image = Image.new("RGB", (1800, 1200), "#ffffff")
    write = legend.draw_blocks if below else legend.draw_legend
    write(ImageDraw.Draw(image, "RGBA"), page.legend, lines(count), "metric", page.type_px)
    inked = Image.eval(image.convert("L"), lambda value: 255 - value).getbbox()
    assert inked is not None
    assert box(*page.legend).buffer(2).covers(box(*inked))
    colours = {colour for _, colour in image.getcolors(1 << 24) or []}
    shown = sum((i, 0x50, 0xA0) in colours for i in range(count))
    assert shown == count if count <= 14 else 10 <= shown < count


def test_text_is_cut_to_its_room() -> None:
    face = font(20)
    assert legend.fitted("short", 500, face) == "short"
    cut = legend.fitted("a name that is far too long for the room there is", 120, face)
    assert cut.endswith("…")
    assert text_size(cut, face)[0] <= 120


def test_letters_of_many_tongues_are_drawn() -> None:
    """Each has a shape of its own, so it is not the box that stands for a missing letter."""
    face = font(24)
    missing = bytes(face.getmask("\uffff"))
    shapes = [bytes(face.getmask(letter)) for letter in "äßéñżжΩ²°≤×–…→←·"]
    assert missing not in shapes
    assert len(set(shapes)) == len(shapes)
