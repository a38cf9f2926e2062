"""Where the rows of an equipment sheet put things: place, wall and distances as one, and zones that are places by name."""

from __future__ import annotations

import re
from dataclasses import replace

from ribway.models.equipment.columns import Header
from ribway.models.equipment.grid import Grid, written
from ribway.models.equipment.place_text import ACCEPTED, SaidPlace, parse_place, place_words, with_words
from ribway.models.equipment.row_reader import EXAMPLES, RowReader, is_device
from ribway.models.faults import SpellingError
from ribway.models.project_faults import Fault
from ribway.models.spelling import folded

_DISTANCES = ("back", "up", "left", "right")
ZONE_WORDS = frozenset(folded(word) for word in ("zone", "area", "Bereich", "zona", "área"))
"""Kinds of a row that is no device: its name may stand as the place of other rows, which then lie side by side there."""


def zones_of(
    grid: Grid, header: Header, arm_m: float | None
) -> tuple[dict[str, SaidPlace], frozenset[int], list[Fault]]:
    """Rows of the kind zone.

    Args:
        grid: the sheet.
        header: of the sheet.
        arm_m: length of one arm measure [m].

    Returns:
        The place of each by its folded name, which rows they are, and what is wrong with them.
    """
    found: dict[str, SaidPlace] = {}
    rows: set[int] = set()
    faults: list[Fault] = []
    for index, cells in enumerate(grid.rows[header.row + 1 :], start=header.row + 1):
        reader = RowReader(grid, header, index + 1, cells, arm_m)
        if not is_device(cells, header) or folded(written(reader.cell("kind"))) not in ZONE_WORDS:
            continue
        rows.add(index)
        name, place = reader.words("name"), place_of(reader)
        if not name and not reader.faults:
            reader.refuse("name", "", "a name like Kitchen", "the zone has no name: give it one, to be used as a place")
        elif folded(name) in found:
            reader.refuse("name", name, "a name that stands once", f"there is a zone {name} already: rename one")
        faults += reader.faults
        found.setdefault(folded(name), replace(place, zone=name))
    return found, frozenset(rows), faults


def place_of(reader: RowReader) -> SaidPlace:
    """The place that a row says.

    Args:
        reader: of the row; what is wrong is noted in it.

    Returns:
        The place; an empty one after a fault.
    """
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
            f"there is no wall {wall}: write left, right, roof, floor or bulkhead", wall, EXAMPLES["wall"]
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
