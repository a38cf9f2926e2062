"""A draft's openings in a window: picked by a click, told what they are by keys; drawing and VTK's events only."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import numpy as np
from PIL import Image

from ribway.models.review.review import Review
from ribway.viewer import palette
from ribway.viewer.camera import Camera
from ribway.viewer.draft.desk import HELP, Asks, Desk, about_words, desk_of, picked, pressed, state_words
from ribway.viewer.draft.drawing import add_dots, add_strokes, mark_chosen, name_marks
from ribway.viewer.draft.marks import KEY, KIND_COLOURS, MarkShape, mark_of, nearest_mark
from ribway.viewer.draft.metal import Metal, bare_scene
from ribway.viewer.draw import add_scene, aim
from ribway.viewer.errors import CannotDraw
from ribway.viewer.fonts import font_file
from ribway.viewer.ready import has_screen, make_ready
from ribway.viewer.saving import free_name, save_png
from ribway.viewer.views import OVERVIEW, VIEWS, camera_of, seen_in, view_named

if TYPE_CHECKING:
    import pyvista as pv

Save = Callable[[Review], tuple[Review | None, str]]
"""Puts what was said into the files: how it goes on from there (None if it could not be saved), and a sentence."""

SIZE = (1500, 950)
TYPE_PX = 11
REACH_PX = 14.0
MARGIN_PX = (60.0, 130.0)


class DraftWindow:
    """A draft in a window. What the mouse and the keys do can be called as well."""

    def __init__(
        self, name: str, metal: Sequence[Metal], review: Review, save: Save, plotter: pv.Plotter, size: tuple[int, int]
    ) -> None:
        """Fills a plotter.

        Args:
            name: of the draft.
            metal: what was surveyed.
            review: its openings.
            save: what the save key does.
            plotter: where to draw; empty.
            size: width and height of the window [px].
        """
        self.name, self.save, self.plotter, self.size = name, save, plotter, size
        self.desk: Desk = desk_of(review)
        self.view = OVERVIEW
        self.scene = bare_scene(name, metal)
        add_scene(plotter, seen_in(view_named(OVERVIEW), self.scene), balls_too=False)
        self._drawn: set[str] = set()
        self._write("\n".join(HELP), "lower_left", "help")
        self._write("\n".join(f"{mark}: {meaning}" for mark, meaning in KEY), "lower_right", "key")
        self._show_kinds()
        self._listen()
        self.show_view(OVERVIEW)

    def press(self, key: str) -> None:
        """Does what a key does.

        Args:
            key: its name as X has it.
        """
        self.desk, asks = pressed(self.desk, key)
        self._do(asks)
        self.show()

    def click(self, x: float, y: float) -> str:
        """Picks the opening at a place of the window.

        Args:
            x: pixels from the left.
            y: pixels from the bottom.

        Returns:
            Its name; empty, and what was picked stays, if there is none.
        """
        marks = self._seen()
        width, height = self.plotter.window_size
        spots = self._camera().pixels(np.array([one.middle for one in marks]).reshape(-1, 3), (width, height))
        found = nearest_mark(spots, x, height - y, REACH_PX)
        if found is None:
            return ""
        self.desk = picked(self.desk, marks[found].name)
        self.show()
        return marks[found].name

    def show_view(self, name: str) -> None:
        """Goes to a standard view.

        Args:
            name: ``overview`` or a wall.
        """
        self.view = name
        view = view_named(name)
        shown = seen_in(view, self.scene)
        camera = camera_of(view, shown, self.size, MARGIN_PX)
        aim(self.plotter, camera)
        if view.slab is not None:
            forward = camera.axes()[2]
            depth = np.sort((np.stack([shown.low, shown.high]) - camera.place) @ forward)
            self.plotter.camera.clipping_range = (float(depth[0]), float(depth[1]) + 0.1)
        self.show()

    def show(self) -> None:
        """Draws marks, names and words as they are now."""
        seen = self._seen()
        for name in self._drawn:
            self.plotter.renderer.remove_actor(name, render=False)
        self._drawn = {*add_strokes(self.plotter, self._marks()), *add_dots(self.plotter, seen)}
        hole = self.desk.hole
        mark_chosen(self.plotter, None if hole is None else mark_of(replace(hole, mark="open", sure=1.0)))
        wanted = [one for one in seen if self.view != OVERVIEW or one.name == self.desk.chosen]
        name_marks(self.plotter, wanted, TYPE_PX + 2)
        self._write(about_words(self.desk) or " ", "upper_left", "about", TYPE_PX + 2)
        self._write(state_words(self.desk), "upper_right", "state", TYPE_PX + 1)
        self.plotter.render()

    def close(self) -> None:
        """Closes the window."""
        self.plotter.close()

    def _leave(self) -> None:
        """Ends the window's loop; it is closed by whoever began it."""
        if self.plotter.iren is not None:
            self.plotter.iren.interactor.ExitCallback()

    def _do(self, asks: Asks) -> None:
        if asks == "save":
            review, said = self.save(self.desk.review)
            self.desk = replace(self.desk, review=review, kept=review, undone=()) if review is not None else self.desk
            self.desk = replace(self.desk, note=said)
        elif asks == "picture":
            path = self.save_picture()
            self.desk = replace(self.desk, note=f"picture saved as {path}")
        elif asks == "close":
            self._leave()
        elif asks in VIEWS:
            self.show_view(asks)

    def save_picture(self, path: Path | None = None) -> Path:
        """Saves what the window shows as PNG.

        Args:
            path: where to; by default a new file in the current folder.

        Returns:
            Where it was saved.
        """
        path = path or free_name(self.name, Path())
        self.plotter.render()
        pixels = np.asarray(self.plotter.screenshot(return_img=True), dtype=np.uint8)
        save_png(Image.fromarray(pixels[..., :3]), path)
        return path

    def _marks(self) -> list[MarkShape]:
        return [mark_of(hole) for hole in self.desk.review.holes]

    def _seen(self) -> list[MarkShape]:
        """Marks on the side of the van that the view shows."""
        slab = view_named(self.view).slab
        if slab is None:
            return self._marks()
        axis, side = slab
        shown = seen_in(view_named(self.view), replace(self.scene, parts=()))
        border = float((shown.low if side > 0 else shown.high)[axis])
        return [one for one in self._marks() if side * (one.middle[axis] - border) >= 0]

    def _show_kinds(self) -> None:
        """The kinds that were found, each in its colour."""
        kinds = [kind for kind in KIND_COLOURS if any(one.kind == kind for one in self.desk.review.holes)]
        for row, kind in enumerate(kinds):
            count = sum(one.kind == kind for one in self.desk.review.holes)
            place = (self.size[0] - 180.0, self.size[1] - 90.0 - 22.0 * row)
            self._write(f"O  {kind} ({count})", place, f"kind {kind}", TYPE_PX, KIND_COLOURS[kind])

    def _camera(self) -> Camera:
        """The camera as the mouse has left it."""
        seen = self.plotter.camera
        flat = bool(seen.parallel_projection)
        return Camera(
            np.array(seen.position),
            np.array(seen.focal_point),
            np.array(seen.up),
            half_height_m=float(seen.parallel_scale) if flat else 0.0,
            angle_deg=0.0 if flat else float(seen.view_angle),
        )

    def _listen(self) -> None:
        """Ties mouse and keys to what they do; VTK's own keys are off, since names are typed here."""
        mouse_and_keys = self.plotter.iren
        if mouse_and_keys is None:
            return
        mouse_and_keys.track_click_position(lambda place: self.click(*place), side="left", viewport=True)
        clear: Callable[[], None] = mouse_and_keys.clear_key_event_callbacks
        clear()
        interactor = mouse_and_keys.interactor
        interactor.GetInteractorStyle().AddObserver("CharEvent", _nothing)
        interactor.AddObserver("KeyPressEvent", lambda source, _: self.press(source.GetKeySym() or ""))

    def _write(
        self,
        text: str,
        place: Literal["upper_left", "upper_right", "lower_left", "lower_right"] | tuple[float, float],
        name: str,
        size_px: int = TYPE_PX,
        colour: str = palette.INK,
    ) -> None:
        file = font_file()
        self.plotter.add_text(
            text, position=place, name=name, font_size=size_px, color=colour, font_file=str(file) if file else None,
            render=False,
        )  # fmt: skip


def _nothing(*_: object) -> None:
    """Stands where VTK would do something of its own."""


def build_draft_window(
    name: str,
    metal: Sequence[Metal],
    review: Review,
    save: Save,
    *,
    off_screen: bool = False,
    size: tuple[int, int] = SIZE,
) -> DraftWindow:
    """Makes the window without showing it.

    Args:
        name: of the draft.
        metal: what was surveyed.
        review: its openings.
        save: what the save key does.
        off_screen: draw into memory only.
        size: width and height in pixels.

    Raises:
        CannotDraw: if this machine cannot draw.
    """
    make_ready()
    import pyvista as pv

    plotter = pv.Plotter(off_screen=off_screen, window_size=list(size), title=f"{name}: openings to look at")
    plotter.disable_anti_aliasing()
    plotter.enable_anti_aliasing(aa_type="ssaa")
    return DraftWindow(name, metal, review, save, plotter, size)


def open_draft_window(name: str, metal: Sequence[Metal], review: Review, save: Save) -> bool:
    """Shows a draft until its window is closed.

    Args:
        name: of the draft.
        metal: what was surveyed.
        review: its openings.
        save: what the save key does.

    Returns:
        Whether everything that was said was saved too.

    Raises:
        CannotDraw: if this machine has no display or cannot draw.
    """
    if not has_screen(sys.platform, os.environ):
        raise CannotDraw(
            "A window needs a screen, and this machine has none (DISPLAY is not set); write a page instead (ribway page)."
        )
    window = build_draft_window(name, metal, review, save)
    window.plotter.show()
    return not window.desk.is_changed
