"""What takes the wires at a device: a tab, a clamp screw, or the stud that lugs go on; and what goes on a wire there.

Tabs are the flat push-on ones of IEC 61210; a clamp screw takes fine strands in a ferrule (DIN 46228).
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Final, Literal

from ribway.models.printed import Units

Takes = Literal[
    "tab 2.8 mm", "tab 4.8 mm", "tab 6.3 mm", "tab 0.110 in", "tab 0.187 in", "tab 0.250 in", "screw clamp"
]  # fmt: skip
CLAMP: Final = "screw clamp"
FERRULES_MM2: Final = (0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0)
"""Conductors that ferrules with a plastic collar are made for (DIN 46228-4, from memory) [mm2]."""


@dataclass(frozen=True)
class Terminal:
    """One way to take a wire.

    Attributes:
        takes: its name in the project file.
        also: the same in inches; empty if there is no other name.
        on_the_wire: what is crimped on the wire.
        in_inches: the same for a shop that works in them.
        up_to_mm2: thickest conductor that it is usually made for [mm2].
        source: where this is from.
    """

    takes: str
    also: str
    on_the_wire: str
    in_inches: str
    up_to_mm2: float
    source: str


@cache
def terminals() -> dict[str, Terminal]:
    """All of them, by each of their names."""
    text = files("ribway.models.catalogue").joinpath("terminals.csv").read_text(encoding="utf-8")
    read = [
        Terminal(
            row["takes"], row["also"], row["on_the_wire"], row["in_inches"], float(row["up_to_mm2"]), row["source"]
        )
        for row in csv.DictReader(text.splitlines())
    ]
    return {name: one for one in read for name in (one.takes, one.also) if name}


def taken_by(stud: str, takes: str, source: bool) -> tuple[str, str]:
    """What takes a run's wires at one of its devices.

    Args:
        stud: the device's stud; empty if it has none.
        takes: its other terminals; empty if nobody said.
        source: whether the run begins there. Of a board with both the stud is its feed's, the other its ways'.

    Returns:
        The stud, or what else takes them; both empty if nobody said.
    """
    if stud and takes:
        return ("", takes) if source else (stud, "")
    return stud, takes


def on_the_wire(takes: str, area_mm2: float, units: Units) -> str:
    """What is crimped on a wire.

    Args:
        takes: what takes it, of `Takes`.
        area_mm2: of its conductor [mm2].
        units: the shop's.

    Returns:
        ``push-on 6.3 mm``, ``push-on 0.250 in`` or ``ferrule 2.5 mm2``; empty if none is made for so thick a wire.
    """
    one = terminals()[takes]
    if area_mm2 > one.up_to_mm2 + 1e-9:
        return ""
    if one.takes == CLAMP:
        return f"{one.on_the_wire} {next(size for size in FERRULES_MM2 if size >= area_mm2 - 1e-9):g} mm2"
    return one.on_the_wire if units == "metric" else one.in_inches
