"""The ways of fuse boards: none taken twice, none too small, spare ones counted."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from ribway.models.plan.electric import PlanBoard
from ribway.models.plan.results import Finding
from ribway.router.audit.book import Book
from ribway.router.audit.currents import PLAY_A
from ribway.router.audit.feeders import passed_on
from ribway.router.audit.findings import error
from ribway.router.audit.fuses import MOST_OF_AMPACITY

CODE: Final = "board-ways"
BAR: Final = "board-amps"


def check_ways(book: Book) -> Iterator[Finding]:
    """Every board whose ways were stated."""
    told = {name for one in book.plan.findings if one.code == CODE for name in one.about.split(", ")}
    for board in book.plan.boards:
        yield from _ways(book, board, board.id in told)
        device = book.devices.get(board.id)
        if device is None or device.kind != "board":
            yield error("ways", board.id, "is no board of the plan")
            continue
        amps = passed_on(book, device, "dc").run
        if device.amps <= 0.0 and abs(amps - board.amps) > PLAY_A:
            yield error("board-load", board.id, f"said to carry {board.amps:g} A; its circuits draw {amps:g} A")
        if board.amps_total is not None and board.amps > board.amps_total * (1.0 + 1e-6) and board.id not in told:
            yield error("board-load", board.id, f"carries {board.amps:g} A, may carry {board.amps_total:g} A, untold")
        yield from _bar(book, board)


def _bar(book: Book, board: PlanBoard) -> Iterator[Finding]:
    """The bar behind the fuse before it: an error must say so where that lets more through."""
    fuses = [
        one.fuse_a or 0.0
        for one in book.plan.circuits
        if one.kind == "dc" and board.id in one.loads and book.whole(one)
    ]
    most = MOST_OF_AMPACITY.get(book.plan.rules.fuse_rule, 1.0)
    told = any(one.code == BAR and one.level == "error" and one.about == board.id for one in book.plan.findings)
    if board.amps_total is not None and fuses and max(fuses) > most * board.amps_total * (1.0 + 1e-6) and not told:
        yield error(
            "bar-untold", board.id, f"{max(fuses):g} A before a bar of {board.amps_total:g} A, and no error says so"
        )


def _ways(book: Book, board: PlanBoard, told: bool) -> Iterator[Finding]:
    taken = [one.way for one in board.circuits]
    fused = [
        one.id for one in book.plan.circuits if one.source == board.id and one.kind == "dc" and one.fuse_a is not None
    ]
    wrong = ""
    if len(set(taken)) < len(taken) or any(not 1 <= way <= board.ways for way in taken):
        wrong = f"has ways 1 to {board.ways}; its circuits sit in {', '.join(map(str, sorted(taken)))}"
    elif (board.used, board.spare) != (len(taken), board.ways - len(taken)):
        wrong = f"says {board.used} ways used and {board.spare} spare; {len(taken)} of {board.ways} are used"
    elif not told and sorted(one.circuit for one in board.circuits) != sorted(fused):
        wrong = f"gives ways to {len(taken)} circuits and feeds {len(fused)} with a fuse, and no finding says so"
    if wrong:
        yield error("ways", board.id, wrong)
    for one in board.circuits:
        fuse = book.circuits[one.circuit].fuse_a if one.circuit in book.circuits else None
        if fuse is not None and fuse > board.amps_per_way * (1.0 + 1e-9):
            yield error("way-amps", one.circuit, f"{fuse:g} A in a way of {board.id} for {board.amps_per_way:g} A")
