"""The chance that a run is short: its margin added up again, its errors laid over one another on a grid."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np

from ribway.models.plan.results import Finding, PlanRun
from ribway.router.audit.book import Book
from ribway.router.audit.findings import error

END_M: Final = 0.05
"""What a terminal takes of a tail, if the tail is that long; common practice, no source."""
PLAY_M: Final = 0.0003
CHANCE_PLAY: Final = 0.01
"""The plan takes all errors but the two largest as one normal error: it is off by 0.004 at most, the grid by less."""
SUM_PLAY: Final = 0.004
CELLS: Final = 2000


def check_shortness(book: Book) -> Iterator[Finding]:
    """Margins, chances and their sums."""
    known = {one.id for one in book.plan.measurements}
    for run in book.plan.runs:
        strange = sorted({one.measurement for one in run.errors} - known)
        if strange:
            yield error("unknown-name", run.id, f"its length rests on {', '.join(strange)}, which nobody measures")
        if any(one.metres < 0.0 or one.mean_m < 0.0 for one in run.errors):
            yield error("short-chance", run.id, "a stated error is negative")
            continue
        yield from _run(run)
    yield from _sums(book)
    yield from _enough(book)
    yield from _gains(book)


def _run(run: PlanRun) -> Iterator[Finding]:
    ends = min(END_M, run.tail_a_m) + min(END_M, run.tail_b_m)
    margin = run.cut_m - run.sharp_m - run.loom_side_m - run.loop_m - ends
    if abs(margin - run.margin_m) > PLAY_M:
        yield error("margin", run.id, f"has {margin:.4f} m to spare, the plan says {run.margin_m:.4f} m")
    mean = sum(one.mean_m for one in run.errors)
    chance = chance_on_grid(run.margin_m - mean, [one.metres for one in run.errors])
    if abs(chance - run.short_chance) > CHANCE_PLAY:
        yield error(
            "short-chance", run.id, f"is short with a chance of {chance:.3f}, the plan says {run.short_chance:.3f}"
        )


def chance_on_grid(margin_m: float, bounds_m: Sequence[float]) -> float:
    """Chance that errors, each evenly spread between its bounds, add up to more than a margin.

    Args:
        margin_m: the margin [m].
        bounds_m: bound of each error to either side [m].

    Returns:
        The chance, from densities folded into one another cell by cell.
    """
    reach = sum(bounds_m)
    if reach <= margin_m:
        return 0.0
    if reach <= -margin_m:
        return 1.0
    cell = 2.0 * reach / CELLS
    density = np.ones(1)
    for bound in bounds_m:
        whole = bound / cell - 0.5
        if whole > 0.0:
            edge = whole - math.floor(whole)
            box = np.ones(2 * math.floor(whole) + 3)
            box[[0, -1]] = edge
            density = np.convolve(density, box / box.sum())
    middles = (np.arange(len(density)) - len(density) // 2) * cell
    share = np.clip((middles - margin_m) / cell + 0.5, 0.0, 1.0)
    return float(density @ share)


def _sums(book: Book) -> Iterator[Finding]:
    chances = [run.short_chance for run in book.plan.runs]
    said = book.plan.totals
    if abs(sum(chances) - said.short_runs) > 1e-4:
        yield error(
            "total", "runs short", f"the totals expect {said.short_runs:g}, the chances add up to {sum(chances):g}"
        )
    any_short = 1.0 - math.prod(1.0 - one for one in chances)
    if abs(any_short - said.short_chance) > 1e-4:
        yield error("total", "any run short", f"the totals say {said.short_chance:g}, the runs come to {any_short:g}")


def _enough(book: Book) -> Iterator[Finding]:
    """Lengths that are said to make the whole van long enough do, by chances of the audit's own."""
    said = book.plan.safe_lengths
    if said is None:
        return
    strange = sorted({one.run for one in said.extra} - set(book.runs))
    if strange:
        yield error("unknown-name", "safe lengths", f"more is asked for {', '.join(strange)}, which is no run")
        return
    extra = {one.run: one.metres for one in said.extra}
    each = [_chance(run, said.common_m) for run in book.plan.runs]
    other = [_chance(run, extra.get(run.id, 0.0)) for run in book.plan.runs]
    alike, singly = sum(each), sum(other)
    play = SUM_PLAY * max(sum(one > 0.0 for one in chances) for chances in (each, other)) + 0.001
    for how, chance in (("all alike", alike), ("run by run", singly)):
        if chance > said.chance + play:
            yield error(
                "safe-lengths",
                how,
                f"the chances still add up to {chance:.3f}, no more than {said.chance:g} is promised",
            )
    cable_m = sum(extra.get(run.id, 0.0) * run.pieces for run in book.plan.runs)
    if abs(cable_m - said.extra_m) > PLAY_M or abs(singly - said.chance_then) > play:
        yield error(
            "safe-lengths",
            "run by run",
            f"takes {cable_m:.2f} m for {singly:.3f}; the plan says {said.extra_m:.2f} m, {said.chance_then:.3f}",
        )


def _chance(run: PlanRun, extra_m: float) -> float:
    mean = sum(one.mean_m for one in run.errors)
    return chance_on_grid(run.margin_m + extra_m - mean, [one.metres for one in run.errors])


def _gains(book: Book) -> Iterator[Finding]:
    """No measurement may promise more than the chances of the runs that rest on it."""
    resting_on: dict[str, list[float]] = {}
    for run in book.plan.runs:
        for name in {one.measurement for one in run.errors}:
            resting_on.setdefault(name, []).append(run.short_chance)
    for one in book.plan.measurements:
        resting = resting_on.get(one.id, [])
        if not -1e-6 <= one.gain <= sum(resting) + 1e-4 or one.after_m > one.error_m:
            yield error("gain", one.id, f"promises {one.gain:g} runs, of {sum(resting):g} that may be short")
