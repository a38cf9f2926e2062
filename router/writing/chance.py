"""Runs with their margins, errors and chances of being short, and the measurements behind them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal

from ribway.models.plan.assumptions import PlanMeasurement, RunError
from ribway.models.plan.results import PlanDevice, PlanLeg, PlanRun
from ribway.models.plan.shell import PlanOpening, PlanWay
from ribway.models.project import Project
from ribway.router.chance.survey import Bound, Short, bounds_of, gains
from ribway.router.chance.sway import Change, Stretch
from ribway.router.writing.scale_error import scale_bounds, scale_survey
from ribway.router.writing.survey import device_key, surveys, way_key
from ribway.router.writing.taped_errors import taped_bounds, taped_surveys

END_M = 0.05
"""What a terminal takes of each tail, to strip, crimp and bend it in; common practice, no source."""


def with_chances(
    project: Project,
    runs: Sequence[PlanRun],
    openings: Sequence[PlanOpening],
    ways: Sequence[PlanWay],
    devices: Sequence[PlanDevice],
) -> tuple[tuple[PlanRun, ...], tuple[PlanMeasurement, ...]]:
    """Put margins, errors and chances to the runs.

    Args:
        project: what was said.
        runs: margin, errors and chance still empty.
        openings, ways, devices: of the plan.

    Returns:
        The runs, and the measurements that any of them rests on, the most worth reading first.
    """
    known = (*surveys(project, openings, ways, devices), *taped_surveys(runs), *scale_survey(project, openings))
    share = (project.vehicle.scale_error or 0.0) / 100.0
    places = {one.id: one for one in devices}
    measurements = [one.measurement for one in known]
    shorts: dict[str, Short] = {}
    out = []
    for run in runs:
        bounds = tuple(
            Bound(one.measurement, Change(round(one.change.mean_m, 4), round(one.change.bound_m, 4)))
            for one in (
                *bounds_of(stretches_of(run), measurements),
                *taped_bounds(run),
                *scale_bounds(run, places, share),
            )
        )
        short = Short(round(margin_m(run), 4), bounds)
        shorts[run.id] = short
        errors = tuple(
            RunError(measurement=one.measurement, mean_m=one.change.mean_m, metres=one.change.bound_m) for one in bounds
        )
        out.append(
            run.model_copy(
                update={"margin_m": short.margin_m, "errors": errors, "short_chance": round(short.chance, 6)}
            )
        )
    gained = gains(shorts, measurements)
    bearing = {bound.measurement for short in shorts.values() for bound in short.bounds}
    listed = [
        PlanMeasurement(
            id=one.measurement.id,
            whose=one.whose,
            about=one.about,
            what=one.what,
            error_m=round(one.measurement.error_m, 4),
            after_m=round(one.measurement.after_m, 4),
            gain=round(gained[one.measurement.id], 6),
        )
        for one in known
        if one.measurement.id in bearing
    ]
    return tuple(out), tuple(sorted(listed, key=lambda one: (-one.gain, one.id)))


def margin_m(run: PlanRun) -> float:
    """What a cut length has to spare over the path: slack, tails and rounding, less what the terminals need [m]."""
    ends = min(END_M, run.tail_a_m) + min(END_M, run.tail_b_m)
    return run.cut_m - run.sharp_m - run.loom_side_m - run.loop_m - ends


def stretches_of(run: PlanRun) -> tuple[Stretch, ...]:
    """The run in its bays, each between the two things that hold it there.

    Args:
        run: of the plan.
    """
    legs = run.legs
    return tuple(
        Stretch(before, after, leg.points[0], leg.points[-1], _lay(leg))
        for index, leg in enumerate(legs)
        if leg.kind == "bay"
        for before in _holder(legs[index - 1 : index], run.from_)
        for after in _holder(legs[index + 1 : index + 2], run.to)
    )


def _lay(leg: PlanLeg) -> Literal["square", "taut"]:
    return "taut" if leg.lay == "taut" else "square"


def _holder(beside: Sequence[PlanLeg], device: str) -> Iterator[str]:
    """What holds a stretch at one end: the way beside it, or the device where there is none."""
    if beside and beside[0].kind != "stub":
        yield way_key(beside[0].name)
    else:
        yield device_key(device)
