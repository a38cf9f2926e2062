"""The rows of an equipment sheet, read and checked: all faults at once, each with row, column and what is accepted."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import get_args

from ribway.models.catalogue.kinds import Catalogue
from ribway.models.circuits import Supply
from ribway.models.equipment.cells import yes_or_no
from ribway.models.equipment.columns import Header, find_header, known_columns
from ribway.models.equipment.grid import Grid, fault_at, written
from ribway.models.equipment.row import EquipmentRow
from ribway.models.equipment.row_places import place_of, zones_of
from ribway.models.equipment.row_reader import EXAMPLES, RowReader, is_device
from ribway.models.nearest import nearest_word
from ribway.models.project_faults import Fault
from ribway.models.spelling import folded, slug

_ID = re.compile(r"[A-Za-z][A-Za-z0-9_.-]{0,39}")


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
    zones, zone_rows, zone_faults = zones_of(grid, header, arm_m)
    faults.extend(zone_faults)
    rows: list[EquipmentRow] = []
    for index, cells in enumerate(grid.rows[header.row + 1 :], start=header.row + 1):
        if is_device(cells, header) and index not in zone_rows:
            reader = RowReader(grid, header, index + 1, cells, arm_m, zones)
            row = _row(reader, catalogue)
            faults.extend(reader.faults)
            if not reader.faults:
                rows.append(row)
    if not rows and not faults:
        message = "the sheet has a header but no device: write a row for each thing with a wire"
        faults.append(fault_at(grid.file, header.row + 1, "", "", "rows with name, kind and place", message))
    faults.extend(_twice(grid.file, header, rows))
    return tuple(rows), sorted(faults, key=lambda fault: fault.line)


def _row(reader: RowReader, catalogue: Catalogue) -> EquipmentRow:
    name = reader.words("name")
    if not name and not reader.faults:
        reader.refuse("name", "", EXAMPLES["name"], "the name is empty: give every device a name")
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
        place=place_of(reader),
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


def _in_watts(reader: RowReader) -> bool:
    """Whether the amps column holds a power with its unit, as in lists that have one column for either."""
    cell = reader.cell("amps")
    return isinstance(cell, str) and bool(re.fullmatch(r"\s*[0-9.,]+\s*k?[Ww](?:atts?)?\s*", cell))


def _id(reader: RowReader, name: str) -> str:
    said = reader.text("id")
    if said and not _ID.fullmatch(said):
        accepted = "a letter, then letters, digits, - _ or a full stop; 40 at most"
        reader.refuse("id", said, accepted, f"<{said}> is no id: accepted is {accepted}, or an empty cell")
    return said or (slug(name) if name else "")


def _kind(reader: RowReader, catalogue: Catalogue) -> str:
    said = reader.words("kind")
    kind = catalogue.find(said) if said else None
    if kind is not None:
        return kind.name
    if not said:
        if not any(fault.place.endswith(reader.header.title("kind")) for fault in reader.faults):
            reader.refuse("kind", "", EXAMPLES["kind"], "the kind is empty: pick one, or write other and its amps")
        return ""
    meant = catalogue.nearest(said)
    advice = f"did you mean {meant}?" if meant else "pick one of the list, or write other and its amps"
    reader.refuse("kind", said, meant or "other", f"there is no kind {said}: {advice}")
    return ""


def _drop(reader: RowReader) -> str:
    cell = reader.cell("drop")
    word = folded(cell) if isinstance(cell, str) else ""
    return word if word in ("critical", "other") else reader.amount("drop")


def _supply(reader: RowReader) -> str:
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
