"""Rows of a sparse matrix in the making."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass
class Rows:
    """Rows of a sparse matrix in the making."""

    row: list[int] = field(default_factory=list)
    column: list[int] = field(default_factory=list)
    value: list[float] = field(default_factory=list)
    low: list[float] = field(default_factory=list)
    high: list[float] = field(default_factory=list)

    def add(self, entries: Mapping[int, float], low: float, high: float) -> None:
        """One row more, scaled so that its greatest number is 1: the solver's tolerances are absolute."""
        scale = max((abs(value) for value in entries.values()), default=1.0)
        self.row += [len(self.low)] * len(entries)
        self.column += entries
        self.value += (value / scale for value in entries.values())
        self.low.append(low / scale)
        self.high.append(high / scale)
