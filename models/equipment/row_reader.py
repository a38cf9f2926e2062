"""One row of an equipment sheet, read cell by cell; what is wrong with it is kept with its place."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TypeVar

from ribway.models.equipment.cells import loose_text, plain_text, quantity
from ribway.models.equipment.columns import Header
from ribway.models.equipment.grid import Cell, Grid, fault_at, written
from ribway.models.equipment.place_text import ACCEPTED, SaidPlace
from ribway.models.faults import SpellingError
from ribway.models.project_faults import Fault

EXAMPLES = {
    "name": "a name like Fridge",
    "kind": "a kind like compressor fridge",
    "place": ACCEPTED,
    "wall": "left, right, roof, floor or bulkhead",
    "back": "1.2 m or 4' 2\"",
    "up": "0.9 m",
    "left": "300 mm",
    "right": "300 mm",
    "stand_off": "75 mm",
    "amps": "5 A",
    "watts": "60 W",
    "start_amps": "12 A",
    "drop": "critical, other or 3 %",
}
_T = TypeVar("_T")


@dataclass
class RowReader:
    """Reads one row cell by cell and keeps what is wrong with it."""

    grid: Grid
    header: Header
    number: int
    cells: Sequence[Cell]
    arm_m: float | None
    zones: Mapping[str, SaidPlace] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)

    def cell(self, key: str) -> Cell:
        place = self.header.places.get(key)
        return self.cells[place] if place is not None and place < len(self.cells) else ""

    def refuse(self, key: str, found: str, accepted: str, message: str) -> None:
        self.faults.append(fault_at(self.grid.file, self.number, self.header.title(key), found, accepted, message))

    def take(self, key: str, read: Callable[[Cell], _T], otherwise: _T) -> _T:
        """What a cell says, or the stand-in after its fault was noted."""
        try:
            return read(self.cell(key))
        except SpellingError as error:
            self.refuse(key, error.found, error.accepted, str(error))
            return otherwise

    def words(self, key: str) -> str:
        return self.take(key, lambda cell: plain_text(cell, self.header.title(key), EXAMPLES[key]), "")

    def text(self, key: str) -> str:
        return self.take(key, lambda cell: loose_text(cell, self.header.title(key)), "")

    def amount(self, key: str) -> str:
        title, unit = self.header.title(key), self.header.units.get(key, "")
        return self.take(key, lambda cell: quantity(cell, key, title, unit, EXAMPLES[key]), "")


def is_device(cells: Sequence[Cell], header: Header) -> bool:
    """Whether a row below the header describes a device.

    Args:
        cells: the row.
        header: of the sheet.

    Returns:
        False for a row that has nothing in the columns that ribway knows, or whose first word begins with ``#``.
    """
    known = [written(cells[place]) for place in header.places.values() if place < len(cells)]
    first = next((text for text in map(written, cells) if text), "")
    name = header.places["name"]
    named = written(cells[name]) if name < len(cells) else ""
    error = first.upper().startswith(("#REF", "#NAME", "#VALUE", "#DIV", "#N/A", "#NUM", "#NULL"))
    return any(known) and (error or not (first.startswith("#") or named.startswith("#")))
