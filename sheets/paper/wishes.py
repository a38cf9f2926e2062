"""What a workshop wants of its papers beyond what the plan says."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from ribway.models.rates.rates import Rates
from ribway.sheets.boards.sheet_size import PaperName
from ribway.sheets.sticker_grid import Grid

FORMATS = ("pdf", "csv", "xlsx", "svg")
Board = Literal["page", "full", "gaps"]
_USUAL = Grid(3, 8)
_NO_RATES = Rates()


@dataclass(frozen=True)
class Wishes:
    """How papers are wanted.

    Attributes:
        labels: labels for runs' ends on a sheet.
        stickers: hole stickers on a sheet.
        every_hole: stickers for all holes, not for those in use alone.
        rates: the shop's prices and minutes; without prices if it said nothing.
        board: loom boards on one page each, in full size on sheets to be joined, or so without the sheets
            on which straight bundles alone pass.
        paper: what boards in full size are printed on.
    """

    labels: Grid = _USUAL
    stickers: Grid = _USUAL
    every_hole: bool = False
    rates: Rates = _NO_RATES
    board: Board = "page"
    paper: PaperName = "a4"
