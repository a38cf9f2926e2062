"""Corners rounded by arcs: the curve a cable really takes round the corners of its polyline.

An arc of radius r in a corner of angle t (the change of direction) needs r tan(t/2) of straight on both sides and is
r t long, so that a rounded corner is shorter than the sharp one by 2 r tan(t/2) - r t.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from ribway.router.geometry.polylines import Floats, as_points, drop_repeats, leg_lengths, turn_angles

SHARP_BELOW_RAD = math.radians(2.0)  # a turn this small is bending along the way, not a corner
U_TURN_FROM_RAD = math.radians(179.9)  # above this an arc needs endless straight: the corner stays sharp and is tight
CHORD_ERROR_M = 0.0005
WIDEST_STEP_RAD = math.radians(15.0)  # so that a small arc does not look like a polygon
_RADIUS_TOL_M = 1e-9


@dataclass(frozen=True)
class Corner:
    """One corner of the sharp polyline and the arc that rounds it."""

    point: tuple[float, float, float]  # [m]
    angle_rad: float  # change of direction
    radius_m: float  # 0: left sharp
    setback_m: float  # straight taken on either side of the corner
    tight: bool  # the radius is below the least radius


@dataclass(frozen=True, eq=False)
class RoundedLine:
    """A polyline with its corners rounded.

    The drawn points of an arc lie just outside it and their chords just inside, placed so that the drawn line is as
    long as the curve: `polylines.length(points)` equals `length_m` to rounding error, and no drawn point or chord
    is more than 0.5 mm off the curve.
    """

    points: Floats  # (n, 3) [m], the curve for drawing
    length_m: float  # of the curve: straights and arcs
    sharp_m: float  # of the polyline before rounding
    corners: tuple[Corner, ...]  # every corner of 2 degrees and more, in order

    @property
    def tight(self) -> tuple[Corner, ...]:
        """Corners whose radius fell below the least radius."""
        return tuple(corner for corner in self.corners if corner.tight)


def fitted_radii(legs: npt.ArrayLike, angles: npt.ArrayLike, radius_m: float) -> Floats:
    """Largest fair radii of all corners such that no two arcs overlap on a leg.

    All radii grow together; when a leg is used up the corners at its ends stop, the others grow on, up to the wanted
    radius (max-min fair: no radius could be larger without making a smaller or equal one smaller still).

    Args:
        legs: (n + 1,) leg lengths [m].
        angles: (n,) changes of direction [rad] at the n corners between them.
        radius_m: wanted radius [m].

    Returns:
        (n,) radii [m], 0 for a turn too small to round and for a U-turn.
    """
    turn = np.asarray(angles, dtype=np.float64)
    room = np.asarray(legs, dtype=np.float64)
    growing = (turn >= SHARP_BELOW_RAD) & (turn < U_TURN_FROM_RAD)
    need = np.where(growing, np.tan(np.where(growing, turn, 0.0) / 2.0), 0.0)
    radii = np.zeros(len(turn))
    while growing.any():
        taken = need * radii
        used = np.concatenate((taken, [0.0])) + np.concatenate(([0.0], taken))
        pull = np.where(growing, need, 0.0)
        rate = np.concatenate((pull, [0.0])) + np.concatenate(([0.0], pull))
        free = np.maximum(room - used, 0.0)
        steps = np.where(rate > 0.0, free / np.where(rate > 0.0, rate, 1.0), np.inf)
        step = min(float(steps.min()), radius_m - float(radii[growing].max()))
        radii = np.where(growing, radii + step, radii)
        full = steps <= step * (1.0 + 1e-12)
        growing &= ~(full[:-1] | full[1:]) & (radii < radius_m * (1.0 - 1e-15))
    return np.minimum(radii, radius_m)


def _arc_share(pieces: int, angle: float) -> float:
    """Distance of the drawn points from the arc's centre, as a multiple of the radius.

    The drawn arc runs tangent point, `pieces` points at half steps, tangent point. Newton's method from the inscribed
    polygon (too short) towards the circumscribed one (too long) finds the one that is exactly as long as the arc.
    """
    half = angle / pieces / 2.0
    cosine, sine = math.cos(half), math.sin(half)
    rho = 1.0
    for _ in range(20):
        end = math.sqrt(1.0 + rho * rho - 2.0 * rho * cosine)
        error = 2.0 * end + 2.0 * (pieces - 1) * rho * sine - angle
        slope = 2.0 * (rho - cosine) / end + 2.0 * (pieces - 1) * sine
        rho -= error / slope
        if abs(error) < 1e-15 * angle:
            break
    return rho


def _arc_points(corner: Floats, back: Floats, on: Floats, angle: float, radius: float) -> Floats:
    """Drawn points of one arc: both tangent points and the points between, `(k, 3)` [m]."""
    setback = radius * math.tan(angle / 2.0)
    start, end = corner - setback * back, corner + setback * on
    by_chord = 2.0 * math.acos(max(1.0 - CHORD_ERROR_M / radius, math.cos(WIDEST_STEP_RAD / 2.0)))
    pieces = max(1, math.ceil(angle / by_chord))
    inward = on - back * math.cos(angle)
    inward = inward / np.linalg.norm(inward)
    centre = start + radius * inward
    at = (np.arange(pieces) + 0.5) * (angle / pieces)
    reach = radius * _arc_share(pieces, angle)
    inner = centre + reach * (np.sin(at)[:, None] * back - np.cos(at)[:, None] * inward)
    return np.concatenate((start[None], inner, end[None]))


def rounded(points: npt.ArrayLike, radius_m: float, least_radius_m: float = 0.0) -> RoundedLine:
    """Round the corners of a polyline.

    Args:
        points: (n, 3) points [m].
        radius_m: wanted radius of every corner [m]; it shrinks where the legs are too short (see `fitted_radii`).
        least_radius_m: least radius the cable bears [m]; corners below it are marked tight.

    Returns:
        The rounded line; its length is never above that of the polyline and never below the straight distance.

    Raises:
        ValueError: a radius is negative or not finite, or points is not (n, 3).
    """
    for name, value in (("radius_m", radius_m), ("least_radius_m", least_radius_m)):
        if not (math.isfinite(value) and value >= 0.0):
            raise ValueError(f"{name}: {value} found, a finite length of 0 or more is needed")
    line = drop_repeats(as_points(points))
    legs, angles = leg_lengths(line), turn_angles(line)
    sharp = float(legs.sum())
    radii = fitted_radii(legs, angles, radius_m) if len(angles) else np.zeros(0)
    units = np.diff(line, axis=0) / legs[:, None] if len(legs) else np.zeros((0, 3))
    drawn, corners, saved = [line[:1]], [], 0.0
    for index, (angle, radius) in enumerate(zip(angles.tolist(), radii.tolist(), strict=True)):
        corner = line[index + 1]
        setback = radius * math.tan(angle / 2.0) if radius > 0.0 else 0.0
        if radius > _RADIUS_TOL_M:
            drawn.append(_arc_points(corner, units[index], units[index + 1], angle, radius))
            saved += 2.0 * setback - radius * angle
        else:
            radius, setback = 0.0, 0.0
            drawn.append(corner[None])
        if angle >= SHARP_BELOW_RAD:
            x, y, z = corner.tolist()
            corners.append(Corner((x, y, z), angle, radius, setback, radius < least_radius_m - _RADIUS_TOL_M))
    if len(line) > 1:
        drawn.append(line[-1:])
    return RoundedLine(drop_repeats(np.concatenate(drawn)), sharp - saved, sharp, tuple(corners))


def bends(points: npt.ArrayLike, above_deg: float = 15.0) -> tuple[int, float]:
    """Count the bends of a sharp polyline.

    Args:
        points: (n, 3) points [m] of the sharp polyline (a rounded one has its bends cut into many small turns).
        above_deg: a change of direction above this is a bend [deg].

    Returns:
        Number of bends, and the sum of their angles [deg].
    """
    angles = np.degrees(turn_angles(drop_repeats(points)))
    counted = angles[angles > above_deg]
    return len(counted), float(counted.sum())
