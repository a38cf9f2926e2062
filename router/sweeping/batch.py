"""One batch of a sweep, planned where it was sent: some projects one after the other, with one memory."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from ribway.models.plan.plan import Plan
from ribway.models.project import Project
from ribway.router.errors import AuditError, RouterError
from ribway.router.faults import RouterFaults
from ribway.router.memory import Memory
from ribway.router.planner import plan_project


@dataclass(frozen=True)
class Task:
    """A project to be planned; it can be pickled.

    Args:
        project: what the user said.
        folder: where its file lies; a mesh is read from there, so on a cluster it is there for every worker.
        alternative: name of the alternative that ``project`` is; empty for the base.
    """

    project: Project
    folder: Path
    alternative: str = ""


@dataclass(frozen=True)
class Told:
    """A fault of a project, as data: see `ribway.router.errors.RouterError`."""

    place: str
    found: str
    accepted: str


@dataclass(frozen=True)
class Swept:
    """What became of a task.

    Args:
        plan: the plan; None if there is none.
        faults: why not, if the project has faults.
        defect: why not, if that is a defect of this programme or of the machine that planned; empty if it is not.
        stopped: it was not planned because the sweep was stopped.
    """

    plan: Plan | None = None
    faults: tuple[Told, ...] = ()
    defect: str = ""
    stopped: bool = False

    def result(self) -> Plan:
        """The plan.

        Raises:
            RouterFaults: the project's faults.
            AuditError: a defect, or the sweep was stopped.
        """
        if self.plan is not None:
            return self.plan
        if self.faults:
            raise RouterFaults(tuple(RouterError(one.place, one.found, one.accepted) for one in self.faults))
        raise AuditError("the sweep was stopped before this project was planned" if self.stopped else self.defect)


def plan_batch(tasks: Sequence[Task]) -> list[Swept]:
    """Plan some projects one after the other; what they have in common is made once.

    Args:
        tasks: the projects.

    Returns:
        What became of each.
    """
    memory = Memory()
    return [plan_task(task, memory) for task in tasks]


def plan_task(task: Task, memory: Memory) -> Swept:
    """Plan one project.

    Args:
        task: the project.
        memory: what was made for those before.
    """
    memory.turn()
    try:
        return Swept(plan_project(task.project, task.folder, task.alternative, memory))
    except RouterFaults as faults:
        return Swept(faults=tuple(Told(one.place, one.found, one.accepted) for one in faults.faults))
    except RouterError as fault:
        return Swept(faults=(Told(fault.place, fault.found, fault.accepted),))
    except AuditError as error:
        return Swept(defect=str(error))
