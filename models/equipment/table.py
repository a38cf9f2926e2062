"""A sheet to be written: its cells as text, with the user's own columns and rows where they were."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ribway.models.catalogue.loading import load_catalogue
from ribway.models.equipment.columns import known_columns
from ribway.models.equipment.ends import FEEDERS
from ribway.models.equipment.from_file import Sheet
from ribway.models.equipment.grid import written
from ribway.models.equipment.thing import place_words_of
from ribway.models.spelling import slug

Raw = Mapping[str, Any]
_FED_BY_DC = {
    "board": "fuse board",
    "inverter": "inverter",
    "charger": "other charger",
    "load": "other",
    "outlet": "other",
}
_FED_BY_AC = {"board": "AC board", "load": "AC appliance", "outlet": "AC appliance"}
_NOT_FED = {"source": "other source", "controller": "other controller", "sensor": "other sensor"}
"""Which kind of the catalogue stands for a device of the project file: one with no feed unless it has one there."""


@dataclass(frozen=True)
class Change:
    """What ribway writes into a sheet; every other cell stays.

    Attributes:
        header: position of the header row, counted from 0.
        columns: position of each column that is written, and its header.
        cells: text by row and column position, both counted from 0.
    """

    header: int
    columns: Mapping[int, str]
    cells: Mapping[tuple[int, int], str]


def new_rows(raw: Raw, known: Sequence[str]) -> list[dict[str, str]]:
    """Devices that only the project file has, as rows.

    Args:
        raw: the project's data, its sheet in it.
        known: ids of devices that the sheet has.

    Returns:
        Text by column key, in the order of the project file.
    """
    fed: dict[str, set[str]] = {"dc": set(), "ac": set(), "data": set()}
    for circuit in raw["circuits"]:
        fed[circuit.get("kind", "dc")].update(circuit["to"])
    words = {device["id"]: _kind_word(device, fed) for device in raw["devices"]}
    names = {device["id"]: device["name"] for device in raw["devices"]}
    feeders: dict[str, str] = {}
    for circuit in raw["circuits"]:
        source = circuit["from"]
        if circuit.get("kind", "dc") != "data" and load_catalogue().kinds[words[source]].device in FEEDERS:
            for load in circuit["to"]:
                feeders.setdefault(load, names[source])
    return [
        _row_of(device, words, feeders)
        for device in raw["devices"]
        if device["id"] not in known and device.get("kind") != "mounting board" and not device["at"].get("on")
    ]  # boards and what is fixed on them are placed in the project file alone


def _kind_word(device: Raw, fed: Mapping[str, set[str]]) -> str:
    name, kind = device["id"], device.get("kind", "load")
    if name in fed["dc"] and kind in _FED_BY_DC:
        return _FED_BY_DC[kind]
    if name in fed["ac"] and kind in _FED_BY_AC:
        return _FED_BY_AC[kind]
    unfed = "other controller" if kind in _FED_BY_DC else kind
    return _NOT_FED.get(kind, unfed)


def _row_of(device: Raw, words: Mapping[str, str], feeders: Mapping[str, str]) -> dict[str, str]:
    name, at = device["id"], device["at"]
    row = {"name": device["name"], "kind": words[name], "place": place_words_of(at)}
    row["stand_off"] = at.get("stand_off", "")
    row.update({key: device.get(key, "") for key in ("amps", "watts", "start_amps", "zone", "supply")})
    row["board"] = feeders.get(name, "")
    row["confirmed"] = "yes" if device.get("confirmed") else ""
    row["id"] = name if slug(device["name"]) != name else ""
    return row


def change_of(raw: Raw, sheet: Sheet) -> Change:
    """What writing a project back into its sheet changes: rows for devices that it lacks, and what is assumed.

    Args:
        raw: the project's data, its sheet in it.
        sheet: the sheet as it was read.

    Returns:
        The change.
    """
    header = sheet.header
    width = max((len(row) for row in sheet.grid.rows), default=0)
    columns: dict[int, str] = {}
    cells: dict[tuple[int, int], str] = {}
    places = dict(header.places)

    def column(key: str) -> int:
        nonlocal width
        if key not in places:
            places[key] = width
            columns[width] = known_columns()[key].title
            width += 1
        return places[key]

    number = len(sheet.grid.rows)
    for row in new_rows(raw, [one.id for one in sheet.rows]):
        for key, text in row.items():
            if text:
                cells[number, column(key)] = text
        number += 1
    words = assumed_words(raw)
    for one in sheet.rows:
        place = column("assumed") if words.get(one.id) else places.get("assumed")
        if place is not None:
            cells[one.row - 1, place] = words.get(one.id, "")
    return Change(header.row, columns, cells)


def assumed_words(raw: Raw) -> dict[str, str]:
    """What is assumed of each device, in one cell.

    Args:
        raw: the project's data, its sheet in it.

    Returns:
        Text by device id.
    """
    found: dict[str, list[str]] = {}
    for entry in raw.get("assumed", ()):
        within = f" (within {entry['error']})" if entry.get("error") else ""
        found.setdefault(entry["about"], []).append(f"{entry['what'].replace('_', ' ')} {entry['value']}{within}")
    return {name: "; ".join(words) for name, words in found.items()}


def changed_grid(sheet: Sheet, change: Change) -> list[list[str]]:
    """A sheet's cells with a change made.

    Args:
        sheet: the sheet.
        change: what is different.

    Returns:
        Text of all cells, every row as wide as the widest.
    """
    rows = [[written(cell) for cell in row] for row in sheet.grid.rows]
    most = max([len(rows), *(row + 1 for row, _ in change.cells)])
    width = max([*(len(row) for row in rows), *(place + 1 for place in change.columns)], default=0)
    rows.extend([] for _ in range(most - len(rows)))
    full = [row + [""] * (width - len(row)) for row in rows]
    for place, title in change.columns.items():
        full[change.header][place] = title
    for (row, place), text in change.cells.items():
        full[row][place] = text
    return full


def fresh_grid(rows: Sequence[Mapping[str, str]]) -> list[list[str]]:
    """A new sheet's cells.

    Args:
        rows: text by column key.

    Returns:
        A header with every column, and the rows.
    """
    columns = [column for column in known_columns().values() if column.key != "assumed"]
    return [[column.title for column in columns], *([row.get(column.key, "") for column in columns] for row in rows)]


def csv_bytes(rows: Sequence[Sequence[str]], separator: str = ",") -> bytes:
    """Cells as the bytes of a text file.

    Args:
        rows: text of the cells.
        separator: what parts them.

    Returns:
        UTF-8 with the mark by which spreadsheets know it.
    """
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=separator).writerows(rows)
    return out.getvalue().encode("utf-8-sig")
