"""The window of a draft, drawn off screen; mouse and keys go through VTK's own events."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from vtkmodules.vtkRenderingCore import vtkRenderWindowInteractor

from ribway.models.review.hole import Mark
from ribway.models.review.review import Review, review_of
from ribway.models.review.writing import saved
from ribway.viewer.draft.marks import AROUND, GONE, KIND_COLOURS, THICK_M, mark_of, nearest_mark, rim_of
from ribway.viewer.draft.metal import Metal
from ribway.viewer.draft.window import DraftWindow, build_draft_window
from ribway.viewer.palette import rgb_of
from samples.draft import found_holes, hole

SIZE = (900, 620)


def metal() -> list[Metal]:
    wall = np.array([[0, 0.9, 0], [-2, 0.9, 0], [-2, 0.9, 1.6], [0, 0.9, 1.6]])
    other = wall * [1, -1, 1]
    faces = np.array([[0, 1, 2], [0, 2, 3]], dtype=np.int32)
    return [Metal("left", "skin", "left", wall, faces), Metal("right", "skin", "right", other, faces)]


class Kept:
    """Stands for the files."""

    def __init__(self) -> None:
        self.reviews: list[Review] = []
        self.refuses = False

    def save(self, review: Review) -> tuple[Review | None, str]:
        if self.refuses:
            return None, "not saved: no room"
        self.reviews.append(review)
        return saved(review), "saved in project.yaml"


@pytest.fixture
def kept() -> Kept:
    return Kept()


@pytest.fixture
def window(kept: Kept) -> Iterator[DraftWindow]:
    made = build_draft_window("Small", metal(), review_of(found_holes()), kept.save, off_screen=True, size=SIZE)
    interactor_of(made).Enable()
    yield made
    made.close()


def interactor_of(window: DraftWindow) -> vtkRenderWindowInteractor:
    assert window.plotter.iren is not None
    interactor: vtkRenderWindowInteractor = window.plotter.iren.interactor
    return interactor


def press(window: DraftWindow, *keys: str) -> None:
    interactor = interactor_of(window)
    for key in keys:
        interactor.SetKeyEventInformation(0, 0, key[0] if len(key) == 1 else "\x1b", 0, key)
        interactor.KeyPressEvent()
        interactor.CharEvent()


def pixels(window: DraftWindow) -> NDArray[np.int16]:
    window.plotter.render()
    return np.asarray(window.plotter.screenshot(return_img=True)).astype(np.int16)


def like(window: DraftWindow, colour: str, near: int = 60) -> int:
    """How many pixels of the picture's middle have about a colour."""
    return int((np.abs(pixels(window)[140:480] - np.array(rgb_of(colour))).max(axis=2) < near).sum())


def test_keys_act_and_nothing_of_vtks_own_happens(window: DraftWindow, kept: Kept) -> None:
    press(window, "4", "n", "c", "t", "q", "e", "w", "Return")
    assert [one.name for one in window.desk.review.holes][:2] == ["L1a", "qew"]
    assert window.desk.review.holes[0].mark == "confirmed"
    assert not window.plotter._closed
    press(window, "s")
    assert len(kept.reviews) == 1
    assert not window.desk.is_changed
    assert [one.was for one in window.desk.review.holes][:2] == ["L1a", "qew"]


def test_what_could_not_be_saved_stays_unsaved(window: DraftWindow, kept: Kept) -> None:
    kept.refuses = True
    press(window, "n", "x", "s")
    assert window.desk.is_changed
    assert "no room" in window.desk.note


def test_a_click_picks_the_opening_that_is_seen_there(window: DraftWindow) -> None:
    press(window, "4")
    camera = window._camera()
    for one in window.desk.review.holes:
        x, y = camera.pixels(mark_of(one).middle[None], SIZE)[0]
        interactor = interactor_of(window)
        interactor.SetEventInformation(round(x), round(SIZE[1] - y))
        interactor.LeftButtonPressEvent()
        interactor.LeftButtonReleaseEvent()
        assert window.desk.chosen == one.name
    assert window.click(5, 5) == ""
    assert window.desk.chosen == "window-left-1"


def test_kinds_and_states_are_told_apart_in_the_picture(window: DraftWindow, tmp_path: Path) -> None:
    press(window, "4")
    way, there = KIND_COLOURS["way"], like(window, KIND_COLOURS["way"])
    assert there > 25
    assert like(window, KIND_COLOURS["window"]) > 10
    press(window, "n", "c", "c", "c", "Escape")
    assert like(window, way) > there  # full dots
    grey = like(window, GONE, 12)
    press(window, "b", "b", "b", "Escape")
    for name in ("L1a", "L1b", "L1d"):
        window.desk = replace(window.desk, chosen=name)
        press(window, "x")
    press(window, "Escape")
    assert like(window, way) == 0
    assert like(window, GONE, 12) > grey
    assert window.save_picture(tmp_path / "w.png").stat().st_size > 1000


@pytest.mark.parametrize(("mark", "strokes"), [("open", 1), ("confirmed", 1), ("deleted", 2)])
def test_marks_by_what_is_said(mark: Mark, strokes: int) -> None:
    made = mark_of(hole("L1a", 0.3, mark=mark))
    assert len(made.strokes) == strokes
    assert (made.colour == GONE) == (mark == "deleted")
    assert (made.radius_m == THICK_M) == (mark == "confirmed")


def test_an_unsure_ring_is_broken() -> None:
    sure, unsure = mark_of(hole("a", 0.3)), mark_of(hole("a", 0.3, sure=0.5))
    whole = sum(np.linalg.norm(np.diff(line, axis=0), axis=1).sum() for line in sure.strokes)
    broken = sum(np.linalg.norm(np.diff(line, axis=0), axis=1).sum() for line in unsure.strokes)
    assert broken == pytest.approx(0.5 * whole, rel=0.05)
    assert sure.dots_px != unsure.dots_px


def test_a_rim_in_even_steps_or_a_circle_where_none_is_known() -> None:
    for one in (hole("a", 0.3), hole("a", 0.3, rim=())):
        rim = rim_of(one)
        assert rim.shape == (AROUND, 3)
        assert np.linalg.norm(rim - rim.mean(axis=0), axis=1) == pytest.approx(np.full(AROUND, 0.0125), rel=0.04)
        steps = np.linalg.norm(np.diff(rim, axis=0), axis=1)
        assert steps.max() < 1.05 * steps.min()


def test_the_nearest_mark_within_reach() -> None:
    spots = np.array([[10.0, 10.0], [20.0, 10.0]])
    assert nearest_mark(spots, 16.0, 10.0, 5.0) == 1
    assert nearest_mark(spots, 16.0, 30.0, 5.0) is None
    assert nearest_mark(np.zeros((0, 2)), 0.0, 0.0, 5.0) is None
