"""Boards in full size parted into sheets, so that it takes few: which way the paper lies, where its grid begins, and which
boards share a grid."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from ribway.sheets.boards.drawing import BoardDrawing, BoardWords
from ribway.sheets.boards.gaps import Cell, with_gaps
from ribway.sheets.boards.sheet_size import PaperName, SheetSize, both_ways
from ribway.sheets.boards.unfold import Board, Laid
from ribway.sheets.drawing.scale import Extent, Flat

_THICK_M = 0.012
_ENDS_M = 0.1
"""Room beyond the ends of a board, for words [m]."""
_OVER_M, _UNDER_M = 0.045, 0.025
"""Room over and under a board's bundles, for words: distances stand two storeys over the trunk, names of parts under it [m]."""
_BETWEEN_M = 0.05
"""Between two boards that share a grid, beside the room for their words: a hand [m]."""
_TRIES = 18
"""Places of a grid that are tried, over the height of a sheet."""
_WORTH = 8
"""Boards share a grid if that saves one sheet in so many: each by itself is easier to join and to lay out."""
_CUT_COSTS = 0.34
"""So much of a sheet a place of the grid may cost rather than part words from what they are about."""


@dataclass(frozen=True)
class Part:
    """A board in a set of sheets.

    Attributes:
        board: the board.
        drawing: the same as lines and words.
        shift: where its origin lies in the plane of the set [m].
    """

    board: Board
    drawing: BoardDrawing
    shift: Flat = (0.0, 0.0)


@dataclass(frozen=True)
class Tile:
    """One sheet of a set.

    Attributes:
        row, column: from 1, the upper left sheet first.
        left, top: upper left corner in the plane of the set [m].
    """

    row: int
    column: int
    left: float
    top: float


@dataclass(frozen=True)
class SheetSet:
    """Sheets that are joined to one board, or to one on which several looms lie.

    Attributes:
        parts: the boards on it.
        size: of its sheets.
        tiles: its sheets row by row; those that nothing is on are left out, and those that
            draw cords alone are on.
    """

    parts: tuple[Part, ...]
    size: SheetSize
    tiles: tuple[Tile, ...]


def sheet_sets(
    drawn: Sequence[tuple[Board, BoardDrawing]], paper: PaperName, gaps: bool = False
) -> tuple[SheetSet, ...]:
    """The sheets for some boards: few of them, by trying.

    Each board is tried on paper that lies and that stands, over places of the grid; then boards are put under one another or end
    to end on one grid as long as that saves enough sheets, the pair that saves most first.

    Args:
        drawn: boards, each with its lines and words.
        paper: the paper.
        gaps: whether sheets are left out on which straight bundles alone pass.

    Returns:
        Sets in the order of the boards that come first in them.
    """
    sets = [_best([(Part(board, drawing),)], paper, gaps) for board, drawing in drawn]
    known: dict[tuple[SheetSet, SheetSet], SheetSet] = {}
    while len(sets) > 1:
        pairs = list(itertools.combinations(sets, 2))
        for a, b in pairs:
            if (a, b) not in known:
                known[a, b] = _best(_together(a.parts, b.parts), paper, gaps)
        saved, _, pair = max(
            (len(a.tiles) + len(b.tiles) - len(known[a, b].tiles), -number, (a, b))
            for number, (a, b) in enumerate(pairs)
        )
        if saved * _WORTH < len(pair[0].tiles) + len(pair[1].tiles):
            break
        place = sets.index(pair[0])
        sets[place] = known[pair]
        sets.remove(pair[1])
    return tuple(sets)


def _together(first: tuple[Part, ...], second: tuple[Part, ...]) -> Iterator[tuple[Part, ...]]:
    """Two sets of boards on one plane: the second under the first, over it, and behind its end."""
    one, other = _extent(first), _extent(second)
    left = one.left - other.left
    under = one.bottom - _UNDER_M - _BETWEEN_M - _OVER_M - other.top
    over = one.top + _OVER_M + _BETWEEN_M + _UNDER_M - other.bottom
    behind = one.right + 2 * _ENDS_M - other.left
    for shift in ((left, under), (left, over), (behind, one.top - other.top)):
        yield (*first, *(_moved(part, shift) for part in second))


def _moved(part: Part, shift: Flat) -> Part:
    return Part(part.board, part.drawing, (part.shift[0] + shift[0], part.shift[1] + shift[1]))


def _extent(parts: Iterable[Part]) -> Extent:
    boxes = [(part.board.extent, part.shift) for part in parts]
    return Extent(
        min(one.left + x for one, (x, _) in boxes),
        max(one.right + x for one, (x, _) in boxes),
        min(one.bottom + y for one, (_, y) in boxes),
        max(one.top + y for one, (_, y) in boxes),
    )


def _best(ways: Iterable[tuple[Part, ...]], paper: PaperName, gaps: bool) -> SheetSet:
    """The way, the turn of the paper and the place of its grid that take fewest sheets."""
    tried = (
        (len(tiles) + _CUT_COSTS * cut, number, SheetSet(parts, size, tiles))
        for number, (parts, size) in enumerate((parts, size) for parts in ways for size in both_ways(paper))
        for tiles, cut in _grids(parts, size, gaps)
    )
    return min(tried, key=lambda one: one[:2])[2]


def _grids(parts: tuple[Part, ...], size: SheetSize, gaps: bool) -> Iterator[tuple[tuple[Tile, ...], int]]:
    """The sheets for places of the grid, and how many words each place cuts off from what they are about."""
    extent = _extent(parts)
    (wide, tall), (step_x, step_y) = size.inside_m, size.step_m
    boxes = [box for part in parts for box in _boxes(part)]
    words = [(spot, over, under) for part in parts for spot, over, under in _words(part)]
    spots = [spot for part in parts for spot in _spots(part)] if gaps else []
    columns = max(1, math.ceil((extent.width + 2 * _ENDS_M - (wide - step_x)) / step_x - 1e-9))
    spare_x = columns * step_x + (wide - step_x) - extent.width - 2 * _ENDS_M
    left = extent.left - _ENDS_M - spare_x / 2
    for number in range(_TRIES):
        top = extent.top + _OVER_M + number * step_y / _TRIES

        def cells(box: Extent, top: float = top) -> Iterator[Cell]:
            first, last = _span(box.left - left, box.right - left, wide, step_x)
            high, low = _span(top - box.top, top - box.bottom, tall, step_y)
            return itertools.product(range(high, low + 1), range(first, last + 1))

        touched = {cell for box in boxes for cell in cells(box)}
        if gaps:
            touched = with_gaps(touched, {cell for x, y in spots for cell in cells(Extent(x, x, y, y))})
        rows, begin = min(row for row, _ in touched), min(column for _, column in touched)
        tiles = tuple(
            Tile(row - rows + 1, column - begin + 1, left + column * step_x, top - row * step_y)
            for row, column in sorted(touched)
        )
        cut = sum(not _whole(top - spot[1] - over, top - spot[1] + under, tall, step_y) for spot, over, under in words)
        yield tiles, cut


def _span(low: float, high: float, long: float, step: float) -> Cell:
    """The first and the last sheet that a stretch touches along one side of the grid; in a lap the earlier is enough."""
    last = max(0, math.floor(high / step))
    if last and high - last * step <= long - step:
        last -= 1
    return min(max(0, math.floor(low / step)), last), last


def _whole(low: float, high: float, long: float, step: float) -> bool:
    """Whether a stretch lies on one sheet."""
    sheets = {max(0, math.floor(low / step)), max(0, math.floor(high / step))}
    return any(number * step <= low and high <= number * step + long for number in sheets)


def cables_of(part: Part) -> tuple[Laid, ...]:
    """The sections of a board that no sheet may lack: a draw cord alone is not laid out on a bench, and needs none of its own."""
    lines = part.drawing.lines[: len(part.board.laid)]
    found = tuple(one for one, line in zip(part.board.laid, lines, strict=True) if not line.cord)
    return found or part.board.laid


def _boxes(part: Part) -> Iterator[Extent]:
    x, y = part.shift
    for one in cables_of(part):
        for a, b in itertools.pairwise(one.line):
            yield Extent(
                min(a[0], b[0]) + x - _THICK_M,
                max(a[0], b[0]) + x + _THICK_M,
                min(a[1], b[1]) + y - _THICK_M,
                max(a[1], b[1]) + y + _THICK_M,
            )


def _spots(part: Part) -> Iterator[Flat]:
    """Where bundles begin, end, bend and branch."""
    x, y = part.shift
    yield from ((a + x, b + y) for one in cables_of(part) for a, b in one.line)
    yield from ((one.spot[0] + x, one.spot[1] + y) for one in part.drawing.words if one.kind == "breakout")


def _words(part: Part) -> Iterator[tuple[Flat, float, float]]:
    """Where words stand in the plane, and how far they reach over and under that [m]."""
    for one in part.drawing.words:
        yield (one.spot[0] + part.shift[0], one.spot[1] + part.shift[1]), *_reach(one)


def _reach(words: BoardWords) -> Flat:
    if words.side == "above":
        return (_OVER_M if words.storey else 0.03), 0.0
    return (0.0, _UNDER_M) if words.side == "below" else (0.003 * len(words.lines), 0.003 * len(words.lines))
