"""What the maker of a device asks for, and what the run ends in: beside the rules, and the stricter decides."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from ribway.sizing.errors import BadNumberError, check_number


@dataclass(frozen=True)
class MakerArea:
    """One line of a maker's table: up to this length, this area.

    Attributes:
        up_to_m: greatest length [m]; one way or there and back, as the table says.
        area_mm2: least area for it [mm2].
    """

    up_to_m: float
    area_mm2: float


@dataclass(frozen=True)
class MakerLimits:
    """A maker's demands on the wires of its device.

    Attributes:
        device: name of the device.
        areas: the table, short to long; empty if there is none.
        counts: what the table's lengths count.
        fuse_a: greatest fuse [A]; None if not said.
        drop_v: greatest loss to its terminals while running [V]; None if not said.

    Raises:
        BadNumberError: lengths that do not rise, or areas that fall.
    """

    device: str
    areas: tuple[MakerArea, ...] = ()
    counts: Literal["one way", "there and back"] = "one way"
    fuse_a: float | None = None
    drop_v: float | None = None

    def __post_init__(self) -> None:
        for row in self.areas:
            check_number(row.up_to_m, f"{self.device}: length in its maker's table [m]", positive=True)
            check_number(row.area_mm2, f"{self.device}: area in its maker's table [mm2]", positive=True)
        for short, long in pairwise(self.areas):
            if long.up_to_m <= short.up_to_m or long.area_mm2 < short.area_mm2:
                raise BadNumberError(
                    f"{self.device}: its maker's table goes from {short.up_to_m:g} m, {short.area_mm2:g} mm2 to "
                    f"{long.up_to_m:g} m, {long.area_mm2:g} mm2; lengths must rise and areas not fall"
                )
        for value, name in ((self.fuse_a, "fuse [A]"), (self.drop_v, "loss [V]")):
            if value is not None:
                check_number(value, f"{self.device}: its maker's greatest {name}", positive=True)

    @property
    def longest_m(self) -> float:
        """Longest run the table holds for, one way [m]; 0 without a table."""
        if not self.areas:
            return 0.0
        return self.areas[-1].up_to_m / (1.0 if self.counts == "one way" else 2.0)

    def least_area_mm2(self, cut_m: float) -> float | None:
        """Area the table asks for at a length.

        Args:
            cut_m: length of the run, one way [m].

        Returns:
            Area [mm2]; None without a table; infinite if the run is longer than the table goes.
        """
        if not self.areas:
            return None
        counted = cut_m if self.counts == "one way" else 2.0 * cut_m
        fitting = [row.area_mm2 for row in self.areas if counted <= row.up_to_m * (1.0 + 1e-9)]
        return fitting[0] if fitting else math.inf


@dataclass(frozen=True)
class Terminal:
    """What a run ends in.

    Attributes:
        where: for the papers, e.g. `clamp of the fridge`.
        most_mm2: thickest conductor it takes [mm2]; None if not known.
        least_mm2: thinnest it holds [mm2].
        most_a: what it may carry [A]; None if not known.
    """

    where: str
    most_mm2: float | None = None
    least_mm2: float = 0.0
    most_a: float | None = None

    def __post_init__(self) -> None:
        check_number(self.least_mm2, f"{self.where}: thinnest conductor [mm2]")
        for value, name in ((self.most_mm2, "thickest conductor [mm2]"), (self.most_a, "greatest current [A]")):
            if value is not None:
                check_number(value, f"{self.where}: {name}", positive=True)
        if self.most_mm2 is not None and self.most_mm2 < self.least_mm2:
            raise BadNumberError(f"{self.where}: takes {self.least_mm2:g} to {self.most_mm2:g} mm2; swap the two")
