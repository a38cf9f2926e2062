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
Ints = npt.NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Bodies:
    """Stadiums to pack, and the list of conditions between them. Lengths in any one unit."""

    half: Floats  # (n,) half length of the segment
    radius: Floats  # (n,)
    end_body: Ints  # (k,) body of each end point (one for a round body, two for a flat one)
    end_offset: Floats  # (k,) where on its body's axis the end point lies
    pair_end: Ints  # (m,) the end point of each condition
    pair_body: Ints  # (m,) the segment it must keep away from
    pair_need: Floats  # (m,) sum of the radii of the two
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
    return Bodies(half, radius, end_body, offset, first[wanted], second[wanted], need, flats, pairs)


@dataclass(frozen=True, eq=False)
class Gaps:
    """Every condition at one placing: the room left (negative: overlap) and the directions it depends on."""

    pair: Floats  # (m,) room between end point and other body
    pair_x: Floats  # (m,) unit vector from the other body to the end point
    pair_y: Floats  # (m,)
    pair_foot: Floats  # (m,) where on the other body's axis the nearest point lies
    wall: Floats  # (k,) how far out each end point's body reaches: |end point| + radius
    wall_x: Floats  # (k,) unit vector from the centre to the end point
    wall_y: Floats  # (k,)


def gaps_at(bodies: Bodies, centres: Floats, angles: Floats) -> Gaps:
    """Evaluate every condition.

    Args:
        bodies: the bodies.
        centres: (n, 2) centres.
        angles: (n,) angles of the axes [rad].

    Returns:
        The gaps.
    """
    if len(bodies.flat):
        cosine, sine = np.cos(angles), np.sin(angles)
        end_x = centres[bodies.end_body, 0] + bodies.end_offset * cosine[bodies.end_body]
        end_y = centres[bodies.end_body, 1] + bodies.end_offset * sine[bodies.end_body]
    else:
        end_x, end_y = centres[:, 0], centres[:, 1]
    reach = np.hypot(end_x, end_y)
    out = 1.0 / np.maximum(reach, 1e-300)
    other = bodies.pair_body
    across_x, across_y = end_x[bodies.pair_end] - centres[other, 0], end_y[bodies.pair_end] - centres[other, 1]
    foot = np.zeros(len(other))
    if len(bodies.flat):
        along = across_x * cosine[other] + across_y * sine[other]
        foot = np.minimum(np.maximum(along, -bodies.half[other]), bodies.half[other])
        across_x, across_y = across_x - foot * cosine[other], across_y - foot * sine[other]
    distance = np.hypot(across_x, across_y)
    away = 1.0 / np.maximum(distance, 1e-300)
    return Gaps(
        distance - bodies.pair_need,
        across_x * away,
        across_y * away,
        foot,
        reach + bodies.radius[bodies.end_body],
        end_x * out,
        end_y * out,
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
    i, j = bodies.flat_pairs.T
    axis = np.stack((np.cos(angles), np.sin(angles)), axis=1)
    away = centres[j] - centres[i]
    turn = axis[i, 0] * axis[j, 1] - axis[i, 1] * axis[j, 0]
    safe = np.where(np.abs(turn) > 1e-12, turn, 1.0)
    on_i = (away[:, 0] * axis[j, 1] - away[:, 1] * axis[j, 0]) / safe
    on_j = (away[:, 0] * axis[i, 1] - away[:, 1] * axis[i, 0]) / safe
    hit = (np.abs(turn) > 1e-12) & (np.abs(on_i) < bodies.half[i]) & (np.abs(on_j) < bodies.half[j])
    pairs: Ints = bodies.flat_pairs[hit]
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
