"""The one file that chains the stages: shell, space, network, routes, looms, lengths, sizes, plan.

Cables start as thin as a straight run would allow and are routed; measured lengths and looms ask for thicker ones, which
are routed again where they no longer fit. Sizes only go up, so this ends; then one pass tries to lower each circuit.
"""

from __future__ import annotations

from pathlib import Path as FilePath

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import Finding
from ribway.models.printed import mass
from ribway.models.project import Project
from ribway.models.told import GROUND, WRITING, Told, untold
from ribway.router.audit.check import audit_plan
from ribway.router.choosing.freeing import Relief, relief_of
from ribway.router.errors import AuditError
from ribway.router.faults import RouterFaults
from ribway.router.memory import Memory
from ribway.router.planning import Planning, State
from ribway.router.rising import planned
from ribway.router.shell.choose import shell_of, survey_of
from ribway.router.shell.parts import Shell
from ribway.router.shell.surveyed import from_bare_floor
from ribway.router.writing.findings import in_order
from ribway.router.writing.plan import write_plan

LESS = "whether less would do is not shown"

__all__ = ["AuditError", "audited", "plan_on", "plan_project", "written"]


def plan_project(
    project: Project, base_folder: FilePath, alternative: str = "", memory: Memory | None = None, told: Told = untold
) -> Plan:
    """Plan a project from beginning to end.

    Args:
        project: what the user said.
        base_folder: where the project file lies; mesh paths are relative to it.
        alternative: name of the alternative that ``project`` already is; empty for the base.
        memory: what was made for projects before; it changes no plan.
        told: how far it is.

    Returns:
        The plan; ``complete`` is false if a run has no route.

    Raises:
        RouterFaults: places and names that do not fit the shell, or circuits for which no stocked size is good enough.
        AuditError: the plan does not pass its own audit, which is a defect of this programme.
    """
    told(GROUND, 0, 2)
    project = survey_of(project)
    shell = shell_of(project, base_folder)
    try:
        plan = plan_on(project, shell, alternative, memory, told)
    except RouterFaults as faults:
        raise from_bare_floor(faults, project.vehicle.datum.up) from faults
    return audited(plan, told)


def plan_on(
    project: Project, shell: Shell, alternative: str = "", memory: Memory | None = None, told: Told = untold
) -> Plan:
    """Plan a project on a shell that is there already; the plan is not audited.

    Args:
        project: what the user said, places from the bare floor.
        shell: the bare metal.
        alternative: name of the alternative that ``project`` already is; empty for the base.
        memory: what was made for projects before; it changes no plan.
        told: how far it is.

    Raises:
        RouterFaults: as `plan_project`.
    """
    told(GROUND, 1, 2)
    planning = Planning(project, shell, memory)
    return written(planning, planned(planning, told), alternative, bounded=True, told=told)


def relieved(plan: Plan, relief: Relief) -> Plan:
    """A plan with some run without a route, and with what would free it.

    Args:
        plan: as it was written.
        relief: what was found.
    """
    dead = ", ".join(one.about for one in plan.findings if one.message.startswith("no route "))
    found = []
    if relief.proof:
        found.append(Finding(level="note", code="no-room-shown", about=dead, message=relief.proof, remedy="see below"))
    if relief.freed:
        ways = "; or ".join(
            f"{', and '.join(one.words)} ({mass(one.kg, plan.rules.units)} of copper then)" for one in relief.freed
        )
        least = "no changes of holes, plugs or runs that are less trouble will do" if relief.least else LESS
        message = f"planned again with each of these, all runs find a route and a size: {ways}; {least}"
        remedy = "the first is the least trouble; look behind the metal and keep to the vehicle maker's guideline before boring"
        found.append(Finding(level="note", code="would-free", about=dead, message=message, remedy=remedy))
    return plan.model_copy(update={"findings": in_order((*plan.findings, *found))})


def written(planning: Planning, state: State, alternative: str, bounded: bool, told: Told = untold) -> Plan:
    """A finished state as a plan.

    Args:
        planning: what was planned.
        state: what was found.
        alternative: name of the alternative that the project is; empty for the base.
        bounded: look for the bound on copper too, or, where a run has no route, for what would free it; it takes a while.
        told: how far it is.
    """
    bounds = planning.bounds(state, told) if bounded and state.whole else None
    told(WRITING, 0, 1)
    plan = write_plan(planning.outcome(state, alternative, bounds))
    return relieved(plan, relief_of(planning, state, told)) if bounded and not state.whole else plan


def audited(plan: Plan, told: Told = untold) -> Plan:
    """A plan with what its audit found.

    Args:
        plan: as it was written.
        told: how far it is.

    Raises:
        AuditError: it does not pass.
    """
    found = audit_plan(plan, told)
    known = {(finding.code, finding.about) for finding in plan.findings}
    errors = [one for one in found if one.level == "error" and (one.code, one.about) not in known]
    if errors and plan.complete:
        raise AuditError("; ".join(f"{one.about}: {one.message}" for one in errors[:5]))
    more = [one for one in found if one.level != "error" and (one.code, one.about) not in known]
    return plan.model_copy(update={"findings": in_order((*plan.findings, *more))})
