"""A plan that is kept in hand, and the same plan again after a small change.

What a stage is made from decides whether it is made again (see `ribway.router.memory`): moving a device leaves the shell,
the bays and the ways as they are and remakes one portal and the distances of its bay. On top of that the routes and sizes of
all runs that the change does not touch are held.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path as FilePath

from ribway.models.plan.plan import Plan
from ribway.models.project import Project
from ribway.models.told import GROUND, Told, untold
from ribway.router.again.carrying import Carried, carried
from ribway.router.again.differences import Differences, differences
from ribway.router.again.run_changes import RunChange, run_changes
from ribway.router.choosing.few_sizes import FewSizes, few_of, noted, within
from ribway.router.circuits.runs import DRAW_CORD
from ribway.router.cooling import cooled, still_round
from ribway.router.copper import cut_kg
from ribway.router.errors import AuditError
from ribway.router.faults import RouterFaults
from ribway.router.memory import Memory
from ribway.router.planner import audited, written
from ribway.router.planning import Planning, State
from ribway.router.rising import Paths, first_sizes, grown, lowered, planned
from ribway.router.shell.choose import shell_of, survey_of
from ribway.router.shell.parts import Shell
from ribway.router.shell.surveyed import from_bare_floor

HERE = FilePath()
EARLIER = 8
"""So many plans of a sitting are kept, to go back to."""
MOST_LOOSE = 0.5
"""Where more than this share of all runs is to be led anew, nothing is held."""


@dataclass(frozen=True, eq=False)
class Planned:
    """A plan in hand, with all that planning it again can use.

    Args:
        project: as the user said it.
        folder: where the project file lies.
        alternative: name of the alternative that the project is; empty for the base.
        plan: the plan, true and full but for what `finished` adds.
        finished: whether the bound on copper and the audit's findings are in the plan.
        changed: runs that are otherwise than in the plan before; empty for the first.
        differences: what the project says otherwise than the one before.
        cold: why nothing was held; empty if routes and sizes of untouched runs were.
        saves_kg: copper that planning all routes anew would save over the held ones [kg]; None if that was not found out.
        planning, state, memory: to plan again from.
        few: the sizes of cable that it keeps to where the shop keeps few; None where any may be taken.
        earlier: plans before this one, latest last.
    """

    project: Project
    folder: FilePath
    alternative: str
    plan: Plan
    finished: bool
    changed: tuple[RunChange, ...]
    differences: Differences
    cold: str
    saves_kg: float | None
    planning: Planning
    state: State
    memory: Memory
    few: FewSizes | None = None
    earlier: tuple[Planned, ...] = ()


def start(
    project: Project, folder: FilePath = HERE, alternative: str = "", finish: bool = True, told: Told = untold
) -> Planned:
    """Plan a project from nothing and keep all that planning it again can use.

    Args:
        project: what the user said.
        folder: where the project file lies; mesh paths are relative to it.
        alternative: name of the alternative that ``project`` already is; empty for the base.
        finish: whether bound and audit are wanted at once; else `finished` adds them.
        told: how far it is.

    Returns:
        The plan; if finished, the same that `ribway.router.planner.plan_project` makes.

    Raises:
        RouterFaults, AuditError: as `ribway.router.planner.plan_project`.
    """
    told(GROUND, 0, 2)
    return start_on(project, shell_of(survey_of(project), folder), folder, alternative, finish, told)


def start_on(
    project: Project,
    shell: Shell,
    folder: FilePath = HERE,
    alternative: str = "",
    finish: bool = True,
    told: Told = untold,
) -> Planned:
    """As `start`, on a shell that is there already; it serves until a change asks for another.

    Args:
        project: what the user said.
        shell: the bare metal.
        folder, alternative, finish, told: as `start`.
    """
    memory = Memory()
    told(GROUND, 1, 2)
    few = few_of(project, folder, told)
    planning = _planning(within(project, few), shell, memory)
    try:
        state = planned(planning, told)
    except RouterFaults as faults:
        raise from_bare_floor(faults, planning.project.vehicle.datum.up) from faults
    plan = written(planning, state, alternative, finish, told)
    plan = noted(audited(plan, told) if finish else plan, few)
    nothing = Differences((), (), "")
    return Planned(
        project, folder, alternative, plan, finish, (), nothing, "the first plan", None, planning, state, memory, few
    )


def again(before: Planned, project: Project, keep_unless_saves_kg: float = math.inf, told: Told = untold) -> Planned:
    """Plan a project that differs a little from one that is planned.

    Runs that the change does not touch keep their routes, unless a run would find no route otherwise. Sizes are held
    anew everywhere: a feeder grows with what it feeds.

    Args:
        before: the plan in hand.
        project: the changed project.
        keep_unless_saves_kg: plan all routes anew as well, and take these if they save more copper than this [kg]. The
            default keeps the untouched routes whatever it costs, and is quick.
        told: how far it is, where it takes long: all is planned anew.

    Returns:
        The plan and what changed. It is not `finished`: the bound on copper and the audit are left to `finished`.

    Raises:
        RouterFaults: as `ribway.router.planner.plan_project`; the plan in hand stays good.
    """
    if keep_unless_saves_kg == math.inf:
        known = next((one for one in (before, *reversed(before.earlier)) if one.project == project), None)
        if known is not None:
            return _back_to(known, before)
    found = differences(before.project, project)
    before.memory.turn()
    shell = before.planning.shell
    if found.large:
        shell = shell_of(survey_of(project), before.folder)
    few = before.few
    if few is not None and not found.large:
        try:
            return _next(before, project, shell, replace(few, proven=False), found, keep_unless_saves_kg, told)
        except (
            RouterFaults
        ):  # these sizes will not do any more, or the project does not fit: whichever it is, that is told
            pass
    return _next(before, project, shell, few_of(project, before.folder, told), found, keep_unless_saves_kg, told)


def _next(
    before: Planned,
    project: Project,
    shell: Shell,
    few: FewSizes | None,
    found: Differences,
    keep_unless_saves_kg: float,
    told: Told,
) -> Planned:
    """The plan that follows, with few sizes of cable alone if there are any to keep to."""
    planning = _planning(within(project, few), shell, before.memory)
    try:
        state, cold, saves_kg = _states(before, planning, found, keep_unless_saves_kg, told)
    except RouterFaults as faults:
        raise from_bare_floor(faults, planning.project.vehicle.datum.up) from faults
    plan = noted(written(planning, state, before.alternative, bounded=False), few)
    return replace(
        before,
        project=project,
        plan=plan,
        finished=False,
        changed=run_changes(before.plan, plan),
        differences=found,
        cold=cold,
        saves_kg=saves_kg,
        planning=planning,
        state=state,
        few=few,
        earlier=_with(before),
    )


def finished(planned_: Planned, told: Told = untold) -> Planned:
    """A plan with the bound on its copper and what its audit found.

    Args:
        planned_: the plan in hand; returned as it is if it is finished already.
        told: how far it is; stopped by it, the plan in hand stays good.

    Raises:
        AuditError: it does not pass, which is a defect of this programme.
    """
    if planned_.finished:
        return planned_
    plan = written(planned_.planning, planned_.state, planned_.alternative, True, told)
    plan = noted(audited(plan, told), planned_.few)
    return replace(planned_, plan=plan, finished=True)


def _with(before: Planned) -> tuple[Planned, ...]:
    """The plans before the next one, each without those before itself."""
    return (*before.earlier, replace(before, earlier=()))[-EARLIER:]


def _back_to(known: Planned, before: Planned) -> Planned:
    """A plan made before, as what follows the plan in hand."""
    return replace(
        known,
        changed=run_changes(before.plan, known.plan),
        differences=differences(before.project, known.project),
        earlier=before.earlier if known is before else _with(before),
    )


def _planning(project: Project, shell: Shell, memory: Memory) -> Planning:
    surveyed = survey_of(project)
    try:
        return Planning(surveyed, shell, memory)
    except RouterFaults as faults:
        raise from_bare_floor(faults, surveyed.vehicle.datum.up) from faults


def _states(
    before: Planned, planning: Planning, found: Differences, keep_unless_saves_kg: float, told: Told
) -> tuple[State, str, float | None]:
    """The state that is taken, why nothing was held, and what planning all anew would save [kg]."""
    held, cold = (None, found.large) if found.large else _held(before, planning)
    if held is None:
        return planned(planning, told), cold, None
    if keep_unless_saves_kg == math.inf:
        return held, "", None
    free = planned(planning, told)
    saves_kg = cut_kg(planning, held) - cut_kg(planning, free)
    if saves_kg > keep_unless_saves_kg:
        return free, f"planning all routes anew saves {saves_kg:.3f} kg of copper", saves_kg
    return held, "", saves_kg


def _held(before: Planned, planning: Planning) -> tuple[State | None, str]:
    """A state that holds the routes of all runs that nothing touches; None and why if there is none."""
    begin: Carried = carried(before.planning, before.state, planning)
    if len(begin.loose) > MOST_LOOSE * len(planning.routed):
        return None, f"{len(begin.loose)} of {len(planning.routed)} runs are to be led anew"

    cords = frozenset(number for number, run in enumerate(planning.routed) if run.cable == DRAW_CORD)

    def route(index: Mapping[str, int], paths: Paths) -> Paths:
        return planning.negotiator.amend(planning.jobs(index), paths, begin.loose, cords).paths

    index = dict(begin.index)
    if index.keys() != planning.cables.keys():  # a new run, or one that may take other cables
        index = {**first_sizes(planning), **index}
    try:
        state = lowered(planning, grown(planning, index, begin.paths, route), planning.feeds)
        fresh = {planning.routed[number].circuit for number in begin.loose}
        feeds = [feed for feed in planning.feeds if feed.circuit.id in fresh]
        same = {
            run: said
            for run, said in before.state.led_round.items()
            if planning.by_id.get(run) == before.planning.by_id[run]
        }
        state = cooled(planning, still_round(planning, state, same), feeds, others_move=False)
    except (RouterFaults, AuditError):
        return None, "no sizes hold with the routes that were held"
    if not state.whole:
        return None, "a run has no route beside the routes that were held"
    return state, ""
