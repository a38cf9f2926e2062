"""Where runs end on a loom's board, and what is left hanging beyond each mark."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanRun
from ribway.sheets.boards.unfold import SAME_M, Board, Laid, Node, node_of
from ribway.sheets.drawing.scale import Flat


@dataclass(frozen=True)
class BoardEnd:
    """An end of a run on the board.

    Attributes:
        run: the run.
        device: id of the device that it goes to.
        spot: where its mark is on the board [m].
        beyond_m: what hangs beyond the mark, tail in it [m].
        side_m: share of that for lying on the outside of the loom's bends [m].
    """

    run: PlanRun
    device: str
    spot: Flat
    beyond_m: float
    side_m: float


@dataclass(frozen=True)
class RingCut:
    """An end that is none in the van: the bundle goes on in another section.

    Attributes:
        spot: where it is on the board [m].
        runs: what goes on.
        section: name of the section in which it does.
    """

    spot: Flat
    runs: tuple[str, ...]
    section: str


def board_ends(plan: Plan, board: Board) -> tuple[BoardEnd, ...]:
    """Both ends of every run of a loom.

    What the board does not show of a cut length, which is stubs at the devices, slack, the outside of bends and rounding, hangs
    beyond the mark of the second end; the first end has its tail.

    Args:
        plan: the plan.
        board: the loom's board.

    Returns:
        Two for each run that lies on it.
    """
    points = {one.id: one.point for one in plan.devices}
    found: list[BoardEnd] = []
    for run in plan.runs:
        mine = [one for one in board.laid if run.id in one.section.runs]
        tips = _tips(mine)
        if len(tips) != 2:
            continue
        (first, spot), (_, other) = tips
        if run.from_ in points and run.to in points:
            here = tuple(SAME_M * part for part in first)
            if math.dist(here, points[run.from_]) > math.dist(here, points[run.to]):
                spot, other = other, spot
        shown = sum(one.section.to_m - one.section.from_m for one in mine)
        rest = max(run.tail_b_m, run.cut_m - shown - run.tail_a_m)
        found.append(BoardEnd(run, run.from_, spot, run.tail_a_m, 0.0))
        found.append(BoardEnd(run, run.to, other, rest, run.loom_side_m))
    return tuple(found)


def ring_cuts(board: Board) -> tuple[RingCut, ...]:
    """Where the board cuts a ring: each end of a branch at which runs go on elsewhere."""
    found = []
    for one in board.laid:
        for node, spot in ((node_of(one.section.points[0]), one.start), (node_of(one.section.points[-1]), one.end)):
            for other in board.laid:
                shared = tuple(run for run in one.section.runs if run in other.section.runs)
                if other is one or not shared:
                    continue
                for there, place in (
                    (node_of(other.section.points[0]), other.start), (node_of(other.section.points[-1]), other.end),
                ):  # fmt: skip
                    if there == node and math.dist(place, spot) > 1e-6:
                        found.append(RingCut(spot, shared, other.section.name))
    return tuple(dict.fromkeys(found))


def _tips(mine: list[Laid]) -> list[tuple[Node, Flat]]:
    """The nodes of a run's sections that only one of them touches, in the order of the sections."""
    touched: dict[Node, list[Flat]] = {}
    for one in mine:
        touched.setdefault(node_of(one.section.points[0]), []).append(one.start)
        touched.setdefault(node_of(one.section.points[-1]), []).append(one.end)
    return [(node, spots[0]) for node, spots in touched.items() if len(spots) == 1]
