"""The unit of a mesh: what its size speaks for, and what a tape says."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ribway.models.tape import TAPE_ERROR_M
from ribway.router.shell.from_project import UNIT_M
from ribway.router.shell.parts import Points
from ribway.router.survey.errors import SurveyError

SIZES_M = ((1.5, 5.0), (1.25, 2.05), (1.0, 2.3))
"""Cargo length, width, height of vans from small to long and high; common practice, no source."""
LIMIT_M = (0.02, 30.0)
UNSURE = 0.25


@dataclass(frozen=True)
class UnitGuess:
    """The likely unit of a file.

    Args:
        unit: m, cm, mm, in or ft.
        reason: why, as a sentence.
        sure: whether no other unit comes near, and nothing contradicts.
    """

    unit: str
    reason: str
    sure: bool


def guess_unit(extents: Sequence[float], stated: str | None) -> UnitGuess:
    """Which unit makes a van of a mesh.

    Args:
        extents: its three sides in its own numbers.
        stated: unit that the file or its format states.

    Returns:
        The likeliest unit, and how sure that is.

    Raises:
        SurveyError: in no unit it is of a size that could be a part of a van.
    """
    sides = sorted(extents, reverse=True)
    penalties = {unit: _penalty([side * metre for side in sides]) for unit, metre in UNIT_M.items()}
    ranked = sorted(penalties, key=lambda unit: (penalties[unit], unit != stated))
    best, next_best = ranked[0], ranked[1]
    longest = sides[0]
    if not any(LIMIT_M[0] <= longest * metre <= LIMIT_M[1] for metre in UNIT_M.values()):
        raise SurveyError(
            f"its longest side is {longest:.4g} units: in none of {', '.join(UNIT_M)} that is a van "
            f"({SIZES_M[0][0]:g} to {SIZES_M[0][1]:g} m); export it again in metres or millimetres"
        )
    text = " by ".join(f"{side * UNIT_M[best]:.2f}" for side in sides)
    fits = penalties[best] == 0.0
    clear = penalties[next_best] - penalties[best] > UNSURE
    if stated in UNIT_M and penalties[stated] <= penalties[best] + UNSURE:
        size = " by ".join(f"{side * UNIT_M[stated]:.2f}" for side in sides)
        return UnitGuess(stated, f"the file states it, and {size} m can be a van", True)
    if stated in UNIT_M:
        reason = f"the file states {stated}, but only as {best} its size ({text} m) comes near a van's"
        return UnitGuess(best, reason, False)
    if fits and clear:
        return UnitGuess(best, f"as {best} it is {text} m, which is a van; as {next_best} it is none", True)
    reason = f"as {best} it is {text} m, which is not a whole van; {next_best} comes next"
    return UnitGuess(best, reason, False)


def _penalty(sides_m: list[float]) -> float:
    """How far outside of all vans, in steps of e, summed over the sides."""
    out = 0.0
    for side, (low, high) in zip(sides_m, SIZES_M, strict=True):
        out += max(0.0, float(np.log(low / max(side, 1e-300)))) + max(0.0, float(np.log(side / high)))
    return out


@dataclass(frozen=True, eq=False)
class TapeCheck:
    """One distance that was taped on the van, between two points of the mesh.

    Args:
        between: ``(2, 3)`` points in the file's own numbers.
        is_m: what the tape says [m].
        what: as the user wrote it.
    """

    between: Points
    is_m: float
    what: str


@dataclass(frozen=True)
class Scale:
    """What one unit of the file is.

    Args:
        unit_m: metres of one unit.
        per_metre: how far a length may be off, as a share of itself.
        residuals_m: mesh less tape of each check, after scaling [m].
        reason: how it came about.
    """

    unit_m: float
    per_metre: float
    residuals_m: tuple[float, ...]
    reason: str


MESH_SHARE = 0.01
"""Stated error of a mesh's scale where no tape was held against it; common practice, no source."""
BEYOND = 0.05
"""A tape that changes the scale by more speaks of another unit, another place or a slip."""


def fit_scale(unit_m: float, checks: Sequence[TapeCheck], tape_error_m: float = TAPE_ERROR_M) -> Scale:
    """The scale that comes nearest to all tape checks in the sense of least squares.

    With distances d in the file and t by tape, the sum of (s d - t)^2 is least at s = sum(d t) / sum(d^2).

    Args:
        unit_m: metres of one unit, as believed before.
        checks: none, one or more.
        tape_error_m: bound on the error of one reading [m].

    Returns:
        The scale. Its stated error is a bound: what readings that are all off to one side would change, plus the worst
        residual as a share of its own length.

    Raises:
        SurveyError: a check between points that are one, or one that contradicts the unit or the others.
    """
    if not checks:
        return Scale(unit_m, MESH_SHARE, (), "no tape was held against it")
    d = np.array([float(np.linalg.norm(check.between[1] - check.between[0])) for check in checks])
    t = np.array([check.is_m for check in checks])
    for check, distance in zip(checks, d, strict=True):
        if not distance > 0 or not check.is_m > 0:
            raise SurveyError(f"tape check {check.what}: both ends are one point; name two places that are apart")
        share = check.is_m / (distance * unit_m)
        if abs(share - 1) > BEYOND:
            raise SurveyError(
                f"tape check {check.what}: the mesh has {distance * unit_m:.3f} m there, the tape {check.is_m:.3f} m; "
                f"more than {BEYOND:.0%} apart is another unit, another place or a slip: correct unit or check"
            )
    s = float((d * t).sum() / (d * d).sum())
    residuals = s * d - t
    own = tape_error_m * float(d.sum() / (d * d).sum()) / s
    worst = float((np.abs(residuals) / t).max())
    return Scale(s, own + worst, tuple(residuals.tolist()), f"least squares over {len(checks)} tape checks")
