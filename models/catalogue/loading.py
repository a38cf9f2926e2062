"""The catalogue's tables, read and checked row by row."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import cache
from importlib.resources import files
from typing import cast, get_args

from ribway.models.amounts import parse_amps, parse_percent, parse_volts
from ribway.models.cables import parse_cable
from ribway.models.catalogue.kinds import Catalogue, CatalogueKind, Lead, LeadType, Pattern
from ribway.models.circuits import DeviceKind, Stud, Supply
from ribway.models.faults import SpellingError
from ribway.models.lengths import parse_length
from ribway.models.spelling import folded, slug

_KIND_COLUMNS = (
    "kind", "device", "family", "amps_low", "amps_high", "start_amps", "drop", "pattern", "fuse", "least",
    "tail", "aliases", "notes", "source",
)  # fmt: skip
_LEAD_COLUMNS = (
    "kind", "lead", "type", "way", "ends", "count", "cable", "least", "drop", "volts", "can_feed", "notes",
)  # fmt: skip
_SUPPLY_COLUMNS = ("kind", "supply", "source")
_STUD_COLUMNS = ("kind", "stud", "source")
_FILES = ("kinds.csv", "leads.csv", "supply.csv", "studs.csv")
_CHOICES: dict[str, tuple[str, ...]] = {
    "device": get_args(DeviceKind),
    "pattern": get_args(Pattern),
    "type": get_args(LeadType),
    "way": ("in", "out"),
    "count": ("one", "each", "by hand"),
    "can_feed": ("yes", "no"),
    "supply": get_args(Supply),
    "stud": get_args(Stud),
}
_PARSERS = {
    "amps_low": parse_amps,
    "amps_high": parse_amps,
    "start_amps": parse_amps,
    "fuse": parse_amps,
    "volts": parse_volts,
    "tail": parse_length,
    "cable": parse_cable,
    "least": parse_cable,
}
_PLATE = "plate"
LONGEST_LEAD = 11
"""Signs that a lead's name may have in an id, behind a device's id and a full stop."""


@cache
def load_catalogue() -> Catalogue:
    """Read the starter catalogue.

    Returns:
        All kinds with their leads.

    Raises:
        ValueError: a row that contradicts itself or another one, with its file and line.
    """
    folder = files("ribway.models.catalogue")
    kinds, leads, supply, studs = ((folder / name).read_text(encoding="utf-8") for name in _FILES)
    return read_catalogue(kinds, leads, supply, studs)


def read_catalogue(kinds_text: str, leads_text: str, supply_text: str = "", studs_text: str = "") -> Catalogue:
    """Read a catalogue from the text of its tables.

    Args:
        kinds_text: CSV with one row a kind.
        leads_text: CSV with one row a lead.
        supply_text: CSV with one row for each kind that must have power of a certain class; empty if none must.
        studs_text: CSV with one row for each kind whose cables end on a screw; empty if none is known.

    Returns:
        All kinds with their leads.

    Raises:
        ValueError: as for `load_catalogue`.
    """
    leads = [(_lead(row, place), place) for row, place in _rows(leads_text, "leads.csv", _LEAD_COLUMNS)]
    kinds: dict[str, CatalogueKind] = {}
    spellings: dict[str, str] = {}
    for row, place in _rows(kinds_text, "kinds.csv", _KIND_COLUMNS):
        kind = _kind(row, place, tuple(lead for lead, _ in leads if lead.owner in (row["kind"], row["family"])))
        kinds[kind.name] = kind
        for spelling in (kind.name, *kind.aliases):
            other = spellings.setdefault(folded(spelling), kind.name)
            if other != kind.name or not folded(spelling):
                raise ValueError(f"{place}: {spelling!r} names {other} too: each spelling names one kind")
    names = {name for kind in kinds.values() for name in (kind.name, kind.family) if name}
    for lead, place in leads:
        unknown = [end for group in (*lead.ends, (lead.owner,)) for end in group if end not in names]
        if unknown:
            raise ValueError(f"{place}: there is no kind or family {unknown[0]!r}")
    for row, place in _rows(supply_text, "supply.csv", _SUPPLY_COLUMNS) if supply_text else ():
        if row["kind"] not in kinds:
            raise ValueError(f"{place}: there is no kind {row['kind']!r}")
        kinds[row["kind"]] = replace(kinds[row["kind"]], supply=cast(Supply, row["supply"]))
    for row, place in _rows(studs_text, "studs.csv", _STUD_COLUMNS) if studs_text else ():
        if row["kind"] not in kinds:
            raise ValueError(f"{place}: there is no kind {row['kind']!r}")
        kinds[row["kind"]] = replace(kinds[row["kind"]], stud=cast(Stud, row["stud"]))
    return Catalogue(kinds, spellings)


def _rows(text: str, file: str, columns: tuple[str, ...]) -> Iterator[tuple[dict[str, str], str]]:
    """Rows with their places, every cell checked by its column."""
    reader = csv.DictReader(text.splitlines(), strict=True)
    if tuple(reader.fieldnames or ()) != columns:
        raise ValueError(f"{file}: the header is {reader.fieldnames}, it must be {', '.join(columns)}")
    seen: set[tuple[str, str]] = set()
    for row in reader:
        place = f"{file}, line {reader.line_num}"
        if None in row or None in row.values():
            raise ValueError(f"{place}: the row does not have {len(columns)} values")
        key = (row["kind"], row.get("lead", ""))
        if key in seen:
            raise ValueError(f"{place}: {' '.join(key).strip()} stands twice")
        seen.add(key)
        for column, value in row.items():
            _check(column, value, place)
        yield row, place


def _check(column: str, value: str, place: str) -> None:
    if column in _CHOICES and value not in _CHOICES[column]:
        raise ValueError(f"{place}: {column} is {value!r}, it must be one of {', '.join(_CHOICES[column])}")
    try:
        if column in _PARSERS and value not in ("", _PLATE):
            _PARSERS[column](value)
        if column == "drop" and value not in ("", "critical", "other"):
            parse_percent(value, what="drop")
    except SpellingError as error:
        raise ValueError(f"{place}: {column}: {error}") from error


def _kind(row: Mapping[str, str], place: str, leads: tuple[Lead, ...]) -> CatalogueKind:
    plate = row["amps_high"] == _PLATE
    amps, low = ("", "") if plate else (row["amps_high"], row["amps_low"])
    if not row["kind"] or not row["source"]:
        raise ValueError(f"{place}: kind and source must not be empty")
    if bool(amps) != bool(low) or (amps and parse_amps(amps) < parse_amps(low)):
        raise ValueError(f"{place}: amps go from {low or 'nothing'} to {amps or 'nothing'}")
    if row["start_amps"] and (not amps or parse_amps(row["start_amps"]) < parse_amps(amps)):
        raise ValueError(f"{place}: it starts with {row['start_amps']} and runs with {amps or 'nothing'}")
    if row["pattern"] in ("switched chain", "home", "with switch") and not any(lead.name == "feed" for lead in leads):
        raise ValueError(f"{place}: {row['kind']} is fed {row['pattern']}, but no lead of it is called feed")
    return CatalogueKind(
        name=row["kind"],
        device=cast(DeviceKind, row["device"]),
        family=row["family"],
        amps_low=low,
        amps=amps,
        plate=plate,
        start_amps=row["start_amps"],
        drop=row["drop"],
        pattern=cast(Pattern, row["pattern"]),
        fuse=row["fuse"],
        least=row["least"],
        tail=row["tail"],
        aliases=tuple(alias for alias in row["aliases"].split("|") if alias),
        notes=row["notes"],
        source=row["source"],
        leads=tuple(sorted(leads, key=lambda lead: lead.name != "feed")),
    )


def _lead(row: Mapping[str, str], place: str) -> Lead:
    if len(slug(row["lead"])) > LONGEST_LEAD or not row["lead"]:
        raise ValueError(f"{place}: a lead's name has 1 to {LONGEST_LEAD} signs, found {row['lead']!r}")
    if row["type"] in ("earth", "signal") and row["count"] != "by hand":
        raise ValueError(f"{place}: a lead of type {row['type']} is laid by hand")
    if row["type"] == "data" and row["count"] != "by hand" and not row["cable"]:
        raise ValueError(f"{place}: a data lead needs its cable")
    return Lead(
        owner=row["kind"],
        name=row["lead"],
        type=cast(LeadType, row["type"]),
        way="in" if row["way"] == "in" else "out",
        ends=tuple(tuple(group.split("|")) for group in row["ends"].split(";")),
        count="one" if row["count"] == "one" else "each" if row["count"] == "each" else "by hand",
        cable=row["cable"],
        least=row["least"],
        drop=row["drop"],
        volts=row["volts"],
        can_feed=row["can_feed"] == "yes",
        notes=row["notes"],
    )
