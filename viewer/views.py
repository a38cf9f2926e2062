"""The standard views, and what of a scene each one shows."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ribway.viewer.camera import Camera, Size, flat_camera, round_camera
from ribway.viewer.errors import NothingToShow
from ribway.viewer.parts import WALLS
from ribway.viewer.shapes import PartShape, Ring, Scene, Tube

Points = NDArray[np.float64]
Vector = tuple[float, float, float]

OVERVIEW = "overview"
GHOST = 0.06
HALF_SEEN = 0.5
LEAST_RING_M = 0.009


@dataclass(frozen=True)
class View:
    """A way of looking at the van.

    Args:
        title: as it stands over the picture.
        short: as it stands on a button.
        forward: which way the camera looks.
        up: which way is up in the picture.
        slab: axis (0 to 2) and side (1 or -1) of what is kept, None for all.
        share: how much of the van's size along that axis is kept.
        near: walls that stand between the camera and the inside.
    """

    title: str
    short: str
    forward: Vector
    up: Vector
    slab: tuple[int, int] | None = None
    share: float = 1.0
    near: tuple[str, ...] = ()


VIEWS: Mapping[str, View] = {
    OVERVIEW: View(
        "Overview from the rear left",
        "From rear left",
        (1.0, -0.95, -0.62),
        (0.0, 0.0, 1.0),
        near=("left", "roof", "rear"),
    ),
    "other side": View(
        "Overview from the rear right",
        "From rear right",
        (1.0, 0.95, -0.62),
        (0.0, 0.0, 1.0),
        near=("right", "roof", "rear"),
    ),
    "above": View("The van from above", "From above", (0.0, 0.0, -1.0), (0.0, 1.0, 0.0), near=("roof",)),
    "left": View("Left wall, seen from inside", "Left wall", (0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (1, 1), 0.5),
    "right": View("Right wall, seen from inside", "Right wall", (0.0, -1.0, 0.0), (0.0, 0.0, 1.0), (1, -1), 0.5),
    "roof": View("Roof, seen from above", "Roof", (0.0, 0.0, -1.0), (0.0, 1.0, 0.0), (2, 1), 0.35, near=("roof",)),
    "floor": View("Floor, seen from above", "Floor", (0.0, 0.0, -1.0), (0.0, 1.0, 0.0), (2, -1), 0.35),
    "bulkhead": View("Bulkhead, seen from inside", "Bulkhead", (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0, 1), 0.2),
    "rear": View("Rear, seen from inside", "Rear", (-1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0, -1), 0.2),
}
"""The van as a whole from three sides, and each wall from inside."""
WHOLE_VIEWS: Mapping[str, str] = {"rear-left": OVERVIEW, "rear-right": "other side", "above": "above"}
"""Views of the whole van by the word that asks for them."""


def view_named(name: str) -> View:
    """A standard view.

    Args:
        name: ``overview`` or a wall.

    Returns:
        The view.

    Raises:
        NothingToShow: if there is no such view.
    """
    if name not in VIEWS:
        raise NothingToShow(f"there is no view {name!r}; there are {', '.join(VIEWS)}")
    return VIEWS[name]


def camera_of(view: View, scene: Scene, size: Size, margin_px: tuple[float, float]) -> Camera:
    """The camera of a view: flat for a wall, with perspective for the overview.

    Args:
        view: the view.
        scene: what is to be seen, already cut.
        size: the picture's width and height in pixels.
        margin_px: what stays free at the sides, and at the top and bottom, in pixels.

    Returns:
        A camera that sees the scene's whole box.
    """
    ends = np.stack([scene.low, scene.high])
    corners = np.array([[ends[i, 0], ends[j, 1], ends[k, 2]] for i in (0, 1) for j in (0, 1) for k in (0, 1)])
    make = round_camera if view.slab is None else flat_camera
    return make(corners, np.array(view.forward), np.array(view.up), size, margin_px)


def shape_of(view: View, scene: Scene) -> float:
    """How wide a view's picture is by its height.

    Args:
        view: the view.
        scene: what is to be seen, already cut.

    Returns:
        Width by height for a wall; 1 for the overview, whose picture is about as high as wide.
    """
    if view.slab is None:
        return 1.0
    up = np.abs(np.array(view.up))
    right = np.abs(np.cross(np.array(view.forward), np.array(view.up)))
    extent = scene.high - scene.low
    return float(right @ extent) / max(float(up @ extent), 1e-6)


def seen_in(view: View, scene: Scene) -> Scene:
    """What a view shows: near walls ghosted; for a wall, all but one wall's side of the van cut away.

    Args:
        view: the view.
        scene: the whole scene.

    Returns:
        The scene to be drawn.
    """
    parts = tuple(replace(part, opacity=min(part.opacity, _most(view, part))) for part in scene.parts)
    if view.slab is None:
        return replace(scene, parts=parts)
    axis, side = view.slab
    extent = float(scene.high[axis] - scene.low[axis])
    border = scene.high[axis] - view.share * extent if side > 0 else scene.low[axis] + view.share * extent

    def inside(points: Points) -> NDArray[np.bool_]:
        kept: NDArray[np.bool_] = side * (points[..., axis] - border) >= -1e-9
        return kept

    low, high = scene.low.copy(), scene.high.copy()
    (low if side > 0 else high)[axis] = border
    return replace(
        scene,
        parts=tuple(cut for part in parts for cut in _cut_part(part, inside(part.vertices), inside(part.edges))),
        tubes=tuple(piece for tube in scene.tubes for piece in _cut_tube(tube, inside(tube.points))),
        markers=tuple(mark for mark in scene.markers if inside(mark.point)),
        rings=tuple(ring for ring in scene.rings if inside(ring.points).all()),
        patches=tuple(patch for patch in scene.patches if inside(patch.outline).all()),
        low=low,
        high=high,
    )


def without_metal(scene: Scene, walls: Collection[str]) -> Scene:
    """A scene with the metal of some walls cut away, their openings and keep-outs with it; cables and devices stay.

    Args:
        scene: the scene.
        walls: left, right, roof, floor, bulkhead, rear.

    Raises:
        NothingToShow: there is no such wall.
    """
    for one in walls:
        if one not in WALLS:
            raise NothingToShow(f"there is no wall {one!r}; there are {', '.join(WALLS)}")
    return replace(
        scene,
        parts=tuple(part for part in scene.parts if part.wall not in walls),
        rings=tuple(ring for ring in scene.rings if ring.wall not in walls),
        patches=tuple(patch for patch in scene.patches if patch.wall not in walls),
    )


def facing(view: View, wall: str, scene: Scene) -> tuple[Ring, ...]:
    """A wall's openings as rings that face the camera, since from inside their own rims are seen edge on.

    Args:
        view: the view of that wall.
        wall: its name.
        scene: everything there is.

    Returns:
        One round ring for each opening of the wall, as large as its rim is long, with its colour.
    """
    right = np.cross(np.array(view.forward), np.array(view.up))
    angle = np.arange(24)[:, None] * np.pi / 12.0
    turn = np.cos(angle) * right + np.sin(angle) * np.array(view.up)
    made = []
    for ring in scene.rings:
        if ring.wall == wall:
            middle = ring.points.mean(axis=0)
            radius = max(float(np.linalg.norm(ring.points - middle, axis=1).max()), LEAST_RING_M)
            made.append(replace(ring, points=middle + radius * turn))
    return tuple(made)


def _most(view: View, part: PartShape) -> float:
    """How solid a part may be in a view: near skins hardly, and members of a wall so that cables show inside them."""
    if part.wall in view.near and part.kind in ("skin", "panel"):
        return GHOST
    return 1.0 if view.slab is None else HALF_SEEN


def _cut_part(part: PartShape, inside: NDArray[np.bool_], edges_inside: NDArray[np.bool_]) -> tuple[PartShape, ...]:
    """The triangles of a part that reach into what is kept."""
    faces = part.faces[inside[part.faces].any(axis=1)]
    return (replace(part, faces=faces, edges=part.edges[edges_inside.any(axis=1)]),) if len(faces) else ()


def _cut_tube(tube: Tube, inside: NDArray[np.bool_]) -> tuple[Tube, ...]:
    """The pieces of a tube that lie in what is kept."""
    steps = np.flatnonzero(np.diff(inside.astype(np.int8))) + 1
    thin = np.split(tube.thin, steps) if len(tube.thin) else [tube.thin] * (len(steps) + 1)
    pieces = zip(np.split(tube.points, steps), np.split(inside, steps), thin, strict=True)
    return tuple(
        replace(tube, points=points, thin=side) for points, kept, side in pieces if kept.all() and len(points) >= 2
    )
