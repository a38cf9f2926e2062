"""A loom's board as lines and words, in metres: one drawing for paper, sheets and SVG."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from ribway.models.plan.metres import is_draw_cord
from ribway.models.plan.plan import Plan
from ribway.models.printed import length
from ribway.sheets.boards.ends import board_ends, ring_cuts
from ribway.sheets.boards.unfold import Board
from ribway.sheets.drawing.scale import Flat
from ribway.sheets.places import device_names
from ribway.sheets.words import place

RULER_M = 0.1


@dataclass(frozen=True)
class BoardLine:
    """A bundle or a tick on the board.

    Attributes:
        points: [m].
        width_mm: how thick the bundle is [mm]; 0 for a tick.
        colour: ``#rrggbb``.
        cord: whether it is nothing but draw cord.
    """

    points: tuple[Flat, ...]
    width_mm: float
    colour: str
    cord: bool = False


@dataclass(frozen=True)
class BoardWords:
    """Words on the board.

    Attributes:
        spot: what they are about [m].
        lines: from top to bottom; the first is bold.
        side: which side of the spot they stand on.
        kind: what they are about: an end of the bundle, a breakout of the trunk, or a section's name.
        storey: how many lines higher they stand, so that near ones do not cover each other.
    """

    spot: Flat
    lines: tuple[str, ...]
    side: Literal["left", "right", "above", "below"]
    kind: Literal["end", "breakout", "section"]
    storey: int = 0

    @property
    def tip(self) -> bool:
        """Whether a bundle ends there."""
        return self.kind == "end"


@dataclass(frozen=True)
class BoardDrawing:
    """Everything on a board."""

    lines: tuple[BoardLine, ...]
    words: tuple[BoardWords, ...]


def draw_board(plan: Plan, board: Board) -> BoardDrawing:
    """A board as lines and words.

    Args:
        plan: the plan.
        board: the loom laid flat.

    Returns:
        Bundles, a ruler along the trunk, breakouts with their distances, ends with what hangs beyond them.
    """
    cords = {run.id for run in plan.runs if is_draw_cord(run)}
    lines = [
        BoardLine(one.line, one.section.diameter_mm, board.loom.colour, set(one.section.runs) <= cords)
        for one in board.laid
    ]
    return BoardDrawing(
        (*lines, *_ruler(board)), (*_ends(plan, board), *_cuts(board), *_breakouts(plan, board), *_sections(board))
    )


def _trunk_m(board: Board) -> float:
    return max((one.end[0] for one in board.laid if one.section.branch == 0), default=0.0)


def _ruler(board: Board) -> Iterable[BoardLine]:
    for number in range(int(_trunk_m(board) / RULER_M + 1e-6) + 1):
        x = number * RULER_M
        tall = 0.012 if number % 5 == 0 else 0.006
        yield BoardLine(((x, -tall), (x, tall)), 0.0, "#000000")


def end_names(plan: Plan) -> dict[str, str]:
    """Devices as a loom's ends are called: with the mounting board that they are fixed on, and joints as such."""
    names = device_names(plan)
    out = {}
    for one in plan.devices:
        board = f" on {names.get(one.on, one.on)}" if one.on else ""
        joint = f", joint{f' behind {one.behind}' if one.behind else ''}" if one.kind == "joint" else ""
        out[one.id] = f"{one.name}{board}{joint}"
    return out


def _ends(plan: Plan, board: Board) -> Iterable[BoardWords]:
    """What ends at one spot, together; words stand where no bundle goes on."""
    names, units = end_names(plan), plan.rules.units
    spots: dict[Flat, dict[str, dict[str, list[str]]]] = {}
    for end in board_ends(plan, board):
        spot = (round(end.spot[0], 6), round(end.spot[1], 6))
        side = f", {length(end.side_m, units)} of it for the outside of bends" if end.side_m >= 0.005 else ""
        leave = f"leave {length(end.beyond_m, units)}{side}"
        same = spots.setdefault(spot, {}).setdefault(names.get(end.device, end.device), {})
        same.setdefault(leave, []).append(end.run.id)
    for spot, devices in spots.items():
        lines = [
            line
            for name, ends in devices.items()
            for line in (name, *(f"{', '.join(runs)}: {leave}" for leave, runs in ends.items()))
        ]
        yield BoardWords(spot, tuple(lines), _free_side(board, spot), "end")


def _free_side(board: Board, spot: Flat) -> Literal["left", "right", "below"]:
    """The side of a spot to which no bundle leaves it along the board; under it where bundles leave it both ways."""
    ways = {
        there[0] > spot[0]
        for one in board.laid
        for here, there in ((one.line[0], one.line[1]), (one.line[-1], one.line[-2]))
        if abs(here[0] - spot[0]) < 1e-6 and abs(here[1] - spot[1]) < 1e-6 and abs(there[0] - spot[0]) > 1e-6
    }
    return "below" if len(ways) == 2 else "left" if True in ways else "right"


def _cuts(board: Board) -> Iterable[BoardWords]:
    for cut in ring_cuts(board):
        if any(
            abs(cut.spot[0] - one.line[-1][0]) < 1e-6 and abs(cut.spot[1] - one.line[-1][1]) < 1e-6
            for one in board.laid
        ):
            words = (f"{', '.join(cut.runs)}: goes on in {cut.section}",)
            yield BoardWords(cut.spot, words, _free_side(board, cut.spot), "end")


def _breakouts(plan: Plan, board: Board) -> Iterable[BoardWords]:
    for number, one in enumerate(board.loom.breakouts):
        at = one.at_m - board.loom.begins_m
        distance = place(at, plan.rules.units)
        yield BoardWords((at, 0.0), (distance, ", ".join(one.runs)), "above", "breakout", number % 2)


def _sections(board: Board) -> Iterable[BoardWords]:
    for one in board.laid:
        a, b = one.line[-2], one.line[-1]
        yield BoardWords(
            ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2),
            (one.section.name,),
            "below" if one.section.branch == 0 else "above",
            "section",
        )
