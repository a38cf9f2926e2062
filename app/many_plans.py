"""Several projects planned at once: in this process, or in several where that is quicker."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from ribway.models.project import Project

if TYPE_CHECKING:
    from ribway.router.sweeping.batch import Swept

LEAST_TASKS = 8
"""From so many on two processes take three quarters of the time of one: each loads the libraries first; see docs/figures.md."""


def planned_all(projects: Mapping[str, Project], folder: Path) -> Iterator[tuple[str, Swept]]:
    """Plan projects that have much in common, such as the alternatives of one van.

    Args:
        projects: by name of the alternative; empty for the base.
        folder: where the project file lies.

    Yields:
        The name and what became of it, in order.
    """
    # The planner brings the numerical libraries along: loaded when there is something to plan.
    from ribway.router.sweeping.batch import Task
    from ribway.router.sweeping.sweep import local_processes, sweep

    tasks = [Task(project, folder, name) for name, project in projects.items()]
    count = process_count(
        len(tasks), len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count()
    )
    if count < 2:
        yield from zip(projects, sweep(tasks), strict=True)
        return
    with local_processes(count) as pool:
        yield from zip(projects, sweep(tasks, pool, batch=-(-len(tasks) // count)), strict=True)


def process_count(tasks: int, cores: int | None) -> int:
    """How many processes plan so many projects soonest; 1 for none beside this one.

    Neighbouring projects share what they have in common, so that the second one takes half as long as the first: a
    process is worth its start only for two of them or more.

    Args:
        tasks: projects.
        cores: of this machine; None if nobody knows.
    """
    return 1 if tasks < LEAST_TASKS else max(1, min(cores or 1, tasks // 2))
