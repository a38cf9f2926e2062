"""How many stickers there are on a sheet, across and down."""

from __future__ import annotations

import re
from dataclasses import dataclass

MOST = 12
ACCEPTED = f"across x down, like 3x8, each 1 to {MOST}"


@dataclass(frozen=True)
class Grid:
    """Labels on a sheet of A4: 3 by 8 of 70 mm by 37 mm is the usual one (common practice, no source).

    Args:
        across, down: how many.
    """

    across: int = 3
    down: int = 8

    @property
    def count(self) -> int:
        """Labels on a sheet."""
        return self.across * self.down


def parse_grid(text: str) -> Grid:
    """Read a grid.

    Args:
        text: ``3x8`` or ``3 × 8``.

    Returns:
        The grid.

    Raises:
        ValueError: not two whole numbers, or too many labels; with what is accepted.
    """
    found = re.fullmatch(r"\s*([0-9]{1,2})\s*[x×]\s*([0-9]{1,2})\s*", text.casefold())
    across, down = (int(found[1]), int(found[2])) if found else (0, 0)
    if not (1 <= across <= MOST and 1 <= down <= MOST):
        raise ValueError(f"<{text}> is no grid of stickers: accepted is {ACCEPTED}")
    return Grid(across, down)
