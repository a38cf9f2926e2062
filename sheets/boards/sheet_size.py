"""Sheets of paper that boards in full size are printed on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from ribway.sheets.drawing.scale import PT_PER_M

PaperName = Literal["a4", "letter", "a3", "a2", "a1", "a0"]
PAPERS: tuple[PaperName, ...] = get_args(PaperName)
PAPERS_MM: dict[PaperName, tuple[float, float]] = {
    "a4": (210.0, 297.0), "letter": (215.9, 279.4), "a3": (297.0, 420.0), "a2": (420.0, 594.0), "a1": (594.0, 841.0),
    "a0": (841.0, 1189.0),
}  # fmt: skip
"""Width and height upright (ISO 216; letter: ANSI/ASME Y14.1) [mm]."""
MM = PT_PER_M / 1000.0
MARGIN_MM, HEAD_MM, OVERLAP_MM = 10.0, 14.0, 10.0
"""Round the drawing; above it, for the title and the line to lay a ruler on; what two sheets share."""


@dataclass(frozen=True)
class SheetSize:
    """A sheet as it lies on the bench.

    Attributes:
        width_mm, height_mm: of the paper.
    """

    width_mm: float
    height_mm: float

    @property
    def inside_m(self) -> tuple[float, float]:
        """Width and height of what is drawn on it [m]."""
        return (self.width_mm - 2 * MARGIN_MM) / 1000.0, (self.height_mm - 2 * MARGIN_MM - HEAD_MM) / 1000.0

    @property
    def step_m(self) -> tuple[float, float]:
        """From one sheet to the next, along and up [m]."""
        wide, tall = self.inside_m
        return wide - OVERLAP_MM / 1000.0, tall - OVERLAP_MM / 1000.0


def both_ways(paper: PaperName) -> tuple[SheetSize, SheetSize]:
    """A paper lying and upright."""
    short, long = PAPERS_MM[paper]
    return SheetSize(long, short), SheetSize(short, long)
