"""Who is at work, and whose answers count: one that was on its way when its sender was stopped, or overtaken, is of no use."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from ribway.live import crew as crews
from ribway.live.child import Answer
from ribway.live.crew import DRAFT, PAPERS, PLAN, Crew
from samples.live import run_alone


class Hand:
    """Stands in for a process: what it is asked for is written down, and its answers are given by the test."""

    hired: list[Hand]

    def __init__(self, work: Callable[..., None], given: tuple[object, ...], hear: Callable[[Answer], None]) -> None:
        self.asked: list[tuple[str, int, Any]] = []
        self.stopped = False
        self.hear = hear
        Hand.hired.append(self)

    def ask(self, kind: str, number: int, what: object) -> None:
        self.asked.append((kind, number, what))

    def stop(self) -> None:
        self.stopped = True


@pytest.fixture
def hired(monkeypatch: pytest.MonkeyPatch) -> list[Hand]:
    """All hands, in the order they were hired."""
    Hand.hired = []
    monkeypatch.setattr(crews, "Child", Hand)
    return Hand.hired


async def told(hand: Hand, *answers: Answer) -> None:
    """Answers, heard by the loop as those of a process are."""
    for one in answers:
        hand.hear(one)
    await asyncio.sleep(0)


def crew_in(folder: Path) -> Crew:
    found = Crew(folder, lambda: None)
    found.begin()
    return found


def works(crew: Crew) -> list[str]:
    return [one["what"] for one in crew.busy()]


def test_an_answer_of_who_was_stopped_does_not_end_what_was_begun_since(hired: list[Hand], tmp_path: Path) -> None:
    async def sitting() -> None:
        crew = crew_in(tmp_path)
        crew.plan(PLAN, {}, 1)
        first = hired[0]
        number = first.asked[-1][1]
        first.hear(("done", number, None))  # on its way
        crew.stop(PLAN)
        assert first.stopped
        assert crew.halted(PLAN)
        crew.plan(PLAN, {}, 1)
        await told(first, ("plan", number, b"stale"), ("ended", 0, None))
        assert (works(crew), crew.number(PLAN), crew.said) == ([PLAN], 0, "")
        second = hired[1]
        await told(second, ("plan", second.asked[-1][1], b"new"), ("done", second.asked[-1][1], None))
        assert (works(crew), crew.plans[PLAN]) == ([], (1, b"new"))
        assert not crew.halted(PLAN)

    run_alone(sitting)


def test_a_plan_that_is_done_does_not_end_the_one_that_was_asked_for_meanwhile(
    hired: list[Hand], tmp_path: Path
) -> None:
    """The same revision may be planned twice: when the equipment sheet was changed by somebody else."""

    async def sitting() -> None:
        crew = crew_in(tmp_path)
        crew.plan(PLAN, {}, 1)
        crew.plan(PLAN, {}, 1)
        (hand,) = hired
        (_, one, _), (_, two, _) = hand.asked
        await told(hand, ("phase", one, ("half", 0.5)), ("plan", one, b"first"), ("done", one, None))
        assert works(crew) == [PLAN]
        assert crew.busy()[0]["done"] is None  # what was counted was the one before
        assert crew.plans[PLAN] == (1, b"first")
        await told(hand, ("phase", two, ("half", 0.5)))
        assert crew.busy()[0]["done"] == 0.5
        await told(hand, ("done", two, None))
        assert works(crew) == []

    run_alone(sitting)


def test_what_is_written_or_refused_is_said_though_its_process_ends_at_once(hired: list[Hand], tmp_path: Path) -> None:
    async def sitting() -> None:
        crew = crew_in(tmp_path)
        crew.draft("van.glb")
        await told(hired[0], ("refused", hired[0].asked[-1][1], "no metal in it"), ("ended", 0, None))
        assert (crew.said, works(crew)) == ("no metal in it", [])

        crew.plan(PLAN, {}, 1)
        planner = hired[1]
        await told(planner, ("done", planner.asked[-1][1], None))
        crew.write(PLAN, pictures=False)
        copy = planner.asked[-1][1]
        await told(planner, ("copy", copy, b"plan"))
        writer = hired[2]
        await told(writer, ("refused", copy, "the folder is somebody else's"), ("ended", 0, None))
        assert (crew.said, works(crew)) == ("the folder is somebody else's", [])
        crew.write(PLAN, pictures=False)
        await told(planner, ("refused", copy, "as it stood then"))  # an answer to the first
        assert works(crew) == [PAPERS]

    run_alone(sitting)


def test_papers_do_not_wait_for_a_planner_that_has_ended(hired: list[Hand], tmp_path: Path) -> None:
    async def sitting() -> None:
        crew = crew_in(tmp_path)
        crew.plan(PLAN, {}, 1)
        crew.write(PLAN, pictures=False)
        assert works(crew) == [PLAN, PAPERS]
        await told(hired[0], ("ended", 0, None))
        assert works(crew) == []
        assert "has ended by itself" in crew.said
        assert crew.halted(PLAN)
        crew.plan(PLAN, {}, 1)
        assert len(hired) == 2

    run_alone(sitting)


@pytest.mark.parametrize("work", [PAPERS, DRAFT])
def test_what_was_half_written_goes_with_who_is_stopped(hired: list[Hand], tmp_path: Path, work: str) -> None:
    async def sitting() -> None:
        crew = crew_in(tmp_path)
        if work == DRAFT:
            crew.draft("van.glb")
            writer, number = hired[0], hired[0].asked[-1][1]
        else:
            crew.plan(PLAN, {}, 1)
            crew.write(PLAN, pictures=True)
            number = hired[0].asked[-1][1]
            await told(hired[0], ("copy", number, b"plan"))
            writer = hired[1]
        heard, on_its_way = tmp_path / ".papers.one", tmp_path / ".papers.two"
        for folder in (heard, on_its_way):
            folder.mkdir()
            (folder / "plan.json").write_text("{", encoding="utf-8")
        await told(writer, ("begun", number, str(heard)))
        writer.hear(("begun", number, str(on_its_way)))
        crew.stop(work)
        await asyncio.sleep(0)
        assert list(tmp_path.iterdir()) == []

    run_alone(sitting)


def test_another_way_of_the_same_name_begins_with_nothing(hired: list[Hand], tmp_path: Path) -> None:
    async def sitting() -> None:
        crew = crew_in(tmp_path)
        other = crews.work_of("twin")
        for work in (PLAN, other):
            crew.plan(work, {}, 1)
            await told(hired[-1], ("faults", 1, [f"of {work}"]), ("plan", 1, work.encode()))
        crew.keep([PLAN])
        assert (set(crew.plans), set(crew.faults)) == ({PLAN}, {PLAN})
        assert [hand.stopped for hand in hired] == [False, True]
        assert works(crew) == [PLAN]

    run_alone(sitting)
