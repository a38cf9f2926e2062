"""Improving a placing of outlines in a circle: a soft descent from any start, then linear steps to the exact optimum.

The descent minimises (weight x radius of the circle + squares of the overlaps) with L-BFGS. The polish is a sequence of
linear programs in a shrinking box: distances between bodies are convex in their positions, so a step that keeps the
linearised gaps open keeps the true gaps of round bodies open, and where the packing is rigid the steps converge as
Newton's do. Whatever is returned has been spread until nothing overlaps.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

import numpy as np
from scipy.optimize import linprog

from ribway.router.geometry.packing_contacts import Bodies, Floats, crossing, gaps_at, made_feasible, near_pairs
from ribway.router.geometry.packing_minimum import minimised


@dataclass(frozen=True, eq=False)
class Placing:
    """A placing that is free of overlaps, round the origin."""

    centres: Floats  # (n, 2)
    angles: Floats  # (n,) [rad]
    radius: float  # of the circle that holds everything


def settled(bodies: Bodies, centres: Floats, angles: Floats) -> Placing | None:
    """A placing made free of overlaps, or None when segments cross.

    Args:
        bodies: the bodies.
        centres: (n, 2) centres.
        angles: (n,) angles of the axes [rad].

    Returns:
        The placing.
    """
    made = made_feasible(bodies, centres, angles)
    return None if made is None else Placing(made[0], angles, made[1])


def _energy(state: Floats, bodies: Bodies, weight: float) -> tuple[float, Floats]:
    """Weighted radius plus squared overlaps, and its gradient; state = x, y, angles, radius."""
    n = bodies.count
    centres, angles, radius = state[: 2 * n].reshape(2, n).T, state[2 * n : 3 * n], float(state[-1])
    near = near_pairs(bodies, centres)
    gaps = gaps_at(bodies, centres, angles, near)
    deep = (gaps.pair < 0.0).nonzero()[0]
    over, depth = near[deep], gaps.pair[deep]
    ends, other = bodies.pair_end[over], bodies.pair_body[over]
    own = bodies.end_body[ends]
    out = np.maximum(gaps.wall - radius, 0.0)
    total = weight * radius + float(depth @ depth) + float(out @ out)
    push = 2.0 * depth * gaps.pair_away[deep]
    force = np.concatenate((push, -push, 2.0 * out * gaps.wall_away))
    hit = np.concatenate((own, other, bodies.end_body))
    slope = np.zeros((3, n))
    slope[0], slope[1] = np.bincount(hit, force.real, n), np.bincount(hit, force.imag, n)
    if len(bodies.flat):
        arms = np.concatenate((bodies.end_offset[ends], gaps.pair_foot[deep], bodies.end_offset))
        axis = np.cos(angles) - 1j * np.sin(angles)
        slope[2] = np.bincount(hit, arms * (force * axis[hit]).imag, n)
    for i, j in crossing(bodies, centres, angles).tolist():
        away = centres[i] - centres[j]
        far = float(np.hypot(*away))
        want = float(bodies.half[i] + bodies.half[j] + bodies.radius[i] + bodies.radius[j])
        unit = away / far if far > 1e-12 else np.array([0.0, 1.0])
        total += (want - far) ** 2
        slope[:2, i] -= 2.0 * (want - far) * unit
        slope[:2, j] += 2.0 * (want - far) * unit
    return total, np.concatenate((slope.ravel(), [weight - 2.0 * float(out.sum())]))


def descended(bodies: Bodies, centres: Floats, angles: Floats, steps: int = 100, weight: float = 1.0) -> Placing | None:
    """Roll a start down into a tight placing.

    Args:
        bodies: the bodies, scaled so that their mean radius is about 1.
        centres: (n, 2) start.
        angles: (n,) start [rad].
        steps: most L-BFGS steps at each of the two weights.
        weight: of the radius against the overlaps at first; a small one presses less and keeps more of the start.

    Returns:
        The placing made free of overlaps, or None when the descent ended with crossed segments.
    """
    radius = float(gaps_at(bodies, centres, angles).wall.max())
    state = np.concatenate((centres.T.ravel(), angles, [radius]))
    for pressure in (weight, 0.02):
        state = minimised(partial(_energy, bodies=bodies, weight=pressure), state, steps, 1e-4 * pressure)
    n = bodies.count
    return settled(bodies, state[: 2 * n].reshape(2, n).T.copy(), state[2 * n : 3 * n].copy())


def _step(bodies: Bodies, at: Placing, box: float) -> tuple[Floats, Floats] | None:
    """One linear program: least radius of the circle when every body may move and turn by at most the box."""
    n = bodies.count
    gaps = gaps_at(bodies, at.centres, at.angles)
    cosine, sine = np.cos(at.angles), np.sin(at.angles)
    near = np.flatnonzero(gaps.pair < 4.0 * box)
    ends, other = bodies.pair_end[near], bodies.pair_body[near]
    own, push_x, push_y = bodies.end_body[ends], gaps.pair_away.real[near], gaps.pair_away.imag[near]
    far_out = np.flatnonzero(gaps.wall > at.radius - 4.0 * box)
    held, pull_x, pull_y = bodies.end_body[far_out], gaps.wall_away.real[far_out], gaps.wall_away.imag[far_out]
    rows, walls = len(near), len(far_out)
    turn_own = bodies.end_offset[ends] * (push_y * cosine[own] - push_x * sine[own])
    turn_other = gaps.pair_foot[near] * (push_y * cosine[other] - push_x * sine[other])
    turn_wall = bodies.end_offset[far_out] * (pull_y * cosine[held] - pull_x * sine[held])
    at_pair, at_wall = np.arange(rows), rows + np.arange(walls)
    data = [-push_x, -push_y, -turn_own, push_x, push_y, turn_other, pull_x, pull_y, turn_wall, -np.ones(walls)]
    columns = [own, n + own, 2 * n + own, other, n + other, 2 * n + other]
    columns += [held, n + held, 2 * n + held, np.full(walls, 3 * n)]
    lines = [at_pair] * 6 + [at_wall] * 4
    shape = (rows + walls, 3 * n + 1)
    matrix = np.zeros(shape)
    matrix[np.concatenate(lines), np.concatenate(columns)] = np.concatenate(data)
    room = np.concatenate((gaps.pair[near], -gaps.wall[far_out]))
    cost = np.zeros(3 * n + 1)
    cost[-1] = 1.0
    turn_box = np.where(bodies.half > 0.0, box / np.maximum(bodies.half, box), 0.0)
    most = np.concatenate((np.full(2 * n, box), turn_box))
    bounds: list[tuple[float, float | None]] = [(-limit, limit) for limit in most.tolist()]
    found = linprog(cost, matrix, room, bounds=[*bounds, (0.0, None)], method="highs-ds")
    if found.x is None:
        return None
    move = np.asarray(found.x, dtype=np.float64)
    return at.centres + move[: 2 * n].reshape(2, n).T, at.angles + move[2 * n : 3 * n]


def polished(bodies: Bodies, start: Placing, steps: int = 40, box: float = 0.2) -> Placing:
    """Drive a placing to the nearest local optimum.

    Args:
        bodies: the bodies, scaled so that their mean radius is about 1.
        start: a placing free of overlaps.
        steps: most linear programs.
        box: how far a body may move in the first of them.

    Returns:
        A placing free of overlaps, no larger than the start.
    """
    best = start
    for _ in range(steps):
        moved = _step(bodies, best, box)
        placing = None if moved is None else settled(bodies, *moved)
        gain = 0.0 if placing is None else best.radius - placing.radius
        if placing is not None and gain > 0.0:
            best = placing
        if gain < 1e-3 * box:
            box /= 4.0
        if box < 1e-10:
            break
    return best
