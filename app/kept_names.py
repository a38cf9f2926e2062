"""Lines for a project that keep the names of runs which are written on cables already."""

from __future__ import annotations

from itertools import count

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanRun
from ribway.plan_changes import same_runs

_SETTLED = ("home", "stated")
"""Patterns whose runs stay where they are when another comes or goes; a chain is led anew."""


def keeping_lines(old: Plan, new: Plan) -> tuple[str, ...]:
    """Entries for ``runs:`` that give runs of the later plan the names they had in the earlier one.

    A run that is new gets a name that no run of either plan has.

    Args:
        old: the earlier plan, whose names are on the cables.
        new: the later one.

    Returns:
        One line of YAML for each; none if every run is called as before and no name stands for another run.
    """
    patterns = {circuit.id: circuit.pattern for circuit in new.circuits}
    joints = {device.id for device in new.devices if device.kind == "joint"}
    before = {run.id for run in old.runs}
    used = before | {run.id for run in new.runs}
    lines = []
    for was, now in same_runs(old, new):
        if now is None or patterns.get(now.circuit) not in _SETTLED or {now.from_, now.to} & joints:
            continue
        if was is not None and was.id != now.id:
            lines.append(_line(now, was.id))
        elif was is None and now.id in before:
            name = next(free for n in count(1) if (free := f"{now.circuit}-{n}") not in used)
            used.add(name)
            lines.append(_line(now, name))
    return tuple(lines)


def _line(run: PlanRun, name: str) -> str:
    return f"- {{id: {name}, circuit: {run.circuit}, from: {run.from_}, to: {run.to}}}"
