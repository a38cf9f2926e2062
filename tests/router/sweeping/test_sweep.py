"""Sweeps: the same plans over every executor, in the order of the input, and one bad project spoils no other."""

from __future__ import annotations

import copy
import threading
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor, Future
from pathlib import Path
from typing import Any

import pytest
from distributed import Client, LocalCluster

from ribway.models.plan.plan import Plan
from ribway.models.reading import check_data
from ribway.router.faults import RouterFaults
from ribway.router.planner import plan_project
from ribway.router.sweeping.batch import Swept, Task
from ribway.router.sweeping.sweep import local_processes, sweep
from samples.small_lab import SMALL

HERE = Path()


def lab(**fridge: str) -> Task:
    data = copy.deepcopy(SMALL)
    device = next(one for one in data["devices"] if one["id"] == "fridge")
    device["at"] = {**device["at"], **fridge}
    return Task(check_data(data).base, HERE, ",".join(fridge.values()))


@pytest.fixture(scope="module")
def tasks() -> list[Task]:
    return [lab(), lab(up="0.45 m"), lab(back="40 m"), lab(up="0.55 m")]


@pytest.fixture(scope="module")
def alone(tasks: list[Task]) -> list[Plan | None]:
    """Each planned by itself, nothing shared; the third stands outside the van."""
    return [plan_project(t.project, t.folder, t.alternative) if n != 2 else None for n, t in enumerate(tasks)]


def held(found: Sequence[Swept], alone: Sequence[Plan | None]) -> None:
    assert [one.plan for one in found] == list(alone)
    assert [len(one.faults) > 0 for one in found] == [plan is None for plan in alone]
    assert not any(one.defect or one.stopped for one in found)
    with pytest.raises(RouterFaults, match="devices / fridge / at"):
        found[2].result()


def test_in_this_process(tasks: list[Task], alone: list[Plan | None]) -> None:
    held(list(sweep(tasks)), alone)


@pytest.mark.parametrize("batch", [1, 3])
def test_in_local_processes(tasks: list[Task], alone: list[Plan | None], batch: int) -> None:
    with local_processes(2) as pool:
        held(list(sweep(tasks, pool, batch)), alone)


@pytest.fixture
def cluster() -> Iterator[Executor]:
    made = LocalCluster(n_workers=1, threads_per_worker=1, processes=True, dashboard_address=None)
    with made, Client(made) as client:
        yield client.get_executor()


def test_on_a_cluster(cluster: Executor, tasks: list[Task], alone: list[Plan | None]) -> None:
    held(list(sweep(tasks, cluster, 2)), alone)


class ByHand(Executor):
    """An executor whose work is begun by the test."""

    def __init__(self) -> None:
        self.sent: list[tuple[Future[Any], Callable[..., Any], tuple[Any, ...]]] = []

    def submit(self, fn: Callable[..., Any], /, *args: Any, **more: Any) -> Future[Any]:
        future: Future[Any] = Future()
        self.sent.append((future, fn, args))
        return future

    def begin(self, number: int) -> None:
        future, fn, args = self.sent[number]
        assert future.set_running_or_notify_cancel()
        future.set_result(fn(*args))


def test_a_stopped_sweep_keeps_what_is_done(tasks: list[Task], alone: list[Plan | None]) -> None:
    stop, hands = threading.Event(), ByHand()
    results = sweep(tasks, hands, stopped=stop.is_set)
    began = threading.Timer(0.05, lambda: (hands.begin(0), stop.set()))
    began.start()
    found = list(results)
    began.join()
    assert found[0].plan == alone[0]
    assert [one.stopped for one in found] == [False, True, True, True]
    assert all(future.cancelled() for future, *_ in hands.sent[1:])
    here = list(sweep(tasks, stopped=lambda: True))
    assert [one.stopped for one in here] == [True] * 4


def test_leaving_early_cancels_the_rest(tasks: list[Task]) -> None:
    hands = ByHand()
    results = sweep(tasks, hands)
    began = threading.Timer(0.05, lambda: hands.begin(0))
    began.start()
    next(results)
    began.join()
    results.close()  # type: ignore[attr-defined]
    assert [future.cancelled() for future, *_ in hands.sent] == [False, True, True, True]


def test_a_machine_that_breaks_down_gives_its_words(tasks: list[Task]) -> None:
    hands = ByHand()
    results = sweep(tasks[:2], hands, batch=2)
    began = threading.Timer(0.05, lambda: hands.sent[0][0].set_exception(OSError("the worker is gone")))
    began.start()
    found = list(results)
    began.join()
    assert [one.defect for one in found] == ["OSError: the worker is gone"] * 2
