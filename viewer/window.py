"""The window: looms switched on and off, a run picked and named, standard views, pictures saved."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import numpy as np
from PIL import Image

from ribway.models.plan.plan import Plan
from ribway.viewer import palette
from ribway.viewer.about import about_run
from ribway.viewer.draw import RUN_OF_FACE, add_chosen, add_scene, aim, name_devices
from ribway.viewer.errors import CannotDraw, NothingToShow
from ribway.viewer.fonts import font_file
from ribway.viewer.ready import has_screen, make_ready
from ribway.viewer.saving import free_name, save_png
from ribway.viewer.scene import scene_of
from ribway.viewer.shapes import Scene
from ribway.viewer.views import OVERVIEW, camera_of, seen_in, view_named

if TYPE_CHECKING:
    import pyvista as pv

Corner = Literal["upper_left", "lower_right"]

SIZE = (1500, 950)
THICKNESS = 1.5
BOX_PX, ROW_PX, EDGE_PX, LIST_PX = 20, 30, 14, 210.0
TYPE_PX = 11
# By the number pad: left, right, ahead and back lie where they lie in the van. 3 stays free: VTK has it for stereo.
VIEW_KEYS = {"0": OVERVIEW, "4": "left", "6": "right", "8": "bulkhead", "2": "rear", "9": "roof", "1": "floor"}
SAVE_KEY, ALL_KEY, FORGET_KEY = "s", "a", "Escape"
HELP = "click: name a run   0: overview   4 6 8 2 9 1: left, right, front, rear, roof, floor   a: all looms   s: save"


class Window:
    """A plan in a window. What the mouse and the keys do can be called as well."""

    def __init__(self, plan: Plan, scene: Scene, plotter: pv.Plotter) -> None:
        """Fills a plotter.

        Args:
            plan: the plan.
            scene: its layout.
            plotter: where to draw; empty.
        """
        self.plan = plan
        self.scene = scene
        self.plotter = plotter
        self.chosen: str | None = None
        drawn = add_scene(plotter, seen_in(view_named(OVERVIEW), scene))
        self._looms = {line.loom: drawn[line.loom] for line in scene.legend if line.loom in drawn}
        self._boxes = {loom: self._add_box(i, loom) for i, loom in enumerate(reversed(self._looms))}
        self._write(HELP, "lower_right", "help")
        self._listen()
        self.show_view(OVERVIEW)

    @property
    def shown(self) -> tuple[str, ...]:
        """Ids of the looms that are switched on."""
        return tuple(loom for loom, (actor, _, _) in self._looms.items() if actor.visibility)

    def toggle(self, loom_id: str) -> None:
        """Switches a loom on or off.

        Args:
            loom_id: the loom's id; empty for the runs that lie alone.

        Raises:
            NothingToShow: if no such loom is drawn.
        """
        self._switch(loom_id, loom_id not in self.shown)
        self.plotter.render()

    def show_all(self) -> None:
        """Switches all looms on."""
        for loom in self._looms:
            self._switch(loom, True)
        self.plotter.render()

    def pick(self, run_id: str) -> str:
        """Names a run in the corner and draws it black and thicker.

        Args:
            run_id: the run's id.

        Returns:
            What is written.

        Raises:
            NothingToShow: if the plan has no such run.
        """
        text = about_run(self.plan, run_id)
        self.chosen = run_id
        self._write(text, "upper_left", "about", size_px=TYPE_PX + 2)
        drawn = next((one for one in self.scene.tubes if one.run == run_id), None)
        if drawn is None:
            self.plotter.renderer.remove_actor("chosen", render=False)
            self.plotter.render()
            return text
        add_chosen(self.plotter, drawn, "chosen")
        self.plotter.render()
        return text

    def forget(self) -> None:
        """Takes back the picked run's text and marking."""
        self.chosen = None
        for name in ("about", "chosen"):
            self.plotter.renderer.remove_actor(name, render=False)
        self.plotter.render()

    def pick_at(self, x: float, y: float) -> str | None:
        """Picks the run that is seen at a place of the window.

        Args:
            x: pixels from the left.
            y: pixels from the bottom.

        Returns:
            The run's id, or None if no cable is there.
        """
        from vtkmodules.vtkRenderingCore import vtkCellPicker

        picker = vtkCellPicker()
        picker.SetTolerance(0.002)
        if not picker.Pick(x, y, 0.0, self.plotter.renderer):
            return None
        for actor, surface, runs in self._looms.values():
            if picker.GetActor() is actor:
                run_id = runs[int(surface.cell_data[RUN_OF_FACE][picker.GetCellId()])].run
                self.pick(run_id)
                return run_id
        return None

    def show_view(self, name: str) -> None:
        """Goes to a standard view; a wall is seen from inside, with what lies before it cut away.

        Args:
            name: ``overview`` or a wall.

        Raises:
            NothingToShow: if there is no such view.
        """
        view = view_named(name)
        width, height = self.plotter.window_size
        shown = seen_in(view, self.scene)
        camera = camera_of(view, shown, (width, height), (LIST_PX, ROW_PX * 2.0))
        name_devices(self.plotter, shown.markers, "devices", TYPE_PX + 3)
        aim(self.plotter, camera)
        if view.slab is not None:
            forward = camera.axes()[2]
            corners = np.stack([shown.low, shown.high])
            depth = np.sort((corners - camera.place) @ forward)
            self.plotter.camera.clipping_range = (float(depth[0]), float(depth[1]) + 0.1)
        self.plotter.render()

    def save_picture(self, path: Path | None = None) -> Path:
        """Saves what the window shows as PNG.

        Args:
            path: where to; by default a new file in the current folder, named for the project.

        Returns:
            Where it was saved.
        """
        path = path or free_name(self.plan.name, Path())
        self.plotter.render()
        pixels = np.asarray(self.plotter.screenshot(return_img=True), dtype=np.uint8)
        save_png(Image.fromarray(pixels[..., :3]), path)
        return path

    def close(self) -> None:
        """Closes the window."""
        self.plotter.close()

    def _listen(self) -> None:
        """Ties mouse and keys to what they do."""
        mouse_and_keys = self.plotter.iren
        if mouse_and_keys is None:
            return
        mouse_and_keys.track_click_position(self._clicked, side="left", viewport=True)
        on_key: Callable[[str, Callable[[], object]], None] = mouse_and_keys.add_key_event
        for key, view in VIEW_KEYS.items():
            on_key(key, partial(self.show_view, view))
        on_key(SAVE_KEY, self.save_picture)
        on_key(ALL_KEY, self.show_all)
        on_key(FORGET_KEY, self.forget)

    def _switch(self, loom_id: str, on: bool) -> None:
        if loom_id not in self._looms:
            raise NothingToShow(f"no loom {loom_id!r} is drawn; there are {', '.join(self._looms) or 'none'}")
        self._looms[loom_id][0].visibility = on
        self._boxes[loom_id].GetRepresentation().SetState(int(on))

    def _clicked(self, place: tuple[float, float]) -> None:
        self.pick_at(*place)

    def _add_box(self, row: int, loom: str) -> pv.vtkButtonWidget:
        """A check box in the loom's colour, with its name beside it."""
        import pyvista as pv

        y = EDGE_PX + row * ROW_PX
        colour = self._looms[loom][2][0].colour
        box = pv.Plotter.add_checkbox_button_widget(
            self.plotter,
            callback=partial(self._switch_if_known, loom),
            value=True,
            position=(EDGE_PX, y),
            size=BOX_PX,
            border_size=2,
            color_on=colour,
            color_off=palette.GROUND,
            background_color=colour,
        )
        line = next((one for one in self.scene.legend if one.loom == loom), None)
        text = f"{loom or 'single runs'}{f', {line.zone}' if line and line.zone and line.zone != loom else ''}"
        self._write(text, (EDGE_PX + BOX_PX + 8, y + 1), f"loom {row}")
        return box

    def _switch_if_known(self, loom: str, on: bool) -> None:
        """A box tells its state once while it is being made, before it is known here."""
        if loom in getattr(self, "_boxes", {}):
            self._switch(loom, on)

    def _write(self, text: str, place: Corner | tuple[float, float], name: str, size_px: int = TYPE_PX) -> None:
        file = font_file()
        self.plotter.add_text(
            text,
            position=place,
            name=name,
            font_size=size_px,
            color=palette.INK,
            font_file=str(file) if file else None,
            render=False,
        )


def build_window(plan: Plan, *, off_screen: bool = False, size: tuple[int, int] = SIZE) -> Window:
    """Makes the window without showing it.

    Args:
        plan: the plan.
        off_screen: draw into memory only.
        size: width and height in pixels.

    Returns:
        The window.

    Raises:
        CannotDraw: if this machine cannot draw.
    """
    make_ready()
    import pyvista as pv

    plotter = pv.Plotter(off_screen=off_screen, window_size=list(size), title=f"{plan.name}, revision {plan.revision}")
    plotter.disable_anti_aliasing()
    plotter.enable_anti_aliasing(aa_type="ssaa")
    return Window(plan, scene_of(plan, exaggeration=THICKNESS), plotter)


def open_window(plan: Plan) -> None:
    """Shows a plan until its window is closed.

    Args:
        plan: the plan.

    Raises:
        CannotDraw: if this machine has no display or cannot draw.
    """
    if not has_screen(sys.platform, os.environ):
        raise CannotDraw(
            "A window needs a screen, and this machine has none (DISPLAY is not set); save pictures instead."
        )
    build_window(plan).plotter.show()
