"""The server while several things happen at once: files on disk, edits, saving; nobody plans here."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Callable, Coroutine
from pathlib import Path
from typing import Any

import pytest

from ribway.live import hub as hubs
from ribway.live import on_disk
from ribway.live.audience import Audience
from ribway.live.child import Child
from ribway.live.hub import Hub
from samples.live import LONGEST_MS, deaf, run_alone

WAIT_S = LONGEST_MS / 1000
SHEET = "Name,Kind,Place\nBattery,house battery,left 0.6 m back 0.3 m up\nBoard,fuse board,left 0.7 m back 0.8 m up\n"


class Door:
    """Holds a thread that comes to it until it is opened."""

    def __init__(self) -> None:
        self.reached = threading.Event()
        self._open = threading.Event()

    def pass_through(self) -> None:
        self.reached.set()
        assert self._open.wait(WAIT_S)

    def open(self) -> None:
        self._open.set()


def opened(file: Path) -> tuple[Hub, list[tuple[int, dict[str, Any]]]]:
    """A hub, and what is asked to be planned of it: revision and data."""
    hub = Hub(file)
    hub.read()
    asked: list[tuple[int, dict[str, Any]]] = []
    hub.crew.plan = lambda work, raw, revision: asked.append((revision, raw))  # type: ignore[method-assign]
    return hub, asked


async def at(door: Door, doing: Coroutine[Any, Any, Any]) -> asyncio.Task[Any]:
    """Something that was begun and stands at the door."""
    task = asyncio.create_task(doing)
    assert await asyncio.to_thread(door.reached.wait, WAIT_S)
    return task


async def a_while() -> None:
    """All that can go on goes on."""
    for _ in range(50):
        await asyncio.sleep(0)


def after(act: Callable[..., Any], door: Door) -> Callable[..., Any]:
    """An act, held before it gives back what it did."""

    def held(*given: Any) -> Any:
        found = act(*given)
        door.pass_through()
        return found

    return held


def test_a_sheet_that_somebody_writes_in_the_middle_of_an_edit_does_not_undo_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file, sheet = tmp_path / "project.yaml", tmp_path / "equipment.csv"
    file.write_text(
        "ribway: 1\nname: van\nvehicle: {preset: medium-high}\nequipment: equipment.csv\n", encoding="utf-8"
    )
    sheet.write_text(SHEET, encoding="utf-8")
    door = Door()
    monkeypatch.setattr(hubs, "edited", after(hubs.edited, door))

    async def sitting() -> None:
        hub, asked = opened(file)
        await hub.begin()
        sheet.write_text(SHEET + "Fridge,fridge,right 2 m back 0.6 m up\n", encoding="utf-8")
        edit = await at(door, hub.edit(1, {"do": "value", "names": ["name"], "value": "other"}))
        look = asyncio.create_task(hub.look())
        await a_while()
        assert [revision for revision, _ in asked] == [1, 2]
        door.open()
        await edit
        await look
        assert [(revision, raw["name"]) for revision, raw in asked] == [(1, "van"), (2, "other"), (2, "other")]

    run_alone(sitting)


def test_a_sheet_that_is_written_right_after_the_first_plan_is_noticed(tmp_path: Path) -> None:
    file, sheet = tmp_path / "project.yaml", tmp_path / "equipment.csv"
    file.write_text(
        "ribway: 1\nname: van\nvehicle: {preset: medium-high}\nequipment: equipment.csv\n", encoding="utf-8"
    )
    sheet.write_text(SHEET, encoding="utf-8")

    async def sitting() -> None:
        hub, asked = opened(file)
        await hub.begin()
        sheet.write_text(SHEET + "Fridge,fridge,right 2 m back 0.6 m up\n", encoding="utf-8")
        await hub.look()
        assert len(asked) == 2

    run_alone(sitting)


def test_what_is_being_saved_was_not_changed_by_somebody_else(project: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    door = Door()
    monkeypatch.setattr(on_disk, "save", after(on_disk.save, door))

    async def sitting() -> None:
        hub, _ = opened(project)
        state = await hub.edit(1, {"do": "value", "names": ["name"], "value": "other"})
        listener = hub.listen()
        save = await at(door, hub.save(state["revision"]))
        assert "name: other" in project.read_text(encoding="utf-8")  # it is there, and the server does not know yet
        look = asyncio.create_task(hub.look())
        await a_while()
        door.open()
        await save
        await look
        assert hub.state()["disk"] == ""
        assert '"disk": ""' in str(listener.get_nowait())

    run_alone(sitting)


def test_a_server_killed_after_it_saved_has_nothing_unsaved(project: Path) -> None:
    async def sitting() -> None:
        hub, _ = opened(project)
        state = await hub.edit(1, {"do": "value", "names": ["name"], "value": "other"})
        journal = hub._journal.path.read_bytes()
        await hub.save(state["revision"])
        hub._journal.path.write_bytes(journal)  # as it is between the two
        again, _ = opened(project)
        assert (again.state()["unsaved"], again.state()["disk"], again.state()["said"]) == (False, "", "")
        assert not again._journal.path.exists()

    run_alone(sitting)


def test_who_is_slow_hears_how_things_stand_and_that_all_is_over() -> None:
    async def sitting() -> None:
        audience = Audience()
        slow = audience.join("first")
        for word in ("second", "third"):
            audience.tell(word)
        assert (slow.get_nowait(), slow.empty()) == ("third", True)
        audience.tell("fourth")
        audience.end()
        audience.tell("fifth")
        assert (slow.get_nowait(), slow.empty()) == (None, True)

    run_alone(sitting)


def test_a_process_that_does_not_look_up_keeps_nobody_waiting() -> None:
    """A pipe holds about 200 kB; what is asked for beyond that must not hold the server up."""
    heard: list[object] = []
    child = Child(deaf, (), heard.append)

    def ask() -> None:
        for number in range(3):
            child.ask("plan", number, "x" * 1_000_000)

    asking = threading.Thread(target=ask, daemon=True)
    asking.start()
    asking.join(WAIT_S / 6)
    child.stop()
    assert not asking.is_alive()
    assert heard == []


def test_a_plan_that_was_stopped_is_told_until_it_is_made(project: Path) -> None:
    async def sitting() -> None:
        hub = Hub(project)
        hub.read()
        hub.crew.begin()
        try:
            assert (await hub.plan_again())["halted"] is False
            state = await hub.stop("plan")
            assert (state["halted"], state["busy"]) == (True, [])
            # whatever is done next: that the plan is not of what stands here is still told
            state = await hub.keep_copy()
            assert state["halted"]
            state = await hub.write_papers(pictures=False)  # they need it: it is planned
            assert (state["halted"], [one["what"] for one in state["busy"]]) == (False, ["plan", "papers"])
        finally:
            hub.end()

    run_alone(sitting)
