"""Which way is up and which is forward in a mesh of a van's inside, and how far it is turned against its own axes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ribway.router.shell.parts import Points

Array = NDArray[np.float64]
NAMES = ("x", "y", "z")
SQUARE = 0.03
WITHIN = np.cos(np.radians(3.0))
NARROW, NARROWER = np.cos(np.radians(0.8)), np.cos(np.radians(0.2))
KEEP_SHARE = 0.98
"""The file's own axes are kept where they explain at least this share of the area that the best ones do."""
CELL_M = 0.05
END_SHARE = 0.05


@dataclass(frozen=True, eq=False)
class AxesGuess:
    """How a mesh stands.

    Args:
        turn: ``(3, 3)`` rotation from the file's axes to the van's (x forward, y to the left, z up).
        up, forward: the file's axes nearest to up and forward, as ``z`` or ``-x``.
        tilt_rad: how far the mesh is turned against them [rad].
        reasons: why up, and why forward.
        sure: whether up is beyond doubt.
    """

    turn: Points
    up: str
    forward: str
    tilt_rad: float
    reasons: tuple[str, str]
    sure: bool


def guess_axes(normals: Array, areas: Array, middles: Array, up_by_format: str | None = None) -> AxesGuess:
    """Guess up and forward from where the flat metal is.

    Up: a van is alike left and right but not below and above, and its floor is the largest flat sheet square to any of
    its axes that lies at one end. Forward: the end that metal closes best, and towards which the van does not narrow.

    Args:
        normals, areas, middles: of faces ``(m, 3)``, ``(m,)``, ``(m, 3)`` [m], [m2].
        up_by_format: axis that the format says is up, ``y`` for glTF.

    Returns:
        The guess; it is for a person to confirm.
    """
    frame = _square_frame(normals, areas)
    at = middles @ frame.T
    facing = normals @ frame.T
    low, high = np.quantile(at, 0.002, axis=0), np.quantile(at, 0.998, axis=0)
    long = int(np.argmax(high - low))
    others = [k for k in range(3) if k != long]
    scores: dict[tuple[int, int], float] = {}
    for k in others:
        rest = next(j for j in others if j != k)
        lopsided = _lopsided(at[:, k], areas, low[k], high[k]) - _lopsided(at[:, rest], areas, low[rest], high[rest])
        flat = [_end_cover(at, facing, areas, k, side, low, high) for side in (-1, 1)]
        for sign in (1, -1):
            floor, roof = (flat[0], flat[1]) if sign > 0 else (flat[1], flat[0])
            score = floor - roof + lopsided
            if up_by_format is not None:
                score += 0.5 * float(sign * frame[k] @ np.eye(3)[NAMES.index(up_by_format)])
            scores[k, sign] = score
    ranked = sorted(scores, key=lambda one: -scores[one])
    up_axis, up_sign = ranked[0]
    sure = scores[ranked[0]] - scores[ranked[1]] > 0.15
    up = up_sign * frame[up_axis]
    covers = {side: _end_cover(at, facing, areas, long, side, low, high) for side in (-1, 1)}
    width = {
        side: _width(at, areas, long, next(k for k in others if k != up_axis), side, low, high) for side in (-1, 1)
    }
    tend = covers[1] - covers[-1] + 2.0 * (width[1] - width[-1]) / max(width[1], width[-1], 1e-9)
    sign = 1 if tend >= -1e-9 else -1
    forward = sign * frame[long]
    turn = np.stack([forward, np.cross(up, forward), up])
    names = _named(up), _named(forward)
    nearest = np.stack([_vector(names[1]), np.cross(_vector(names[0]), _vector(names[1])), _vector(names[0])])
    tilt = float(np.arccos(np.clip((np.trace(turn @ nearest.T) - 1) / 2, -1.0, 1.0)))
    by_format = f"; its format says {up_by_format} up" if up_by_format else ""
    why_up = f"its floor is the largest flat sheet at any end, and lies away from {names[0]}{by_format}"
    why_forward = (
        f"that end is closed over {max(covers.values()):.0%} of its area, the other over {min(covers.values()):.0%}"
        if abs(covers[1] - covers[-1]) > 0.02
        else "the van narrows towards the other end"
        if abs(width[1] - width[-1]) > 1e-3
        else "nothing speaks for either end"
    )
    return AxesGuess(turn, names[0], names[1], tilt, (why_up, why_forward), sure)


def _vector(name: str) -> Array:
    return np.asarray((-1.0 if name.startswith("-") else 1.0) * np.eye(3)[NAMES.index(name[-1])])


def _named(direction: Array) -> str:
    k = int(np.argmax(np.abs(direction)))
    return ("-" if direction[k] < 0 else "") + NAMES[k]


def _square_frame(normals: Array, areas: Array) -> Array:
    """Three square axes along or against which most of the metal looks, rows of a rotation."""
    keep = areas > 0
    n, a = normals[keep], areas[keep]
    folded = n * np.where(n[np.arange(len(n)), np.argmax(np.abs(n), axis=1)] < 0, -1.0, 1.0)[:, None]
    index = np.unique(np.round(folded * 500).astype(np.int64), axis=0, return_inverse=True)[1].reshape(-1)
    weight = np.asarray(np.bincount(index, weights=a), dtype=np.float64)
    total = [np.asarray(np.bincount(index, weights=folded[:, k] * a), dtype=np.float64) for k in range(3)]
    middle = np.stack(total, axis=1)
    middle = middle / np.linalg.norm(middle, axis=1, keepdims=True)
    top = np.argsort(-weight, kind="stable")[:48]
    directions = np.stack([_settled(middle[k], middle, weight) for k in top])
    best, frame = -1.0, np.eye(3)
    own = _explained(np.eye(3), middle, weight)
    for i in range(len(top)):
        for j in range(i):
            if abs(float(directions[i] @ directions[j])) > SQUARE:
                continue
            first = directions[i]
            second = directions[j] - float(directions[j] @ first) * first
            second /= np.linalg.norm(second)
            trial = np.stack([first, second, np.cross(first, second)])
            score = _explained(trial, middle, weight)
            if score > best + 1e-12:
                best, frame = score, trial
    return np.eye(3) if own >= KEEP_SHARE * best else frame


def _settled(direction: Array, middle: Array, weight: Array) -> Array:
    """A direction moved to the middle of the normals round it, and further in where most of them are of one mind."""
    held = 0.0
    for within in (WITHIN, WITHIN, NARROW, NARROWER, NARROWER):
        cosine = middle @ direction
        near = np.abs(cosine) > within
        total = float(weight[near].sum())
        if total < 0.3 * held or total == 0.0:
            break
        held = total
        mean = (middle[near] * (weight[near] * np.sign(cosine[near]))[:, None]).sum(axis=0)
        direction = mean / np.linalg.norm(mean)
    return direction


def _explained(frame: Array, middle: Array, weight: Array) -> float:
    """Area that looks along one of three axes, the nearer the more."""
    cosine = np.abs(middle @ frame.T).max(axis=1)
    return float((weight * np.clip((cosine - WITHIN) / (1 - WITHIN), 0.0, 1.0)).sum())


def _end_cover(at: Array, facing: Array, areas: Array, axis: int, side: int, low: Array, high: Array) -> float:
    """Share of an end that metal square to the axis closes."""
    reach = END_SHARE * (high[axis] - low[axis])
    edge = high[axis] if side > 0 else low[axis]
    there = (np.abs(at[:, axis] - edge) < reach) & (np.abs(facing[:, axis]) > np.cos(np.radians(8.0)))
    rest = [k for k in range(3) if k != axis]
    room = float(np.prod((high - low)[rest]))
    return min(1.0, float(areas[there].sum()) / max(room, 1e-12))


def _lopsided(values: Array, areas: Array, low: float, high: float) -> float:
    """How unlike the two halves are along an axis: 0 alike to 1."""
    count, _ = np.histogram(values, bins=24, range=(low, high), weights=areas)
    return float(np.abs(count - count[::-1]).sum() / max(count.sum() * 2, 1e-12))


def _width(at: Array, areas: Array, long: int, wide: int, side: int, low: Array, high: Array) -> float:
    """Width of the end third of the van."""
    third = (high[long] - low[long]) / 3
    there = at[:, long] > high[long] - third if side > 0 else at[:, long] < low[long] + third
    if not there.any():
        return 0.0
    spread = np.quantile(at[there, wide], [0.02, 0.98])
    return float(spread[1] - spread[0])
