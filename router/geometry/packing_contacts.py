"""Gaps between outlines lying in a circle, and how they change when an outline moves or turns.

An outline is a stadium: all points within its radius of a segment of given half length, which is 0 for a round cable.
Two stadiums do not overlap when their segments are at least the sum of the radii apart. As long as two segments do not
cross, that is the least of the distances from each end point to the other segment, so every condition here is one
point kept away from one segment, or one point kept inside the circle.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Complexes = npt.NDArray[np.complex128]  # a point or direction of the plane as one number: half the array calls
Ints = npt.NDArray[np.intp]
ALL = slice(None)


@dataclass(frozen=True, eq=False)
class Bodies:
    """Stadiums to pack, and the list of conditions between them. Lengths in any one unit."""

    half: Floats  # (n,) half length of the segment
    radius: Floats  # (n,)
    end_body: Ints  # (k,) body of each end point (one for a round body, two for a flat one)
    end_offset: Floats  # (k,) where on its body's axis the end point lies
    end_radius: Floats  # (k,)
    pair_end: Ints  # (m,) the end point of each condition
    pair_body: Ints  # (m,) the segment it must keep away from
    pair_need: Floats  # (m,) sum of the radii of the two
    pair_half: Floats  # (m,) half length of the segment
    pair_own: Ints  # (m,) the body that the end point is of
    pair_reach: Floats  # (m,) centres farther apart than this cannot overlap
    flat: Ints  # the flat bodies
    flat_pairs: Ints  # (f, 2) pairs of flat bodies, whose segments could cross

    @property
    def count(self) -> int:
        """Number of bodies."""
        return len(self.half)


def bodies_of(half: Floats, radius: Floats) -> Bodies:
    """List the end points and the conditions of some stadiums.

    Args:
        half: (n,) half lengths of the segments, 0 for a round body.
        radius: (n,) radii.

    Returns:
        The bodies.
    """
    ends = [(body, sign * h) for body, h in enumerate(half.tolist()) for sign in ((1.0, -1.0) if h > 0.0 else (0.0,))]
    end_body = np.array([body for body, _ in ends], dtype=np.intp)
    flat = half > 0.0
    first, second = np.nonzero(end_body[:, None] != np.arange(len(half))[None, :])
    # Two round bodies need one condition, not two; a flat body's ends cannot be nearer to a round one than its segment.
    both_round = ~flat[end_body[first]] & ~flat[second]
    wanted = np.where(both_round, end_body[first] < second, flat[second])
    flats = np.flatnonzero(flat)
    one, two = np.triu_indices(len(flats), 1)
    pairs = np.stack((flats[one], flats[two]), axis=1)
    offset = np.array([at for _, at in ends])
    need = radius[end_body[first[wanted]]] + radius[second[wanted]]
    return Bodies(
        half,
        radius,
        end_body,
        offset,
        radius[end_body],
        first[wanted],
        second[wanted],
        need,
        half[second[wanted]],
        end_body[first[wanted]],
        need + half[second[wanted]] + half[end_body[first[wanted]]],
        flats,
        pairs,
    )


@dataclass(frozen=True, eq=False)
class Gaps:
    """Every condition at one placing: the room left (negative: overlap) and the directions it depends on."""

    pair: Floats  # (m,) room between end point and other body
    pair_away: Complexes  # (m,) unit vector from the other body to the end point
    pair_foot: Floats  # (m,) where on the other body's axis the nearest point lies
    wall: Floats  # (k,) how far out each end point's body reaches: |end point| + radius
    wall_away: Complexes  # (k,) unit vector from the centre to the end point


def near_pairs(bodies: Bodies, centres: Floats) -> Ints:
    """Conditions of bodies whose centres are near enough for an overlap, by their place in the list.

    Args:
        bodies: the bodies.
        centres: (n, 2) centres.
    """
    centre = centres[:, 0] + 1j * centres[:, 1]
    near: Ints = (np.abs(centre[bodies.pair_own] - centre[bodies.pair_body]) < bodies.pair_reach).nonzero()[0]
    return near


def gaps_at(bodies: Bodies, centres: Floats, angles: Floats, pairs: Ints | slice = ALL) -> Gaps:
    """Evaluate the conditions.

    Args:
        bodies: the bodies.
        centres: (n, 2) centres.
        angles: (n,) angles of the axes [rad].
        pairs: which conditions between bodies, by their place in the list; all if not said.

    Returns:
        The gaps; those between bodies of these conditions.
    """
    centre = centres[:, 0] + 1j * centres[:, 1]
    other = bodies.pair_body[pairs]
    if len(bodies.flat):
        axis = np.cos(angles) + 1j * np.sin(angles)
        end = centre[bodies.end_body] + bodies.end_offset * axis[bodies.end_body]
        across, beside, half = end[bodies.pair_end[pairs]] - centre[other], axis[other], bodies.pair_half[pairs]
        foot = np.minimum(np.maximum((across * beside.conj()).real, -half), half)
        across = across - foot * beside
    else:
        end = centre
        across, foot = end[bodies.pair_end[pairs]] - centre[other], np.zeros(len(other))
    reach, distance = np.abs(end), np.abs(across)
    return Gaps(
        distance - bodies.pair_need[pairs],
        across / np.maximum(distance, 1e-300),
        foot,
        reach + bodies.end_radius,
        end / np.maximum(reach, 1e-300),
    )


def crossing(bodies: Bodies, centres: Floats, angles: Floats) -> Ints:
    """Pairs of flat bodies whose segments cross.

    Args:
        bodies: the bodies.
        centres: (n, 2) centres.
        angles: (n,) angles of the axes [rad].

    Returns:
        (c, 2) pairs.
    """
    if not len(bodies.flat_pairs):
        return bodies.flat_pairs
    centre = centres[:, 0] + 1j * centres[:, 1]
    i, j = bodies.flat_pairs.T
    near = np.abs(centre[j] - centre[i]) < bodies.half[i] + bodies.half[j]
    if not near.any():
        return bodies.flat_pairs[:0]
    i, j = i[near], j[near]
    axis = np.cos(angles) + 1j * np.sin(angles)
    away, axis_i, axis_j = (centre[j] - centre[i]).conj(), axis[i], axis[j]
    turn = np.abs((axis_i.conj() * axis_j).imag)
    on_i, on_j = np.abs((away * axis_j).imag), np.abs((away * axis_i).imag)
    hit = (turn > 1e-12) & (on_i < bodies.half[i] * turn) & (on_j < bodies.half[j] * turn)
    pairs: Ints = bodies.flat_pairs[near][hit]
    return pairs


def made_feasible(bodies: Bodies, centres: Floats, angles: Floats) -> tuple[Floats, float] | None:
    """Spread the centres until nothing overlaps, and measure the circle that then holds everything.

    Spreading by a factor s makes every distance between segments at least s times as long (the spread segments are
    no longer than the scaled ones), so the worst quotient of needed and found distance is enough.

    Args:
        bodies: the bodies.
        centres: (n, 2) centres.
        angles: (n,) angles of the axes [rad].

    Returns:
        (n, 2) centres and the radius of the circle round the origin, or None when two segments cross or touch.
    """
    if len(crossing(bodies, centres, angles)):
        return None
    factor = 1.0
    for _ in range(3):  # a second pass takes up what rounding left of the first
        gaps = gaps_at(bodies, factor * centres, angles)
        if not len(gaps.pair):
            break
        found = gaps.pair + bodies.pair_need
        if float(found.min()) <= 0.0:
            return None
        worst = float((bodies.pair_need / found).max())
        if worst <= 1.0:
            break
        factor *= worst * (1.0 + 1e-15)
    spread = factor * centres
    return spread, float(gaps_at(bodies, spread, angles).wall.max())
