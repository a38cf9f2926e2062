"""A device of the sheet with its kind and its place, ready to be wired."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from ribway.models.amounts import parse_amps
from ribway.models.catalogue.kinds import CatalogueKind
from ribway.models.equipment.outline import Outline, outline_of
from ribway.models.equipment.place_resolve import Resolved
from ribway.models.equipment.row import EquipmentRow
from ribway.models.faults import SpellingError
from ribway.models.lengths import parse_length

Point = tuple[float, float, float]
Entry = dict[str, Any]


@dataclass(frozen=True)
class Thing:
    """A device.

    Attributes:
        row: what the sheet says of it.
        kind: what the catalogue says of its kind.
        point: roughly where it is: back from the datum, left of the centre line, above the floor [m].
        foreign: whether it stands in the project file and not in the sheet.
    """

    row: EquipmentRow
    kind: CatalogueKind
    point: Point
    foreign: bool = False

    @property
    def id(self) -> str:
        """Its id."""
        return self.row.id

    def distance_m(self, other: Thing) -> float:
        """How much cable lies between two things at least, roughly: along, across and up [m]."""
        return sum(abs(a - b) for a, b in zip(self.point, other.point, strict=True))


def nearest(thing: Thing, others: Iterable[Thing]) -> Thing | None:
    """The nearest of several things.

    Args:
        thing: from where.
        others: from which to choose; the thing itself is passed over.

    Returns:
        The nearest; of equals, the first by id; None if there is none.
    """
    choice = [other for other in others if other.id != thing.id]
    return min(choice, key=lambda other: (round(thing.distance_m(other), 3), other.id), default=None)


def point_of(at: Mapping[str, Any], outline: Outline | None, arm_m: float | None = None) -> Point:
    """Roughly where a place is.

    Args:
        at: a place as the project file gives it; what cannot be read counts as 0.
        outline: the van; a usual one if None.
        arm_m: length of one arm measure [m].

    Returns:
        Distance back, to the left and above the floor [m].
    """
    van = outline or outline_of({})
    if van is None:
        raise ValueError("the usual preset has an outline")

    def length(key: str) -> float:
        try:
            return parse_length(at[key], arm_m=arm_m, allow_negative=True) if key in at else 0.0
        except (SpellingError, ValueError):
            return 0.0

    sideways = length("left") - length("right")
    match at.get("wall"):
        case "left" | "right" as wall:
            return length("back"), van.half_waist_m if wall == "left" else -van.half_waist_m, length("up")
        case "roof":
            return length("back"), sideways, van.edge_m
        case "floor":
            return length("back"), sideways, 0.0
        case "bulkhead":
            return van.front_m, sideways, length("up")
    return -length("x"), length("y"), length("z")


def device_entry(row: EquipmentRow, kind: CatalogueKind, place: Resolved) -> Entry:
    """A device as the project file gives it.

    Args:
        row: what the sheet says.
        kind: what the catalogue says.
        place: its place.

    Returns:
        The entry; what the sheet does not say is the catalogue's, and then it is not confirmed.
    """
    entry: Entry = {"id": row.id, "name": row.name, "kind": kind.device, "at": dict(place.at)}
    amps = row.amps or ("" if row.watts else kind.amps)
    if row.watts:
        entry["watts"] = row.watts
    elif amps and parse_amps(amps) > 0:
        entry["amps"] = amps
    start = row.start_amps or kind.start_amps
    if start and (row.start_amps or not amps or parse_amps(start) > parse_amps(amps)):
        entry["start_amps"] = start
    if row.zone or row.place.zone:
        entry["zone"] = row.zone or row.place.zone
    if kind.tail:
        entry["tail"] = kind.tail
    if row.supply or kind.supply:
        entry["supply"] = row.supply or kind.supply
    if kind.stud:
        entry["stud"] = kind.stud
    said = bool(row.amps or row.watts) or not kind.amps
    entry["confirmed"] = row.confirmed and said and not place.error_m
    return entry


def assumed_entries(row: EquipmentRow, kind: CatalogueKind, place: Resolved, entry: Entry) -> list[Entry]:
    """What of a device was filled in.

    Args:
        row: what the sheet says.
        kind: what the catalogue says.
        place: its place.
        entry: the device as it came out.

    Returns:
        One entry for each value: a rough place, amps and start amps of the catalogue.
    """
    found: list[Entry] = []
    if place.error_m:
        words = " ".join(word for word in (row.place.wall, row.place.along, row.place.height, row.place.side) if word)
        words = words.replace("back", "rear").replace(" up", " high")
        words = f"in {row.place.zone}, {words}" if row.place.zone else words
        found.append(
            {
                "about": row.id,
                "what": "place",
                "value": place_words_of(place.at),
                "source": f"roughly, {words}: row {row.row} of the sheet",
                "error": f"{place.error_m:.2f} m",
            }
        )
    usual = f"{kind.amps_low} to {kind.amps}" if kind.amps_low != kind.amps else kind.amps
    if "amps" in entry and not row.amps:
        source = f"catalogue, {kind.name}: usually {usual} ({kind.source})"
        found.append({"about": row.id, "what": "amps", "value": entry["amps"], "source": source})
    if "start_amps" in entry and not row.start_amps:
        source = f"catalogue, {kind.name} ({kind.source})"
        found.append({"about": row.id, "what": "start_amps", "value": entry["start_amps"], "source": source})
    if kind.stud:
        source = f"catalogue, {kind.name} (common practice, no source)"
        found.append({"about": row.id, "what": "stud", "value": kind.stud, "source": source})
    if kind.supply and not row.supply:
        source = f"catalogue, {kind.name} (common practice, no source)"
        found.append({"about": row.id, "what": "supply", "value": kind.supply, "source": source})
    return found


def place_words_of(at: Mapping[str, Any]) -> str:
    """A place in one cell, as the sheet takes it.

    Args:
        at: the place as the project file gives it.

    Returns:
        "left 1.2 m back 0.9 m up"; a place by x, y, z as "x -1.2 m y 0.6 m z 0.9 m".
    """
    if at.get("wall"):
        return " ".join(
            [str(at["wall"]), *(f"{at[key]} {key}" for key in ("back", "up", "left", "right") if at.get(key))]
        )
    return " ".join(f"{key} {at[key]}" for key in ("x", "y", "z") if at.get(key))
