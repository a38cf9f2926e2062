"""The error of a surveyed shell's scale: what it does to each run, reckoned again from the run's drawn legs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ribway.models.plan.results import Finding, PlanRun
from ribway.router.audit.book import Book
from ribway.router.audit.findings import error

SCALE: Final = "scale"
PLAY_M: Final = 0.002
GRID: Final = 81
INSIDE_METAL: Final = ("opening", "over", "duct", "inside")
SQUARE_TO: Final = {"left": 1, "right": 1, "roof": 2, "floor": 2, "bulkhead": 0, "rear": 0}

Array = NDArray[np.float64]


def check_scale(book: Book) -> Iterator[Finding]:
    """Every run counts the scale's error, and not less of it than its legs show."""
    share = book.plan.scale_error_percent / 100.0
    for run in book.plan.runs:
        said = [one for one in run.errors if one.measurement == SCALE]
        if len(said) > 1:
            yield error("scale-error", run.id, "counts the error of the scale twice")
        mean, bound = _spread(book, run, share)
        said_mean, said_bound = (said[0].mean_m, said[0].metres) if said else (0.0, 0.0)
        if bound - said_bound > PLAY_M or mean - said_mean > PLAY_M or said_bound - bound > PLAY_M:
            yield error(
                "scale-error",
                run.id,
                f"may be {bound:.4f} m off (on average {mean:.4f} m longer) if the scale is {100 * share:g} % off, the plan "
                f"says {said_bound:.4f} m ({said_mean:.4f} m)",
            )


def _spread(book: Book, run: PlanRun, share: float) -> tuple[float, float]:
    """Mean and half the range of the change in length [m] over all errors of the scale.

    Devices stand where the tape says, or move with the metal: the greater range of the two.
    """
    if share <= 0.0 or run.measured == "taped":
        return 0.0, 0.0
    e = np.linspace(-share, share, GRID)
    length = np.zeros(GRID)
    for number, leg in enumerate(run.legs):
        if leg.kind in INSIDE_METAL:
            length += (1.0 + e) * leg.sharp_m
        if leg.kind != "bay":
            continue
        ends = []
        for at, beside, who in ((0, number - 1, run.from_), (-1, number + 1, run.to)):
            held = 0 <= beside < len(run.legs) and run.legs[beside].kind != "stub"
            grows = np.ones(3) if held else np.zeros(3)
            device = book.devices.get(who)
            if not held and device is not None and device.wall in SQUARE_TO:
                grows[SQUARE_TO[device.wall]] = 1.0
            ends.append(np.array(leg.points[at]) * (1.0 + e[:, None] * grows))
        now = _apart(ends[1] - ends[0], leg.lay == "taut")
        rest = float(_apart(np.array([leg.points[-1]]) - np.array([leg.points[0]]), leg.lay == "taut")[0])
        length += now + (1.0 + e) * max(0.0, leg.sharp_m - rest)
    change = length - length[GRID // 2]
    all_grow = share * sum(leg.sharp_m for leg in run.legs if leg.kind == "bay" or leg.kind in INSIDE_METAL)
    mean = float(np.trapezoid(change, e)) / (2.0 * share)
    return max(0.0, mean), max(float(np.ptp(length)) / 2.0, all_grow)


def _apart(step: Array, taut: bool) -> Array:
    """Length of a cable along steps: straight, or along the van and square to it."""
    if taut:
        return np.asarray(np.linalg.norm(step, axis=1))
    return np.asarray(np.abs(step[:, 0]) + np.linalg.norm(step[:, 1:], axis=1))
