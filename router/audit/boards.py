"""Mounting boards: cables between things on one board lie on it, and lugs fit conductors and studs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from ribway.models.plan.results import Finding, PlanDevice, PlanRun
from ribway.router.audit.book import Book
from ribway.router.audit.findings import error
from ribway.router.audit.polylines import as_line, distance

PLAY_M: Final = 0.0005
THICK_MM2: Final = 16.0


def check_boards(book: Book) -> Iterator[Finding]:
    """Places on boards, runs across them, and lugs."""
    for device in book.plan.devices:
        if device.on:
            yield from _place(book, device)
    for run in book.plan.runs:
        yield from _run(book, run)
        yield from _lugs(book, run)


def _place(book: Book, device: PlanDevice) -> Iterator[Finding]:
    board = book.devices.get(device.on)
    if board is None or board.kind != "mounting board":
        yield error("board", device.id, f"is fixed on {device.on}, which is no mounting board")
        return
    out = distance(device.point, board.point)
    if abs(out - float(np.hypot(device.across_m, device.board_up_m))) > PLAY_M:
        yield error("board-place", device.id, f"is {out:.4f} m from the corner of {board.id}: across and up say other")
    if not (0.0 <= device.across_m <= board.width_m and 0.0 <= device.board_up_m <= board.height_m):
        yield error(
            "board-place", device.id,
            f"across {device.across_m:g} m, up {device.board_up_m:g} m lies beyond {board.id}, "
            f"{board.width_m:g} x {board.height_m:g} m",
        )  # fmt: skip


def _run(book: Book, run: PlanRun) -> Iterator[Finding]:
    a, b = book.devices[run.from_], book.devices[run.to]
    shared = a.on if a.on and a.on == b.on and run.measured == "computed" else ""
    lies = tuple(leg.name for leg in run.legs if leg.kind == "board")
    if lies != ((shared,) if shared else ()) or (shared and len(run.legs) != 1):
        yield error(
            "on-board", run.id, f"both ends on {shared or 'no board'}, and it lies on {', '.join(lies) or 'none'}"
        )
        return
    if not shared:
        return
    square = abs(a.across_m - b.across_m) + abs(a.board_up_m - b.board_up_m)
    if run.sharp_m < square - PLAY_M:
        yield error("board-length", run.id, f"sharp {run.sharp_m:.4f} m; square across {shared} it is {square:.4f} m")
    corner = book.devices[shared].point
    aside = [np.asarray(one.point) - np.asarray(corner) for one in (a, b)]
    normal = np.cross(*aside)
    size = float(np.linalg.norm(normal))
    if size > 1e-6:
        off = np.abs((as_line(run.legs[0].points) - np.asarray(corner)) @ (normal / size))
        if float(off.max()) > 10.0 * PLAY_M:
            yield error("off-board", run.id, f"its line leaves the board {shared} by {1000 * float(off.max()):.1f} mm")
    least = book.plan.rules.terminal_m
    if min(run.tail_a_m, run.tail_b_m) < least - PLAY_M:
        yield error("terminal", run.id, f"ends of {run.tail_a_m:g} and {run.tail_b_m:g} m; terminals take {least:g} m")
    if run.kind == "dc" and run.conductor_area_mm2 >= THICK_MM2 and book.cable_of(run).cores != 1:
        yield error("board-singles", run.id, "from 16 mm2 up a cable on a board is single cores, each with its lugs")


def _lugs(book: Book, run: PlanRun) -> Iterator[Finding]:
    carries = run.kind != "data" and run.purpose != "spare"
    used = sum(one != "spare" for one in run.wire_functions)
    needs = set()
    for end in (run.from_, run.to) if carries else ():
        device, thick = book.devices[end], run.conductor_area_mm2 >= THICK_MM2
        other = device.takes and (not device.stud or end == run.from_)  # of a board with both, the stud is its feed's
        if not other and (thick or device.stud):
            needs.add((end, run.size_name, device.stud, used))
    said = [(lug.at, lug.size, lug.stud, lug.count) for lug in run.lugs]
    if set(said) != needs or len(said) != len(needs):
        yield error("lugs", run.id, f"has lugs {_words(said)}; conductors and studs ask for {_words(sorted(needs))}")


def _words(lugs: list[tuple[str, str, str, int]]) -> str:
    return ", ".join(f"{count} of {size} x {stud or '?'} at {at}" for at, size, stud, count in lugs) or "none"
