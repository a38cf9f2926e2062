"""What changes in a window while it is open: runs one by one, the run that stands out, names, openings face on."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np

from ribway.viewer import palette
from ribway.viewer.draw import Faces, Points, add_cables, cables_surface, surface_of, tube_mesh
from ribway.viewer.shapes import Marker, Ring, Tube
from ribway.viewer.sweep import hoop, joined

if TYPE_CHECKING:
    import pyvista as pv

CHOSEN = "#111417"
CHOSEN_THICKER = 1.4
TO_FRONT = -66000.0
FACING_M, FACING_USED_M = 0.0025, 0.0045


def add_runs(plotter: pv.Plotter, tubes: Iterable[Tube]) -> Mapping[str, pv.Actor]:
    """Adds runs, each by itself; those that were there before are replaced.

    Args:
        plotter: where to.
        tubes: the runs.

    Returns:
        The actor of each run.
    """
    return {one.run: add_cables(plotter, cables_surface((one,)), f"run {one.run}") for one in tubes}


def bring_to_front(actor: pv.Actor) -> None:
    """Moves a thing's depth right to the front, so that neighbours and ribs do not hide what was asked for."""
    actor.mapper.SetResolveCoincidentTopologyToPolygonOffset()
    actor.mapper.SetRelativeCoincidentTopologyPolygonOffsetParameters(0.0, TO_FRONT)


def add_facing(plotter: pv.Plotter, rings: Iterable[Ring], name: str) -> None:
    """Adds openings as rings that face the one who looks, instead of those added before.

    Args:
        plotter: where to.
        rings: the rings, laid out by ``facing``.
        name: what their actors' names begin with.
    """
    for old in [one for one in plotter.actors if one.startswith(name)]:
        plotter.renderer.remove_actor(old, render=False)
    alike: dict[str, list[tuple[Points, Faces]]] = defaultdict(list)
    for ring in rings:
        alike[ring.colour].append(hoop(ring.points, FACING_USED_M if ring.runs else FACING_M))
    for colour, meshes in alike.items():
        actor = plotter.add_mesh(
            surface_of(*joined(meshes)), color=colour, lighting=False, pickable=False, name=f"{name} {colour}",
            reset_camera=False, render=False,
        )  # fmt: skip
        bring_to_front(actor)


def add_chosen(plotter: pv.Plotter, chosen: Tube, name: str) -> None:
    """Adds a run once more, black and thicker, before everything else.

    Args:
        plotter: where to.
        chosen: the run.
        name: of the actor; an older one of this name goes.
    """
    surface = surface_of(*tube_mesh(chosen, CHOSEN_THICKER))
    bring_to_front(plotter.add_mesh(surface, color=CHOSEN, name=name, pickable=False, reset_camera=False, render=False))


def name_devices(plotter: pv.Plotter, markers: Sequence[Marker], name: str, size_px: int) -> None:
    """Writes the names of devices beside them, instead of those written before.

    Args:
        plotter: where to.
        markers: the devices.
        name: of the actor.
        size_px: size of the type.
    """
    plotter.renderer.remove_actor(f"{name}-labels", render=False)
    if not markers:
        return
    plotter.add_point_labels(
        np.stack([mark.point for mark in markers]),
        [mark.label for mark in markers],
        name=name,
        font_size=size_px,
        text_color=palette.INK,
        shape_color=palette.GROUND,
        shape_opacity=0.75,
        show_points=False,
        always_visible=True,
        pickable=False,
        reset_camera=False,
        render=False,
    )


def actor_at(plotter: pv.Plotter, x: float, y: float) -> object:
    """What is seen at a place of a window.

    Args:
        plotter: the window's.
        x: pixels from the left.
        y: pixels from the bottom.

    Returns:
        The actor; None if nothing that can be picked is there.
    """
    from vtkmodules.vtkRenderingCore import vtkCellPicker

    picker = vtkCellPicker()
    picker.SetTolerance(0.002)
    return picker.GetActor() if picker.Pick(x, y, 0.0, plotter.renderer) else None
