"""Puts the marks of a draft's openings into a pyvista plotter, in place of those drawn before."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ribway.viewer import palette
from ribway.viewer.draft.marks import MarkShape
from ribway.viewer.draw import surface_of
from ribway.viewer.draw_live import CHOSEN, TO_FRONT
from ribway.viewer.sweep import joined, tube

if TYPE_CHECKING:
    import pyvista as pv

Points = NDArray[np.float64]

SIDES = 6
CHOSEN_WIDER_M = 0.0035


def add_strokes(plotter: pv.Plotter, marks: Sequence[MarkShape]) -> tuple[str, ...]:
    """Adds rims in the metal.

    Args:
        plotter: where to.
        marks: the openings.

    Returns:
        Names of the actors.
    """
    groups: dict[tuple[str, float], list[tuple[Points, NDArray[np.int32]]]] = defaultdict(list)
    for mark in marks:
        for stroke in mark.strokes:
            groups[mark.colour, mark.radius_m].append(tube(stroke, mark.radius_m, SIDES))
    names = []
    for (colour, radius), meshes in groups.items():
        names.append(f"strokes {colour} {radius}")
        plotter.add_mesh(
            surface_of(*joined(meshes)), color=colour, lighting=False, pickable=False, reset_camera=False,
            name=names[-1], render=False,
        )  # fmt: skip
    return tuple(names)


def add_dots(plotter: pv.Plotter, marks: Sequence[MarkShape]) -> tuple[str, ...]:
    """Adds dots that face the eye, before all metal; wide ones first, small ones on them.

    Args:
        plotter: where to.
        marks: the openings.

    Returns:
        Names of the actors.
    """
    groups: dict[tuple[float, str], list[Points]] = defaultdict(list)
    for mark in marks:
        for dot in mark.dots_px:
            groups[dot].append(mark.middle)
    names = []
    for level, ((width, colour), points) in enumerate(sorted(groups.items(), key=lambda item: -item[0][0])):
        names.append(f"dots {colour} {width}")
        actor = plotter.add_points(
            np.stack(points), color=colour, point_size=width, render_points_as_spheres=True, lighting=False,
            pickable=False, reset_camera=False, name=names[-1], render=False,
        )  # fmt: skip
        actor.mapper.SetResolveCoincidentTopologyToPolygonOffset()
        actor.mapper.SetRelativeCoincidentTopologyPointOffsetParameter(TO_FRONT - 10.0 * level)
    return tuple(names)


def name_marks(plotter: pv.Plotter, marks: Sequence[MarkShape], size_px: int) -> None:
    """Writes names right of their dots; those for which there is no room come when one goes nearer.

    Args:
        plotter: where to.
        marks: the openings.
        size_px: size of the type.
    """
    plotter.renderer.remove_actor("names-labels", render=False)
    if marks:
        plotter.add_point_labels(
            np.stack([one.middle for one in marks]), [f"   {one.name}" for one in marks], name="names",
            font_size=size_px, text_color=palette.INK, shape=None, show_points=False, always_visible=True,
            pickable=False, reset_camera=False, render=False,
        )  # fmt: skip


def mark_chosen(plotter: pv.Plotter, mark: MarkShape | None) -> None:
    """Draws a dark ring round the picked opening, before everything else.

    Args:
        plotter: where to.
        mark: the opening with a whole ring; None if none is picked.
    """
    plotter.renderer.remove_actor("chosen", render=False)
    if mark is None:
        return
    surface = surface_of(*tube(mark.strokes[0], mark.radius_m + CHOSEN_WIDER_M, SIDES))
    actor = plotter.add_mesh(
        surface, color=CHOSEN, name="chosen", opacity=0.55, pickable=False, reset_camera=False, render=False
    )
    actor.mapper.SetResolveCoincidentTopologyToPolygonOffset()
    actor.mapper.SetRelativeCoincidentTopologyPolygonOffsetParameters(0.0, TO_FRONT)
