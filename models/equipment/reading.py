"""The rows of an equipment sheet, read and checked: all faults at once, each with row, column and what is accepted."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TypeVar, get_args

from ribway.models.catalogue.kinds import Catalogue
from ribway.models.circuits import Supply
from ribway.models.equipment.cells import loose_text, plain_text, quantity, yes_or_no
from ribway.models.equipment.columns import Header, find_header, known_columns
from ribway.models.equipment.grid import Cell, Grid, fault_at, written
from ribway.models.equipment.place_text import ACCEPTED, SaidPlace, parse_place, place_words, with_words
from ribway.models.equipment.row import EquipmentRow
from ribway.models.faults import SpellingError
from ribway.models.nearest import nearest_word
from ribway.models.project_faults import Fault
from ribway.models.spelling import folded, slug

_EXAMPLES = {
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
_ID = re.compile(r"[A-Za-z][A-Za-z0-9_.-]{0,39}")
_DISTANCES = ("back", "up", "left", "right")
ZONE_WORDS = frozenset(folded(word) for word in ("zone", "area", "Bereich", "zona", "área"))
"""Kinds of a row that is no device: its name may stand as the place of other rows, which then lie side by side there."""
_T = TypeVar("_T")


@dataclass
class _Reader:
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
        return self.take(key, lambda cell: plain_text(cell, self.header.title(key), _EXAMPLES[key]), "")

    def text(self, key: str) -> str:
        return self.take(key, lambda cell: loose_text(cell, self.header.title(key)), "")

    def amount(self, key: str) -> str:
        title, unit = self.header.title(key), self.header.units.get(key, "")
        return self.take(key, lambda cell: quantity(cell, key, title, unit, _EXAMPLES[key]), "")


def read_rows(
    grid: Grid, catalogue: Catalogue, arm_m: float | None = None
) -> tuple[tuple[EquipmentRow, ...], list[Fault]]:
    """Read the rows of a sheet.

    Args:
        grid: the sheet.
        catalogue: the kinds there are.
        arm_m: length of one arm measure [m].

    Returns:
        The rows without fault, and all faults of the others. Rows that begin with ``#`` and empty ones are passed over.
    """
    header, faults = find_header(grid)
    if header is None or faults:
        return (), faults
    faults.extend(_merged(grid, header))
    zones, zone_rows, zone_faults = _zones(grid, header, arm_m)
    faults.extend(zone_faults)
    rows: list[EquipmentRow] = []
    for index, cells in enumerate(grid.rows[header.row + 1 :], start=header.row + 1):
        if is_device(cells, header) and index not in zone_rows:
            reader = _Reader(grid, header, index + 1, cells, arm_m, zones)
            row = _row(reader, catalogue)
            faults.extend(reader.faults)
            if not reader.faults:
                rows.append(row)
    if not rows and not faults:
        message = "the sheet has a header but no device: write a row for each thing with a wire"
        faults.append(fault_at(grid.file, header.row + 1, "", "", "rows with name, kind and place", message))
    faults.extend(_twice(grid.file, header, rows))
    return tuple(rows), sorted(faults, key=lambda fault: fault.line)


def _zones(grid: Grid, header: Header, arm_m: float | None) -> tuple[dict[str, SaidPlace], frozenset[int], list[Fault]]:
    """Rows of the kind zone: the place of each by its folded name, which rows they are, and what is wrong with them."""
    found: dict[str, SaidPlace] = {}
    rows: set[int] = set()
    faults: list[Fault] = []
    for index, cells in enumerate(grid.rows[header.row + 1 :], start=header.row + 1):
        reader = _Reader(grid, header, index + 1, cells, arm_m)
        if not is_device(cells, header) or folded(written(reader.cell("kind"))) not in ZONE_WORDS:
            continue
        rows.add(index)
        name, place = reader.words("name"), _place(reader)
        if not name and not reader.faults:
            reader.refuse("name", "", "a name like Kitchen", "the zone has no name: give it one, to be used as a place")
        elif folded(name) in found:
            reader.refuse("name", name, "a name that stands once", f"there is a zone {name} already: rename one")
        faults += reader.faults
        found.setdefault(folded(name), replace(place, zone=name))
    return found, frozenset(rows), faults


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


def _row(reader: _Reader, catalogue: Catalogue) -> EquipmentRow:
    name = reader.words("name")
    if not name and not reader.faults:
        reader.refuse("name", "", _EXAMPLES["name"], "the name is empty: give every device a name")
    amps, watts = reader.amount("amps") if not _in_watts(reader) else "", reader.amount("watts")
    if _in_watts(reader):
        watts = written(reader.cell("amps"))
    if amps and watts:
        reader.refuse("watts", watts, "one of them", f"there are {amps} and {watts}: give amps or watts, not both")
    return EquipmentRow(
        row=reader.number,
        name=name,
        id=_id(reader, name),
        kind=_kind(reader, catalogue),
        place=_place(reader),
        stand_off=reader.amount("stand_off"),
        amps=amps,
        watts=watts,
        start_amps=reader.amount("start_amps"),
        board=reader.text("board"),
        circuit=reader.text("circuit"),
        switch=reader.text("switch"),
        zone=reader.text("zone"),
        drop=_drop(reader),
        supply=_supply(reader),
        confirmed=reader.take("confirmed", lambda cell: yes_or_no(cell, reader.header.title("confirmed")), False),
        notes=written(reader.cell("notes")),
    )


def _in_watts(reader: _Reader) -> bool:
    """Whether the amps column holds a power with its unit, as in lists that have one column for either."""
    cell = reader.cell("amps")
    return isinstance(cell, str) and bool(re.fullmatch(r"\s*[0-9.,]+\s*k?[Ww](?:atts?)?\s*", cell))


def _id(reader: _Reader, name: str) -> str:
    said = reader.text("id")
    if said and not _ID.fullmatch(said):
        accepted = "a letter, then letters, digits, - _ or a full stop; 40 at most"
        reader.refuse("id", said, accepted, f"<{said}> is no id: accepted is {accepted}, or an empty cell")
    return said or (slug(name) if name else "")


def _kind(reader: _Reader, catalogue: Catalogue) -> str:
    said = reader.words("kind")
    kind = catalogue.find(said) if said else None
    if kind is not None:
        return kind.name
    if not said:
        if not any(fault.place.endswith(reader.header.title("kind")) for fault in reader.faults):
            reader.refuse("kind", "", _EXAMPLES["kind"], "the kind is empty: pick one, or write other and its amps")
        return ""
    meant = catalogue.nearest(said)
    advice = f"did you mean {meant}?" if meant else "pick one of the list, or write other and its amps"
    reader.refuse("kind", said, meant or "other", f"there is no kind {said}: {advice}")
    return ""


def _drop(reader: _Reader) -> str:
    cell = reader.cell("drop")
    word = folded(cell) if isinstance(cell, str) else ""
    return word if word in ("critical", "other") else reader.amount("drop")


def _supply(reader: _Reader) -> str:
    said = reader.text("supply")
    known: dict[str, str] = {folded(word): word for word in get_args(Supply)}
    if said and folded(said) not in known:
        listed = ", ".join(known.values())
        meant = nearest_word(folded(said), known)
        advice = (
            f"did you mean {known[meant]}?" if meant else f"write one of {listed}; what feeds it stands under Board"
        )
        reader.refuse("supply", said, known[meant] if meant else listed, f"{said} is no way to have power: {advice}")
    return known.get(folded(said), "")


def _place(reader: _Reader) -> SaidPlace:
    before = len(reader.faults)
    text, wall = reader.words("place"), reader.words("wall")
    if folded(text) in reader.zones:
        if wall or any(written(reader.cell(key)) for key in _DISTANCES):
            message = f"the place is the zone {text}, and there are a wall or distances beside it"
            reader.refuse("place", text, "the zone's name alone, or a place of its own", message)
        return reader.zones[folded(text)]
    distances = {key: reader.amount(key) for key in _DISTANCES}
    distances = {key: value for key, value in distances.items() if value}
    if len(reader.faults) > before:
        return SaidPlace()
    key = "place" if text or "wall" not in reader.header.places else "wall"
    if not text and not wall:
        reader.refuse(key, "", ACCEPTED, f"the place is empty: write {ACCEPTED}")
        return SaidPlace()
    try:
        return _joined(text, wall, distances, reader.arm_m)
    except SpellingError as error:
        reader.refuse(key, error.found, error.accepted, str(error))
        return SaidPlace()


def _joined(text: str, wall: str, distances: dict[str, str], arm_m: float | None) -> SaidPlace:
    """The place cell, the wall cell and the distances' own cells as one place."""
    words = [place_words().get(folded(word), "") for word in wall.split()]
    if "" in words:
        raise SpellingError(
            f"there is no wall {wall}: write left, right, roof, floor or bulkhead", wall, _EXAMPLES["wall"]
        )
    if not text:
        said = with_words(SaidPlace(), [word for word in words if word != "noise"], wall)
    else:
        said = parse_place(f"{wall} {text}" if wall and not _names_wall(text) else text, arm_m)
        if wall and said.wall not in words and not {"x", "y", "z"} & set(said.lengths):
            raise SpellingError(f"the place says {said.wall}, the wall {wall}: say one of them", text, "one wall")
    twice = [key for key in distances if said.lengths.get(key, distances[key]) != distances[key]]
    if twice:
        raise SpellingError(
            f"{twice[0]} is {said.lengths[twice[0]]} in the place and {distances[twice[0]]} in its own column",
            text,
            "one of them",
        )
    lengths = {**said.lengths, **distances}
    if said.wall in ("left", "right") and {"left", "right"} & set(lengths):
        raise SpellingError(f"a place on the {said.wall} wall takes back and up, not left or right", text, ACCEPTED)
    if (said.wall in ("roof", "floor") and "up" in lengths) or (said.wall == "bulkhead" and "back" in lengths):
        raise SpellingError(
            f"a place on the {said.wall} takes no {'back' if said.wall == 'bulkhead' else 'up'}", text, ACCEPTED
        )
    if {"left", "right"} <= set(lengths):
        raise SpellingError("give left or right of the centre line, not both", text, ACCEPTED)
    if {"x", "y", "z"} & set(lengths) and not {"x", "y", "z"} == set(lengths):
        raise SpellingError("a place by x, y, z takes all three and nothing else", text, "x -1.2 m y 0.6 m z 0.9 m")
    return replace(said, lengths=lengths)


def _names_wall(text: str) -> bool:
    meanings = {place_words().get(folded(word)) for word in re.findall(r"[^\W\d_]+", text.casefold())}
    return bool(meanings & {"left", "right", "roof", "floor", "bulkhead", "x"})


def _merged(grid: Grid, header: Header) -> list[Fault]:
    faults = []
    columns = {place: key for key, place in header.places.items()}
    for top, left, bottom, right in grid.merged:
        covered = [columns[column] for column in range(left, right + 1) if column in columns]
        if bottom > header.row and covered:
            title = header.title(covered[0])
            cells = f"{bottom - top + 1} rows and {right - left + 1} columns are merged into one cell"
            message = f"{cells}: part it again, and write in each row what holds for it"
            faults.append(fault_at(grid.file, top + 1, title, "a merged cell", "one cell in each row", message))
    return faults


def _twice(file: str, header: Header, rows: Sequence[EquipmentRow]) -> list[Fault]:
    first: dict[str, EquipmentRow] = {}
    faults = []
    for row in rows:
        same = first.setdefault(row.id, row)
        if same is not row:
            message = f"{row.name} stands in row {same.row} already (as {same.name}): give each device its own name"
            faults.append(fault_at(file, row.row, header.title("name"), row.name, "a name that stands once", message))
    return faults


def what_columns_hold() -> tuple[tuple[str, str, str], ...]:
    """Key, title and meaning of every column, for the sheet's second page.

    Returns:
        One entry a column, in the order in which they are written.
    """
    return tuple((column.key, column.title, column.what) for column in known_columns().values())
