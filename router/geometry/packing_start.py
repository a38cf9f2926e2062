"""First placings of outlines in a circle: one built piece by piece, closed forms for three, and scattered ones."""

from __future__ import annotations

import math

import numpy as np

from ribway.router.geometry.packing_bounds import two_or_three_radius
from ribway.router.geometry.packing_contacts import Floats

_A_FEW = 128


def three_circles(radii: tuple[float, float, float]) -> Floats:
    """Centres of three circles in the least circle round them, which has its centre at the origin.

    Args:
        radii: the radii, largest first.

    Returns:
        (3, 2) centres.
    """
    r1, r2, r3 = radii
    outer = two_or_three_radius(r1, r2, r3)
    x3 = ((r1 + r3) ** 2 - (r2 + r3) ** 2 + (r1 + r2) ** 2) / (2.0 * (r1 + r2))
    y3 = math.sqrt(max((r1 + r3) ** 2 - x3 * x3, 0.0))
    centres = np.array([[0.0, 0.0], [r1 + r2, 0.0], [x3, y3]])
    if outer <= r1 + r2:
        return centres - [outer - r1, 0.0]
    # |middle - centre i| = outer - r_i: the differences of the squared equations are linear in the middle.
    rows = 2.0 * (centres[1:] - centres[0])
    held = (outer - np.array(radii)) ** 2
    middle = np.linalg.solve(rows, (centres[1:] ** 2).sum(axis=1) - held[1:] + held[0])
    return centres - middle


def _circle_circle(centres: Floats, radii: Floats) -> Floats:
    """Both meeting points of every two circles, `(k, 2)`."""
    i, j = np.triu_indices(len(radii), 1)
    away = centres[j] - centres[i]
    far = np.hypot(away[:, 0], away[:, 1])
    meet = (far < radii[i] + radii[j]) & (far > np.abs(radii[i] - radii[j])) & (far > 1e-12)
    i, j, away, far = i[meet], j[meet], away[meet], far[meet]
    along = (far * far + radii[i] ** 2 - radii[j] ** 2) / (2.0 * far)
    aside = np.sqrt(np.maximum(radii[i] ** 2 - along * along, 0.0))
    unit = away / far[:, None]
    side = np.stack((-unit[:, 1], unit[:, 0]), axis=1)
    foot = centres[i] + along[:, None] * unit
    return np.concatenate((foot + aside[:, None] * side, foot - aside[:, None] * side))


def _line_circle(heights: Floats, centres: Floats, radii: Floats) -> Floats:
    """Both meeting points of every horizontal line with every circle, `(k, 2)`."""
    lift = heights[:, None] - centres[None, :, 1]
    line, circle = np.nonzero(np.abs(lift) < radii[None, :])
    aside = np.sqrt(radii[circle] ** 2 - lift[line, circle] ** 2)
    return np.concatenate(
        [np.stack((centres[circle, 0] + sign * aside, heights[line]), axis=1) for sign in (1.0, -1.0)]
    )


def built_up(half: Floats, radius: Floats, order: list[int]) -> Floats:
    """Place outlines one by one, all axes level, each where it touches two others and lies nearest to the middle.

    Around a level stadium the centres of another level one that touch it form a level stadium again: two half circles
    and two lines. The corners of those are the places worth trying.

    Args:
        half: (n,) half lengths of the segments.
        radius: (n,) radii.
        order: the order of placing, all of 0..n-1.

    Returns:
        (n, 2) centres, free of overlaps, round their own middle of area.
    """
    centres = np.zeros((len(half), 2))
    weight = radius * (2.0 * half + radius)
    for turn in range(1, len(order)):
        new, placed = order[turn], np.array(order[:turn])
        reach = radius[placed] + radius[new]
        wide = half[placed] + half[new]
        middle = weight[placed] @ centres[placed] / weight[placed].sum()
        aside = np.outer(wide, [1.0, 0.0])
        ends = np.concatenate((centres[placed] + aside, centres[placed] - aside))
        tries = [centres[placed] + np.outer(reach, [0.0, sign]) for sign in (1.0, -1.0)]
        tries += [centres[placed] + np.outer(reach + wide, [sign, 0.0]) for sign in (1.0, -1.0)]
        kept = np.concatenate((np.ones(turn, dtype=bool), wide > 0.0))  # a round pair has one circle, not two
        tries.append(_circle_circle(ends[kept], np.concatenate((reach, reach))[kept]))
        if (wide > 0.0).any():
            heights = np.concatenate((centres[placed, 1] + reach, centres[placed, 1] - reach))
            tries.append(_line_circle(heights, ends[kept], np.concatenate((reach, reach))[kept]))
        spots = np.concatenate(tries)
        out = np.hypot(np.abs(spots[:, 0] - middle[0]) + half[new], spots[:, 1] - middle[1])
        centres[new] = _nearest_clear(spots[np.argsort(out, kind="stable")], centres[placed], reach, wide)
    middle = weight @ centres / weight.sum()
    spread: Floats = centres - middle
    return spread


def _nearest_clear(spots: Floats, placed: Floats, reach: Floats, wide: Floats) -> Floats:
    """The first of some spots that is clear of all that is placed; they are looked at a few at a time, since most are far out.

    Args:
        spots: (k, 2), the best first; one of them is clear.
        placed: (m, 2) centres of what is placed.
        reach, wide: (m,) sums of radii and of half lengths with each.
    """
    for start in range(0, len(spots), _A_FEW):
        few = spots[start : start + _A_FEW]
        beside = np.maximum(np.abs(few[:, None, 0] - placed[None, :, 0]) - wide, 0.0)
        clear = (np.hypot(beside, few[:, None, 1] - placed[None, :, 1]) >= reach - 1e-9).all(axis=1)
        if clear.any():
            spot: Floats = few[int(np.argmax(clear))]
            return spot
    raise RuntimeError("packing: no spot is clear of what is placed; please report it")


def scattered(half: Floats, radius: Floats, random: np.random.Generator) -> tuple[Floats, Floats]:
    """Random centres and angles in a circle about twice as large as needed.

    Args:
        half: (n,) half lengths of the segments.
        radius: (n,) radii.
        random: source of the numbers.

    Returns:
        (n, 2) centres and (n,) angles [rad].
    """
    room = 1.5 * math.sqrt(float((radius * (radius + 2.0 * half)).sum()))
    turn, out = random.uniform(0.0, 2.0 * math.pi, len(half)), np.sqrt(random.uniform(0.0, 1.0, len(half)))
    angles = np.where(half > 0.0, random.uniform(0.0, math.pi, len(half)), 0.0)
    return room * out[:, None] * np.stack((np.cos(turn), np.sin(turn)), axis=1), angles
