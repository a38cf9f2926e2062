"""Round cables side by side inside a convex region: one place each, the same every time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

Pairs = NDArray[np.float64]
Values = NDArray[np.float64]

DIRECTIONS = 24
SIDES_TRIED = 12
SHRINK = 0.85
SMALLEST_SPREAD = 0.05


@dataclass(frozen=True, eq=False)
class Region:
    """What lies behind straight edges: every point p with ``normals`` · p <= ``reach``.

    Args:
        normals: ``(k, 2)`` unit vectors pointing out.
        reach: ``(k,)`` distance of each edge from the origin [m].
    """

    normals: Pairs
    reach: Values

    def room(self, points: Pairs) -> Values:
        """How far each point lies inside.

        Args:
            points: ``(n, 2)`` places [m].

        Returns:
            ``(n,)`` distance to the nearest edge, negative outside [m].
        """
        room: Values = (self.reach - points @ self.normals.T).min(axis=1)
        return room

    def shared_with(self, other: Region) -> Region:
        """What lies in both regions.

        Args:
            other: the other region, about the same origin.

        Returns:
            The region behind the edges of both.
        """
        return Region(np.concatenate([self.normals, other.normals]), np.concatenate([self.reach, other.reach]))


def stadium(radius_m: float, half_straight_m: float, direction: Pairs, sides: int = 48) -> Region:
    """A polygon inside a slot with round ends, about its centre; inside a circle if it has no straight part.

    Args:
        radius_m: half the slot's width, or the circle's radius [m].
        half_straight_m: half the distance between the centres of the round ends [m].
        direction: ``(2,)`` unit vector along the slot.
        sides: corners of the polygon; a multiple of 4.

    Returns:
        The region; no point of it lies outside the slot.
    """
    angle = np.arange(sides) * 2.0 * np.pi / sides
    normals = np.stack([np.cos(angle), np.sin(angle)], axis=1)
    reach = radius_m * np.cos(np.pi / sides) + half_straight_m * np.abs(normals[:, 0])
    turn = np.array([[direction[0], direction[1]], [-direction[1], direction[0]]])
    return Region(normals @ turn, reach)


def rectangle(half_width_m: float, half_height_m: float) -> Region:
    """A rectangle about the origin.

    Args:
        half_width_m: half its size along the first axis [m].
        half_height_m: half its size along the second axis [m].

    Returns:
        The region.
    """
    normals = np.array([[1.0, 0.0], [-1.0, 0.0], [0.0, 1.0], [0.0, -1.0]])
    return Region(normals, np.array([half_width_m, half_width_m, half_height_m, half_height_m]))


def _tangent_to_two(placed: Pairs, radii: Values, radius: float) -> Pairs:
    """Centres of a disc that touches two placed discs."""
    first, second = np.triu_indices(len(placed), 1)
    if len(first) == 0:
        return np.empty((0, 2))
    between = placed[second] - placed[first]
    gap = np.maximum(np.linalg.norm(between, axis=1), 1e-12)
    near, far = radii[first] + radius, radii[second] + radius
    shift = (near**2 - far**2 + gap**2) / (2.0 * gap)
    square = near**2 - shift**2
    good = square >= 0.0
    unit = (between / gap[:, None])[good]
    middle = placed[first][good] + shift[good, None] * unit
    side = np.sqrt(square[good])[:, None] * np.stack([-unit[:, 1], unit[:, 0]], axis=1)
    return np.concatenate([middle + side, middle - side])


def _tangent_to_one(placed: Pairs, radii: Values, radius: float) -> Pairs:
    """Centres of a disc that touches one placed disc, in a few directions."""
    angle = np.arange(DIRECTIONS) * 2.0 * np.pi / DIRECTIONS
    ring = np.stack([np.cos(angle), np.sin(angle)], axis=1)
    around: Pairs = placed[:, None, :] + (radii + radius)[:, None, None] * ring[None]
    return around.reshape(-1, 2)


def _pushed_aside(margin: float, region: Region) -> Pairs:
    """Places for a first disc that touch the region's edge, in a few directions."""
    angle = np.arange(SIDES_TRIED) * 2.0 * np.pi / SIDES_TRIED
    ways = np.stack([np.cos(angle), np.sin(angle)], axis=1)
    lean = ways @ region.normals.T
    out = np.where(lean > 1e-9, (region.reach - margin) / np.maximum(lean, 1e-9), np.inf).min(axis=1)
    places: Pairs = ways * np.maximum(out, 0.0)[:, None]
    return places


def pack_at(
    radii: Sequence[float], margins: Sequence[float], region: Region, first: Pairs | None = None
) -> Pairs | None:
    """Places discs one after the other, each as near to the origin as it goes.

    Args:
        radii: radius of each disc, in the order of placing [m].
        margins: least distance of each centre from the region's edges [m].
        region: where they may lie.
        first: ``(2,)`` where the first one lies; the origin if None [m].

    Returns:
        ``(n, 2)`` centres [m] that neither overlap nor come too near an edge, or None if this way of placing fails.
    """
    start = np.zeros((1, 2)) if first is None else first[None]
    placed, done = np.empty((0, 2)), np.empty(0)
    for radius, margin in zip(radii, margins, strict=True):
        tries = np.concatenate([start, _tangent_to_two(placed, done, radius), _tangent_to_one(placed, done, radius)])
        good = region.room(tries) >= margin
        if len(placed):
            gap = np.linalg.norm(tries[:, None] - placed[None], axis=2) - done[None] - radius
            good &= gap.min(axis=1) > -1e-9
        if not good.any():
            return None
        tries = tries[good]
        out = np.round(np.linalg.norm(tries, axis=1), 7)
        place = tries[int(np.argmin(out))]
        placed, done = np.concatenate([placed, place[None]]), np.append(done, radius)
    return placed


def pack(radii: Sequence[float], region: Region, spread: float = 1.0) -> tuple[Pairs, float]:
    """Places cables side by side, spread out as far as asked for and as there is room.

    No centre ever comes nearer to an edge than its own true radius, as long as the cable fits at all.

    Args:
        radii: true radius of each cable [m].
        region: where they may lie.
        spread: how many times thicker than true they are to be laid out.

    Returns:
        ``(n, 2)`` centres [m] in the order given, and the spread reached: 1 or more means that nothing overlaps.
    """
    places, reached = _packed(tuple(radii), region.normals.tobytes(), region.reach.tobytes(), spread)
    return places.copy(), reached


@lru_cache(maxsize=1024)
def _packed(radii: tuple[float, ...], normals: bytes, reach: bytes, spread: float) -> tuple[Pairs, float]:
    """Places of cables: kept, since of a plan that is made again most openings hold what they held."""
    region = Region(np.frombuffer(normals).reshape(-1, 2), np.frombuffer(reach))
    order = sorted(range(len(radii)), key=lambda i: -radii[i])
    spread_now = spread
    while spread_now > SMALLEST_SPREAD:
        drawn = [radii[i] * spread_now for i in order]
        margins = [radii[i] * max(1.0, spread_now) for i in order]
        places = pack_at(drawn, margins, region)
        if places is None and spread_now <= 1.0 and len(order) > 1:
            tries = (pack_at(drawn, margins, region, first) for first in _pushed_aside(margins[0], region))
            places = next((one for one in tries if one is not None), None)
        if places is not None:
            centres = np.empty_like(places)
            centres[order] = places
            return centres, spread_now
        spread_now = 1.0 if 1.0 < spread_now < 1.0 / SHRINK else spread_now * SHRINK
    return np.zeros((len(radii), 2)), 0.0
