"""A sweep: many alternatives or vehicles planned through one function over a standard executor.

Any `concurrent.futures.Executor` does: none at all (this process, one after the other), `local_processes`, or a cluster's,
``dask.distributed.Client(...).get_executor()``. The work is the same and so are the plans.
"""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor, Future, ProcessPoolExecutor, wait

from ribway.router.memory import Memory
from ribway.router.sweeping.batch import Swept, Task, plan_batch, plan_task

LOOK_S = 0.1
"""How often it is looked whether the sweep was stopped [s]."""


def never() -> bool:
    """A sweep that nobody stops."""
    return False


def local_processes(count: int | None = None) -> ProcessPoolExecutor:
    """Processes of this machine, begun afresh (``spawn``) so that no lock or window of this one is copied into them.

    Args:
        count: how many; one for each core if not said.
    """
    return ProcessPoolExecutor(count or os.cpu_count(), mp_context=multiprocessing.get_context("spawn"))


def sweep(
    tasks: Sequence[Task], executor: Executor | None = None, batch: int = 1, stopped: Callable[[], bool] = never
) -> Iterator[Swept]:
    """Plan many projects.

    Args:
        tasks: the projects.
        executor: where to plan; this process, one after the other, if None. It stays open.
        batch: so many neighbouring tasks are sent together and share what they have in common.
        stopped: asked now and then; once it says so, what has not begun is not planned any more.

    Yields:
        What became of each task, in their order, as soon as it and those before are done. A project that fails gives its
        words; the others go on. Leaving the loop early cancels what has not begun.
    """
    if executor is None:
        yield from _here(tasks, stopped)
        return
    batches = [tasks[first : first + batch] for first in range(0, len(tasks), batch)]
    futures = [executor.submit(plan_batch, one) for one in batches]
    try:
        for own, future in zip(batches, futures, strict=True):
            yield from _waited(own, future, futures, stopped)
    finally:
        for future in futures:
            future.cancel()


def _here(tasks: Sequence[Task], stopped: Callable[[], bool]) -> Iterator[Swept]:
    memory = Memory()
    for task in tasks:
        yield Swept(stopped=True) if stopped() else plan_task(task, memory)


def _waited(
    tasks: Sequence[Task], future: Future[list[Swept]], all_: Sequence[Future[list[Swept]]], stopped: Callable[[], bool]
) -> Sequence[Swept]:
    """What became of a batch; waits for it."""
    while not future.done():
        if stopped():
            for one in all_:
                one.cancel()
        if not future.cancelled():
            wait([future], LOOK_S)
    if future.cancelled():
        return [Swept(stopped=True)] * len(tasks)
    error = future.exception()
    if error is not None:  # the machine that planned it broke down, or what was sent could not be
        return [Swept(defect=f"{type(error).__name__}: {error}")] * len(tasks)
    return future.result()
