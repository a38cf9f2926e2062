"""What a picked run is, in a few lines."""

from __future__ import annotations

from ribway.models.plan.measuring import MEASURED_WORDS
from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanRun
from ribway.models.printed import counted, length
from ribway.models.printed import rounded_up as up
from ribway.viewer.errors import NothingToShow

WAYS_ON_A_LINE = 8


def run_named(plan: Plan, run_id: str) -> PlanRun:
    """A run by its id.

    Args:
        plan: the plan.
        run_id: the id.

    Returns:
        The run.

    Raises:
        NothingToShow: if the plan has no such run.
    """
    for run in plan.runs:
        if run.id == run_id:
            return run
    raise NothingToShow(f"the plan has no run {run_id!r}; it has {', '.join(run.id for run in plan.runs) or 'none'}")


def about_run(plan: Plan, run_id: str) -> str:
    """Name, ends, lengths, size, drop, fuse and way of a run.

    Args:
        plan: the plan.
        run_id: the run's id.

    Returns:
        A few lines of text; figures are the plan's own.

    Raises:
        NothingToShow: if the plan has no such run.
    """
    run = run_named(plan, run_id)
    names = {device.id: device.name or device.id for device in plan.devices}
    fuse = next((circuit.fuse_a for circuit in plan.circuits if circuit.id == run.circuit), None)
    cable = next((cable.name for cable in plan.cables if cable.id == run.cable), f"{run.cores} x {run.size_name}")
    units = plan.rules.units
    lines = [
        f"{run.id}: {names.get(run.from_, run.from_)} to {names.get(run.to, run.to)}",
        f"cut {length(run.cut_m, units)}; device to device {length(run.one_way_m, units)} one way, "
        f"{counted(run.bends, 'bend')}",
        f"{cable}, {f'fuse {fuse:g} A' if fuse is not None else 'no fuse'}, {f'loom {run.loom}' if run.loom else 'in no loom'}",
    ]
    if run.kind == "ac":
        lines.append("AC: to be designed and connected by a licensed person")
    elif run.drop_limit_percent is not None:
        lines.append(f"drop {up(run.drop_percent, 2)} % ({up(run.drop_v, 2)} V), allowed {run.drop_limit_percent:g} %")
    if run.measured != "computed":
        lines.append(f"{MEASURED_WORDS[run.measured]}")
    ways = list(run.openings)
    if ways:
        rows = [", ".join(ways[i : i + WAYS_ON_A_LINE]) for i in range(0, len(ways), WAYS_ON_A_LINE)]
        lines.append("through " + ",\n  ".join(rows))
    return "\n".join(lines)
