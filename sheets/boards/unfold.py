"""A loom laid flat: its trunk straight, each branch at its distance, all lengths true.

A branch goes square off the trunk into the nearest lane that is free there and then beside the trunk, so that a long loom
stays narrow; its length along that line is its length in the van. Where a loom closes a ring in the van, the ring is cut on the
board, and the end that was cut says where it goes on.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from ribway.models.plan.looms import LoomSection, PlanLoom
from ribway.models.plan.shell import Point
from ribway.sheets.boards.lanes import lane_cost
from ribway.sheets.drawing.scale import Extent, Flat, extent_of

LANE_M = 0.07
"""Distance between lanes on the board [m]: a hand between two bundles."""
SAME_M = 0.002
"""Points nearer than this are one place [m]."""

Node = tuple[int, int, int]


@dataclass(frozen=True)
class Laid:
    """A section on the board.

    Attributes:
        section: the section.
        line: where it lies [m].
        reached_at_end: whether its branch hangs on the rest by its end, so that it is drawn backwards.
    """

    section: LoomSection
    line: tuple[Flat, ...]
    reached_at_end: bool

    @property
    def start(self) -> Flat:
        """Where the section begins on the board."""
        return self.line[-1] if self.reached_at_end else self.line[0]

    @property
    def end(self) -> Flat:
        """Where the section ends on the board."""
        return self.line[0] if self.reached_at_end else self.line[-1]


@dataclass(frozen=True)
class Board:
    """A loom on the board.

    Attributes:
        loom: the loom.
        laid: its sections, the trunk's first.
    """

    loom: PlanLoom
    laid: tuple[Laid, ...]

    @property
    def extent(self) -> Extent:
        """The rectangle it takes [m]."""
        return extent_of(point for one in self.laid for point in one.line)


def node_of(point: Point) -> Node:
    """A point of the van as the name of the place where sections meet."""
    return (round(point[0] / SAME_M), round(point[1] / SAME_M), round(point[2] / SAME_M))


@lru_cache(maxsize=64)
def unfold(loom: PlanLoom, lane_m: float = LANE_M, square_counts: bool = True) -> Board:
    """Lay a loom flat.

    Args:
        loom: the loom.
        lane_m: distance between lanes [m].
        square_counts: whether the way square off into a lane is part of the length, as it must be where cables are laid on
            the drawing; else it is a mere line that shows what hangs where, and lengths are true along the board.

    Returns:
        Its board; the trunk runs from (0, 0) to the right.
    """
    branches: dict[int, list[LoomSection]] = {}
    for section in loom.sections:
        if section.points:
            branches.setdefault(section.branch, []).append(section)
    placed: dict[Node, Flat] = {}
    laid: list[Laid] = []
    trunk = branches.pop(0, [])
    x = 0.0
    for section in trunk:
        length = section.to_m - section.from_m
        laid.append(Laid(section, ((x, 0.0), (x + length, 0.0)), False))
        placed.setdefault(node_of(section.points[0]), (x, 0.0))
        x += length
        placed.setdefault(node_of(section.points[-1]), (x, 0.0))
    waiting = list(branches.values())
    while waiting:
        waiting = _parted(waiting, placed)
        index = _next(waiting, placed)
        branch = waiting.pop(index)
        laid += _lay_in_lane(branch, placed, laid, lane_m, square_counts)
    return Board(loom, tuple(laid))


def _parted(waiting: list[list[LoomSection]], placed: dict[Node, Flat]) -> list[list[LoomSection]]:
    """If no branch hangs on what lies there by its ends, one that does so by a place inside it is parted there."""
    if any(_hold(branch, placed) is not None for branch in waiting):
        return waiting
    for index, branch in enumerate(waiting):
        for cut in range(1, len(branch)):
            if node_of(branch[cut].points[0]) in placed:
                return [*waiting[:index], branch[:cut], branch[cut:], *waiting[index + 1 :]]
    return waiting


def _next(waiting: list[list[LoomSection]], placed: dict[Node, Flat]) -> int:
    """The branch to lay next: of those that hang on what lies there, the farthest along, so that few lines cross."""
    hanging = [index for index, branch in enumerate(waiting) if _hold(branch, placed) is not None]
    return max(hanging, key=lambda index: _reach(waiting[index], placed), default=0)


def _reach(branch: list[LoomSection], placed: dict[Node, Flat]) -> float:
    hold = _hold(branch, placed)
    if hold is None:
        return 0.0
    point, backwards = hold
    return -point[0] if backwards else point[0]


def _hold(branch: list[LoomSection], placed: dict[Node, Flat]) -> tuple[Flat, bool] | None:
    """Where a branch hangs on what lies there, and whether by its end."""
    start, end = placed.get(node_of(branch[0].points[0])), placed.get(node_of(branch[-1].points[-1]))
    if end is not None and (start is None or branch[0].begins.startswith("at ")):
        return end, True
    return (start, False) if start is not None else None


def _lay_in_lane(
    branch: list[LoomSection], placed: dict[Node, Flat], laid: list[Laid], lane_m: float, counts: bool
) -> list[Laid]:
    """A branch in the lane that costs least; there is always a free one beyond all others."""
    hold = _hold(branch, placed)
    spot = hold[0] if hold is not None else (0.0, 0.0)
    lines = [one.line for one in laid]
    most = max((round(abs(point[1]) / lane_m) for line in lines for point in line), default=0) + 1
    best: tuple[float, int] | None = None
    for lane in sorted((lane for lane in range(-most, most + 1) if lane), key=lambda lane: (abs(lane), -lane)):
        tried = _lay_branch(branch, dict(placed), lane * lane_m, counts)
        points = [tried[0].line[0], *(point for one in tried for point in one.line[1:])]
        cost = lane_cost(points, lines, spot, lane)
        if cost is not None and (best is None or cost < best[0]):
            best = cost, lane
    return _lay_branch(branch, placed, (best[1] if best is not None else most) * lane_m, counts)


def _lay_branch(branch: list[LoomSection], placed: dict[Node, Flat], lane: float, counts: bool) -> list[Laid]:
    hold = _hold(branch, placed)
    point, backwards = hold if hold is not None else ((0.0, lane), False)
    direction = -1.0 if backwards else 1.0
    order = branch[::-1] if backwards else branch
    if not counts:
        return _lay_straight(order, placed, point, lane, backwards)
    off = abs(lane - point[1])
    side = 1.0 if lane >= point[1] else -1.0

    def at(run_m: float) -> Flat:
        square = min(run_m, off)
        return point[0] + direction * max(0.0, run_m - off), point[1] + side * square

    made: list[Laid] = []
    along = 0.0
    for section in order:
        length = section.to_m - section.from_m
        corner = (at(off),) if along < off < along + length else ()
        made.append(Laid(section, (at(along), *corner, at(along + length)), backwards))
        along += length
        node = node_of(section.points[0] if backwards else section.points[-1])
        placed.setdefault(node, at(along))
    return made


def _lay_straight(
    order: list[LoomSection], placed: dict[Node, Flat], point: Flat, lane: float, backwards: bool
) -> list[Laid]:
    made: list[Laid] = []
    x = point[0]
    for number, section in enumerate(order):
        ahead = x + (-1.0 if backwards else 1.0) * (section.to_m - section.from_m)
        square = (point,) if number == 0 and abs(point[1] - lane) > 1e-9 else ()
        made.append(Laid(section, (*square, (x, lane), (ahead, lane)), backwards))
        x = ahead
        placed.setdefault(node_of(section.points[0] if backwards else section.points[-1]), (x, lane))
    return made
