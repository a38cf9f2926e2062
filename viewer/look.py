"""From where a window looks: its camera, the names of devices for it, and a picture of what it shows."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image

from ribway.viewer.controls import LIST_PX, ROW_PX
from ribway.viewer.draw import aim
from ribway.viewer.draw_live import add_facing, name_devices
from ribway.viewer.saving import save_png
from ribway.viewer.shapes import Scene
from ribway.viewer.views import camera_of, facing, seen_in, view_named

if TYPE_CHECKING:
    import pyvista as pv

NAME_PX = 14


def look(plotter: pv.Plotter, scene: Scene, name: str, facing_too: bool) -> None:
    """Turns to a standard view; of a wall, what lies before it is cut away.

    Args:
        plotter: where to.
        scene: what is shown.
        name: of the view.
        facing_too: whether openings of the wall that is looked at are shown face on.

    Raises:
        NothingToShow: if there is no such view.
    """
    view = view_named(name)
    width, height = plotter.window_size
    shown = seen_in(view, scene)
    camera = camera_of(view, shown, (width, height), (LIST_PX, ROW_PX * 4.2))
    name_devices(plotter, shown.markers, "devices", NAME_PX)
    face(plotter, scene, name, facing_too)
    aim(plotter, camera)
    if view.slab is not None:
        forward = camera.axes()[2]
        corners = np.stack([shown.low, shown.high])
        depth = np.sort((corners - camera.place) @ forward)
        plotter.camera.clipping_range = (float(depth[0]), float(depth[1]) + 0.1)
    plotter.render()


def face(plotter: pv.Plotter, scene: Scene, name: str, shown: bool) -> None:
    """Shows openings of the wall that a view looks at face on, or takes them back.

    Args:
        plotter: where to.
        scene: what is shown.
        name: of the view.
        shown: whether they are to be seen.
    """
    view = view_named(name)
    add_facing(plotter, facing(view, name, scene) if shown and view.slab is not None else (), "facing")


def save_seen(plotter: pv.Plotter, path: Path) -> None:
    """Saves what a window shows as PNG.

    Args:
        plotter: the window's.
        path: where to.

    Raises:
        OSError: if the file cannot be written.
    """
    plotter.render()
    pixels = np.asarray(plotter.screenshot(return_img=True), dtype=np.uint8)
    save_png(Image.fromarray(pixels[..., :3]), path)
