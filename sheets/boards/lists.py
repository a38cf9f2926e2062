"""What stands beside a loom's drawing: its ends by number, and its parts with what leaves and joins."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from ribway.models.plan.looms import PlanLoom
from ribway.models.plan.plan import Plan
from ribway.models.printed import Units, length
from ribway.sheets.boards.drawing import draw_board
from ribway.sheets.boards.unfold import Board, unfold
from ribway.sheets.csv_file import Value
from ribway.sheets.drawing.scale import Flat
from ribway.sheets.looms_list import leave_and_join, part_begins, part_ends_m
from ribway.sheets.paper.record import Field, Record, Section, Values, tick
from ribway.sheets.words import NOTHING, bare_thick, joined, place, size_unit

_SAME_M = 1e-6
_TYPE_PT = 10.0


@dataclass(frozen=True)
class EndMark:
    """An end of a bundle on the board.

    Attributes:
        number: in the drawing and in the list, from 1, from left to right.
        spot: on the board [m].
        name: what is there.
        lines: what to leave, run by run.
        left: whether words stand left of it.
    """

    number: int
    spot: Flat
    name: str
    lines: tuple[str, ...]
    left: bool


def end_marks(plan: Plan, board: Board) -> tuple[EndMark, ...]:
    """The ends of a board, numbered.

    Args:
        plan: the plan.
        board: the loom laid flat.
    """
    words = [one for one in draw_board(plan, board).words if one.kind == "end"]
    ordered = sorted(words, key=lambda one: (round(one.spot[0], 6), -one.spot[1], one.lines))
    return tuple(
        EndMark(number, one.spot, one.lines[0], one.lines[1:], one.side == "left")
        for number, one in enumerate(ordered, start=1)
    )


def board_records(plan: Plan, loom: PlanLoom) -> tuple[Record, ...]:
    """The lists of a loom's board.

    Args:
        plan: the plan.
        loom: of more than one run.

    Returns:
        Its ends, and its parts along trunk and branches.
    """
    return _ends(plan, loom), _parts(plan, loom)


def _ends(plan: Plan, loom: PlanLoom) -> Record:
    rows = tuple(
        (mark.number, mark.name, "\n".join(mark.lines) or None, None)
        for mark in end_marks(plan, unfold(loom, square_counts=False))
    )
    fields = (
        Field("end", "End", align="right", weight=0.1, strong=True),
        Field("what", "What is there", strong=True),
        Field("leave", "Leave beyond the mark, tail in it", weight=2.0),
        tick("Marked"),
    )
    return Record(f"loom-{loom.id}-ends", f"Loom {loom.id}: ends", fields, (Section("", rows),), (), _TYPE_PT, True)


def _parts(plan: Plan, loom: PlanLoom) -> Record:
    units = plan.rules.units
    cords = {run.id for run in plan.runs if not run.cores}
    fields = (
        Field("section", "Part", strong=True, weight=0.4),
        Field("begins", "Begins", weight=0.9),
        Field("ends_along_trunk_m", "Ends at, along the trunk", _along(units), "", 0.1, "right"),
        Field("long_m", "Long", lambda v: length(float(v or 0), units), "", 0.1, "right", strong=True),
        Field("thick_mm", "Thick", lambda v: bare_thick(float(v or 0), units), size_unit(units), 0.1, "right"),
        Field("runs", "Runs in it", weight=1.4),
        Field("at_its_end", "At its end", weight=1.4),
        tick("Laid"),
    )
    rows: list[Values] = []
    for one in loom.sections:
        ending = [part for part in loom.breakouts if abs(part.at_m - one.to_m) < _SAME_M] if one.branch == 0 else []
        words = [f"{part.place}: {leave_and_join(part)}" if part.place else leave_and_join(part) for part in ending]
        cord = " (cord)" if set(one.runs) <= cords else ""
        rows.append(
            (
                one.name, part_begins(loom, one), part_ends_m(loom, one), round(one.to_m - one.from_m, 4), one.diameter_mm,
                joined(one.runs) + cord,
                "; ".join(words) or None, None,
            )
        )  # fmt: skip
    return Record(
        f"loom-{loom.id}-parts", f"Loom {loom.id}: parts", fields, (Section("", tuple(rows)),), (), _TYPE_PT, True
    )


def _along(units: Units) -> Callable[[Value], str]:
    return lambda value: NOTHING if value is None else place(float(value), units)
