"""The process that plans: what is newer goes before what is under way, and who waits is told how far it is."""

from __future__ import annotations

import json
import multiprocessing
import pickle
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

import pytest
import yaml

from ribway.live import child
from ribway.live.desk import Desk
from samples.live import SMALL

WAIT_S = 180.0


def with_fridge_at(back: str) -> dict[str, Any]:
    data: dict[str, Any] = yaml.safe_load(SMALL)
    data["devices"][2]["at"]["back"] = back
    return data


@contextmanager
def planner() -> Iterator[Connection]:
    """A planner in a thread of this process, which ends when the pipe does."""
    ours, theirs = multiprocessing.Pipe()
    thread = threading.Thread(target=child.planning, args=(theirs, Path(), ""), daemon=True)
    thread.start()
    try:
        yield ours
    finally:
        ours.close()
        thread.join(WAIT_S)
    assert not thread.is_alive()


def heard(pipe: Connection, kind: str) -> list[tuple[str, int, Any]]:
    """All answers up to one of a kind."""
    found: list[tuple[str, int, Any]] = []
    while not found or found[-1][0] != kind:
        assert pipe.poll(WAIT_S), found
        found.append(pipe.recv())
    return found


def plans(answers: list[tuple[str, int, Any]]) -> list[tuple[int, bool]]:
    """Of each plan: which request it answers, and whether its bound is there."""
    return [(number, bool(json.loads(what)["bound"])) for kind, number, what in answers if kind == "plan"]


@pytest.fixture(autouse=True)
def _signals_stay(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("ribway.live.child.signal.signal", lambda *_: None)  # which only a main thread may set


def test_a_plan_is_sent_before_its_bound_and_again_with_it() -> None:
    with planner() as pipe:
        pipe.send(("plan", 1, (1, with_fridge_at("2.05 m"))))
        assert plans(heard(pipe, "done")) == [(1, False), (1, True)]


def test_a_move_breaks_off_the_bound_of_the_plan_before_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(child, "PAUSE_S", 0.0)  # so that the bound is begun when the move comes
    began = threading.Event()
    go_on = threading.Event()

    class Watched(Desk):
        """Waits within the first bound until the move was sent."""

        def newer(self) -> bool:
            if threading.current_thread() is not threading.main_thread() and sent and not began.is_set():
                began.set()
                go_on.wait(WAIT_S)
            return super().newer()

    sent: list[int] = []
    monkeypatch.setattr(child, "Desk", Watched)
    with planner() as pipe:
        pipe.send(("plan", 1, (1, with_fridge_at("2.05 m"))))
        first = heard(pipe, "plan")
        sent.append(1)
        assert began.wait(WAIT_S)
        pipe.send(("plan", 2, (2, with_fridge_at("2.40 m"))))
        go_on.set()
        rest = heard(pipe, "done")
    assert plans(first) == [(1, False)]
    assert plans(rest) == [(2, False), (2, True)]
    assert [number for kind, number, _ in rest if kind == "done"] == [2]


def test_shares_are_counted_and_never_go_back(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(child, "TOLD_EVERY_S", 0.0)
    with planner() as pipe:
        pipe.send(("plan", 1, (1, with_fridge_at("2.05 m"))))
        answers = heard(pipe, "done")
    first = next(i for i, (kind, _, _) in enumerate(answers) if kind == "plan")
    for part in (answers[:first], answers[first:]):
        shares = [what[1] for kind, _, what in part if kind == "phase"]
        assert len(shares) > 5
        assert shares == sorted(shares)
        assert 0.0 <= shares[0] <= shares[-1] <= 1.0
        assert shares[-1] > 0.7
    words = [what[0] for kind, _, what in answers if kind == "phase"]
    assert "planning: routes and sizes, 0 of 4" in words  # main, fridge, and a draw cord beside each
    assert any(one.startswith("checking the plan, ") for one in words)


def test_of_requests_to_plan_the_last_one_is_taken_and_a_copy_waits_for_it() -> None:
    ours, theirs = multiprocessing.Pipe()
    desk = Desk(theirs)
    assert desk.quiet(0.0)
    for number, kind in enumerate(("plan", "copy", "plan", "numbers", "plan")):
        ours.send((kind, number, None))
    assert not desk.quiet(0.0)
    assert [desk.next()[:2] for _ in range(3)] == [("numbers", 3), ("plan", 4), ("copy", 1)]
    assert not desk.newer()
    assert desk.quiet(0.0)
    ours.send(("plan", 5, None))
    assert desk.newer()
    assert desk.next()[:2] == ("plan", 5)
    ours.close()
    with pytest.raises(EOFError):
        desk.next()


def test_papers_are_of_a_plan_that_is_done_and_of_what_stands_now(monkeypatch: pytest.MonkeyPatch) -> None:
    """A copy that is asked for between two plans would be of one that a newer one broke off: no bound, no audit."""
    monkeypatch.setattr(child, "PAUSE_S", 0.0)
    with planner() as pipe:
        pipe.send(("plan", 1, (1, with_fridge_at("2.05 m"))))
        heard(pipe, "plan")
        pipe.send(("copy", 2, None))
        pipe.send(("plan", 3, (2, with_fridge_at("2.40 m"))))
        answers = heard(pipe, "copy")
        plan = pickle.loads(answers[-1][2])
        assert answers[-1][1] == 2
        assert plan.bound is not None
        assert next(one for one in plan.devices if one.id == "fridge").back_m == pytest.approx(2.40)
        # what cannot be planned has no papers, though there is a plan of what stood there before
        pipe.send(("plan", 4, (3, with_fridge_at("90 m"))))
        pipe.send(("copy", 5, None))
        assert heard(pipe, "refused")[-1] == ("refused", 5, child.NO_PLAN)
        pipe.send(("plan", 6, (4, with_fridge_at("2.40 m"))))
        pipe.send(("copy", 7, None))
        assert heard(pipe, "copy")[-1][1] == 7
