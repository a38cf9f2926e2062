"""From the rows of a sheet to devices, circuits and runs of a project: a pure function."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ribway.models.catalogue.kinds import Catalogue
from ribway.models.equipment.columns import known_columns
from ribway.models.equipment.ends import Ends
from ribway.models.equipment.feeding import feed_all
from ribway.models.equipment.grid import fault_at
from ribway.models.equipment.groups import Circuits
from ribway.models.equipment.leads import lead_all
from ribway.models.equipment.outline import Outline
from ribway.models.equipment.place_resolve import Resolved, resolve
from ribway.models.equipment.place_text import SaidPlace
from ribway.models.equipment.row import EquipmentRow
from ribway.models.equipment.side_by_side import zone_places
from ribway.models.equipment.thing import Entry, Thing, assumed_entries, device_entry, point_of
from ribway.models.faults import SpellingError
from ribway.models.project_faults import Fault


@dataclass(frozen=True)
class Expansion:
    """What a sheet says, as a project file would say it.

    Attributes:
        devices, circuits, runs: entries as the project file has them, quantities as text.
        assumed: values that nobody confirmed.
        unplanned: leads that are not in the plan.
        rows: row of the sheet by device id, and by circuit id where that is no device's.
        faults: rows that cannot be used, all at once; the rest is not complete then.
    """

    devices: tuple[Entry, ...]
    circuits: tuple[Entry, ...]
    runs: tuple[Entry, ...]
    assumed: tuple[Entry, ...]
    unplanned: tuple[Entry, ...]
    rows: Mapping[str, int]
    faults: tuple[Fault, ...]


def expand(
    rows: Sequence[EquipmentRow],
    catalogue: Catalogue,
    outline: Outline | None,
    *,
    file: str = "",
    titles: Mapping[str, str] | None = None,
    arm_m: float | None = None,
    own: Sequence[Mapping[str, Any]] = (),
    fed: frozenset[tuple[str, ...]] = frozenset(),
) -> Expansion:
    """Turn rows into a project's entries.

    Args:
        rows: the rows.
        catalogue: kinds and their leads.
        outline: the van; None if its size is not known, and then no place can be rough.
        file: what to call the sheet in faults.
        titles: headers of the sheet's columns, for faults; the usual ones if None.
        arm_m: length of one arm measure [m].
        own: devices that the project file itself has: their boards may feed rows.
        fed: what circuits of the project file reach already, as `fed_by_file` has it.

    Returns:
        Devices in the order of the rows, circuits that feed them, then their other leads.
    """
    headers = {**{key: column.title for key, column in known_columns().items()}, **(titles or {})}
    known = {entry.get("id") for entry in own}
    faults: list[Fault] = []
    things: list[Thing] = []
    devices: dict[str, Entry] = {}
    assumed: list[Entry] = []
    in_zones = zone_places(rows, outline, arm_m)
    for row in rows:
        kind = catalogue.kinds[row.kind]
        if kind.plate and not row.amps and not row.watts and row.id not in known:
            message = f"{row.kind} has no usual current: write the amps or watts of its plate"
            faults.append(fault_at(file, row.row, headers["amps"], "", "5 A, or 60 W", message))
        try:
            place = in_zones(row) if row.place.zone else resolve(row.place, outline, row.id, row.stand_off, arm_m)
        except SpellingError as error:
            faults.append(fault_at(file, row.row, headers["place"], error.found, error.accepted, str(error)))
            place = Resolved({"wall": "left", "back": "1 m", "up": "1 m"})
        devices[row.id] = device_entry(row, kind, place)
        assumed += assumed_entries(row, kind, place, devices[row.id])
        things.append(Thing(row, kind, point_of(place.at, outline, arm_m)))
    foreign = [_foreign(one, catalogue, outline, arm_m) for one in _off_boards(own) if one.get("id") not in devices]
    ends = Ends(file, [*things, *(one for one in foreign if one is not None)], headers, catalogue, fed)
    found = feed_all(ends, devices)
    unplanned = lead_all(ends, found)
    faults += [*ends.faults, *_same_run_names(found, file, headers["circuit"])]
    return Expansion(
        devices=tuple(devices.values()),
        circuits=tuple(found.circuits),
        runs=tuple(found.runs),
        assumed=(*assumed, *found.assumed),
        unplanned=tuple(unplanned),
        rows={**found.rows, **{row.id: row.row for row in rows}},
        faults=tuple(sorted(faults, key=lambda fault: fault.line)),
    )


def _off_boards(own: Sequence[Mapping[str, Any]]) -> list[Mapping[str, Any]]:
    """The file's devices, those fixed on a mounting board at the place of that board."""
    places = {str(one.get("id")): one.get("at") for one in own}
    out: list[Mapping[str, Any]] = []
    for one in own:
        at = one.get("at")
        board = at.get("on") if isinstance(at, Mapping) else None
        out.append({**one, "at": places.get(str(board))} if board else one)
    return out


def _foreign(
    entry: Mapping[str, Any], catalogue: Catalogue, outline: Outline | None, arm_m: float | None
) -> Thing | None:
    """A device of the project file that rows may hang on: a board or a switch."""
    name, at = entry.get("id"), entry.get("at")
    kind = {"board": "fuse board", "switch": "switch"}.get(str(entry.get("kind")))
    if not isinstance(name, str) or not isinstance(at, Mapping) or kind is None:
        return None
    called = entry.get("name")
    row = EquipmentRow(0, called if isinstance(called, str) else name, name, kind, SaidPlace())
    return Thing(row, catalogue.kinds[kind], point_of(at, outline, arm_m), foreign=True)


def _same_run_names(found: Circuits, file: str, title: str) -> list[Fault]:
    """Circuits of several runs number them; such a name must not be another circuit's."""
    names = {circuit["id"] for circuit in found.circuits}
    faults, seen = [], set()
    for circuit in found.circuits:
        row = found.rows[circuit["id"]]
        numbered = (
            {f"{circuit['id']}-{number}" for number in range(1, len(circuit["to"]) + 1)}
            if len(circuit["to"]) > 1
            else set()
        )
        both = sorted(numbered & names)
        if circuit["id"] in seen or both:
            other = both[0] if both else circuit["id"]
            message = (
                f"the circuit {circuit['name']} and another one would both have a cable called {other}: rename one"
            )
            faults.append(fault_at(file, row, title, circuit["id"], "a name of its own", message))
        seen.add(circuit["id"])
    return faults
