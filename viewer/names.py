"""Which names a picture carries, and the point each one is tied to."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from ribway.viewer.camera import Camera, Size
from ribway.viewer.shapes import Marker, Scene
from ribway.viewer.views import VIEWS

Points = NDArray[np.float64]

IDS_ON_A_LINE = 3
CLEAR_PX = 36.0
NEAR_WALL_M = 0.3


@dataclass(frozen=True)
class Name:
    """A name to be put on a picture.

    Args:
        text: one or more lines.
        what: device, loom, runs, opening, breakout of a loom, or a place that is marked.
        spot: the point it is tied to, in pixels.
        colour: of its loom or ring, ``#rrggbb``; empty for a device.
        rank: lower ones choose their place first.
        used: false for an opening that nothing goes through.
    """

    text: str
    what: Literal["device", "loom", "runs", "opening", "breakout", "place"]
    spot: tuple[float, float]
    colour: str = ""
    rank: int = 0
    used: bool = True


def telling_spot(own: Points, others: Points, size: Size) -> tuple[float, float] | None:
    """The point of some curves that is least easily taken for a point of others.

    Args:
        own: ``(n, 2)`` points of the curves meant, in pixels.
        others: ``(m, 2)`` points of all other curves, in pixels.
        size: the picture's width and height in pixels.

    Returns:
        A point that is clear of the others if there is one, as near the middle of the curves as it can be; None if none
        of the points lies in the picture.
    """
    own = own[(own >= 0).all(axis=1) & (own[:, 0] < size[0]) & (own[:, 1] < size[1])]
    if len(own) == 0:
        return None
    own = own[:: max(1, len(own) // 80)]
    clear = np.full(len(own), CLEAR_PX)
    # What lies farther off than a clear spot needs tells nothing.
    low, high = own.min(axis=0) - CLEAR_PX, own.max(axis=0) + CLEAR_PX
    others = others[((others >= low) & (others <= high)).all(axis=1)]
    if len(others):
        off = (own[:, :1] - others[:, 0]) ** 2 + (own[:, 1:] - others[:, 1]) ** 2
        clear = np.minimum(clear, np.sqrt(off.min(axis=1)))
    far = np.abs(np.arange(len(own)) - (len(own) - 1) / 2.0)
    best = int(np.argmin(-np.round(clear) * 1e4 + far))
    return float(own[best, 0]), float(own[best, 1])


def wrapped(names: Sequence[str], on_a_line: int = IDS_ON_A_LINE) -> str:
    """Names in lines.

    Args:
        names: in the order wanted.
        on_a_line: how many stand on one line.

    Returns:
        The names parted by commas, in as many lines as they need.
    """
    lines = [", ".join(names[i : i + on_a_line]) for i in range(0, len(names), on_a_line)]
    return ",\n".join(lines)


def _tied_to_tubes(
    groups: dict[tuple[str, ...], list[Points]], camera: Camera, size: Size
) -> dict[tuple[str, ...], tuple[float, float]]:
    """A telling spot for each group of curves."""
    flat = {key: camera.pixels(np.concatenate(curves), size) for key, curves in groups.items()}
    spots = {}
    for key, own in flat.items():
        others = [points for other, points in flat.items() if other != key]
        spot = telling_spot(own, np.concatenate(others) if others else np.empty((0, 2)), size)
        if spot is not None:
            spots[key] = spot
    return spots


def by_run(scene: Scene, camera: Camera, size: Size) -> list[Name]:
    """Every run's name, tied to where it lies apart from the others.

    Args:
        scene: what is shown.
        camera: from where.
        size: the picture's width and height in pixels.

    Returns:
        The names.
    """
    spots = _tied_to_tubes({(tube.run, tube.colour): [tube.points] for tube in scene.tubes}, camera, size)
    return [Name(key[0], "runs", spot, colour=key[1], rank=2) for key, spot in spots.items()]


def device_names(markers: Sequence[Marker], camera: Camera, size: Size) -> list[Name]:
    """The names of devices.

    Args:
        markers: the devices.
        camera: from where.
        size: the picture's width and height in pixels.

    Returns:
        The names.
    """
    if not markers:
        return []
    spots = camera.pixels(np.stack([mark.point for mark in markers]), size)
    return [
        Name(mark.label, "device", (float(x), float(y)), rank=1) for mark, (x, y) in zip(markers, spots, strict=True)
    ]


def overview_names(scene: Scene, camera: Camera, size: Size) -> list[Name]:
    """Names for a picture of the whole van: looms and devices.

    Args:
        scene: what is shown.
        camera: from where.
        size: the picture's width and height in pixels.

    Returns:
        The names.
    """
    groups: dict[tuple[str, ...], list[Points]] = defaultdict(list)
    for tube in scene.tubes:
        if tube.loom:
            groups[(tube.loom, tube.colour)].append(tube.points)
    spots = _tied_to_tubes(groups, camera, size)
    looms = [Name(key[0], "loom", spot, colour=key[1]) for key, spot in spots.items()]
    return looms + device_names(scene.markers, camera, size)


def wall_names(scene: Scene, wall: str, camera: Camera, size: Size) -> list[Name]:
    """Names for a picture of one wall: its openings, the runs that take the same way along it, its devices.

    Args:
        scene: what is shown, already cut.
        wall: which wall.
        camera: from where.
        size: the picture's width and height in pixels.

    Returns:
        The names.
    """
    names: list[Name] = []
    rings = [ring for ring in scene.rings if ring.wall == wall]
    for ring in rings:
        x, y = camera.pixels(ring.points, size).mean(axis=0)
        rank = 0 if ring.runs else 3
        names.append(Name(ring.opening, "opening", (float(x), float(y)), ring.colour, rank, ring.runs > 0))
    here = {ring.opening for ring in rings}
    groups: dict[tuple[str, ...], list[Points]] = defaultdict(list)
    runs: dict[tuple[str, ...], list[str]] = defaultdict(list)
    for tube in scene.tubes:
        points = tube.points[near_wall(wall, scene, tube.points)]
        if len(points):
            key = (tube.loom, tube.colour, *(name for name in tube.openings if name in here))
            groups[key].append(points)
            runs[key].append(tube.run)
    for key, spot in _tied_to_tubes(groups, camera, size).items():
        names.append(Name(wrapped(list(dict.fromkeys(runs[key]))), "runs", spot, colour=key[1], rank=2))
    marks = [m for m in scene.markers if m.wall == wall or (m.wall not in VIEWS and near_wall(wall, scene, m.point))]
    return names + device_names(marks, camera, size)


def near_wall(wall: str, scene: Scene, points: Points) -> NDArray[np.bool_]:
    """Which points lie near a wall rather than in the middle of the van or on the next wall.

    Args:
        wall: which wall.
        scene: the whole scene, or one that is cut at the middle.
        points: ``(..., 3)`` places [m].

    Returns:
        ``(...)`` true for those that are near.
    """
    slab = VIEWS[wall].slab
    if slab is None:
        return np.ones(points.shape[:-1], dtype=np.bool_)
    axis, side = slab
    gap = scene.high[axis] - points[..., axis] if side > 0 else points[..., axis] - scene.low[axis]
    near: NDArray[np.bool_] = np.asarray(gap < NEAR_WALL_M)
    return near
