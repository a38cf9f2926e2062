"""The sheet round a picture."""

from __future__ import annotations

from itertools import combinations

import pytest
from PIL import Image, ImageDraw
from shapely import box

from ribway.viewer import legend, loom_legend
from ribway.viewer.fonts import Font, font, text_size
from ribway.viewer.loom_legend import draw_looms, grid_for, sums_text
from ribway.viewer.page import page_of
from ribway.viewer.picture import label_px
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
        LegendLine(f"loom {i} with a long name", f"#{i % 256:02x}{0x50 + i // 256:02x}a0", "left rear", 12, 123.4, True)
        for i in range(count)
    ]


@pytest.mark.parametrize("count", [1, 8, 14, 23, 40, 400])
@pytest.mark.parametrize("below", [True, False])
def test_a_legend_stays_in_its_area(count: int, below: bool) -> None:
    page = page_of((1800, 1200), 2.0 if below else 1.0, legend.KEY_ROWS)
    image = Image.new("RGB", (1800, 1200), "#ffffff")
    draw_looms(ImageDraw.Draw(image, "RGBA"), page.legend, lines(count), "metric", page.type_px)
    inked = Image.eval(image.convert("L"), lambda value: 255 - value).getbbox()
    assert inked is not None
    assert box(*page.legend).buffer(2).covers(box(*inked))
    colours = {colour for _, colour in image.getcolors(1 << 24) or []}
    shown = sum((i % 256, 0x50 + i // 256, 0xA0) in colours for i in range(count))
    assert shown == count if count <= 40 else 40 <= shown < count


def test_a_legend_is_written_as_large_as_it_fits() -> None:
    few, many = grid_for(4, 400, 800, 20), grid_for(29, 400, 800, 20)
    assert (few.type_px, few.two_lines, few.columns) == (20, True, 1)
    assert many.type_px > 10
    assert many.columns * many.rows >= 29
    for count in range(1, 60):
        grid = grid_for(count, 1300, 184, 20)
        assert grid.columns * grid.rows >= count
        assert grid.rows * grid.row_px <= 184
        assert grid.type_px >= grid_for(count + 1, 1300, 184, 20).type_px, "more looms are never written larger"


@pytest.mark.parametrize("area", [(28, 968, 1372, 1152), (18, 650, 922, 769), (1372, 110, 1772, 948)])
@pytest.mark.parametrize("count", [1, 6, 9, 14])
def test_names_of_looms_stand_whole_where_there_is_room(
    area: tuple[int, int, int, int], count: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    some = [LegendLine(f"L{i}", "#0072b2", "right middle", 12, 13.4, True) for i in range(count)]
    cut: list[str] = []

    def watched(text: str, width: float, face: Font) -> str:
        found = legend.fitted(text, width, face)
        cut.extend([text] if found != text else [])
        return found

    monkeypatch.setattr(loom_legend, "fitted", watched)
    image = Image.new("RGB", (1800, 1200), "#ffffff")
    draw_looms(ImageDraw.Draw(image, "RGBA"), area, some, "metric", 20 if area[2] > 1000 else 13)
    assert cut == []
    inked = Image.eval(image.convert("L"), lambda value: 255 - value).getbbox()
    assert inked is not None
    assert box(*area).buffer(2).covers(box(*inked))


def test_names_shrink_only_in_a_crowd() -> None:
    assert label_px(1, 20) == label_px(40, 20) == 19
    assert label_px(60, 20) == 15
    assert label_px(500, 20) == 15
    assert label_px(500, 10) == 10


def test_loose_draw_cords_are_called_so() -> None:
    assert legend.loom_title(LegendLine("", "#454c54", "", 4, 0.0, False)) == "draw cords alone"
    assert sums_text(LegendLine("", "#454c54", "", 4, 0.0, False), "metric") == "4 cords"
    assert legend.loom_title(LegendLine("", "#454c54", "", 4, 3.0, True)) == "single runs (AC)"
    assert sums_text(LegendLine("", "#454c54", "", 1, 3.02, True), "metric") == "1 run, 3.1 m"


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
