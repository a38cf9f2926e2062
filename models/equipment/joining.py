"""A sheet's entries laid under what the project file itself says: the file's own word goes before the sheet's."""

from __future__ import annotations

import copy
from collections.abc import Mapping, Sequence
from typing import Any

from ribway.models.equipment.expand import Expansion

Raw = dict[str, Any]
_POWERED = ("amps", "watts")


def join(raw: Mapping[str, Any], expansion: Expansion) -> Raw:
    """Put a sheet's devices, circuits and runs into a project's data.

    The file's own entries keep their positions, so that they keep their lines. A thing of the same id is one thing:
    key by key, what the file says replaces what the sheet says.

    Args:
        raw: the project file's data; stays as it is.
        expansion: what the sheet says.

    Returns:
        The data with the sheet's entries behind the file's own.
    """
    joined = copy.deepcopy(dict(raw))
    stated = {str(run.get("circuit")) for run in _things(raw.get("runs"))}
    # Wishes for the runs of a stated circuit are the whole statement of it.
    runs = [run for run in expansion.runs if run["circuit"] not in stated]
    joined["devices"] = _overlaid(raw.get("devices"), expansion.devices)
    joined["circuits"] = _overlaid(raw.get("circuits"), expansion.circuits)
    if runs or "runs" in raw:
        joined["runs"] = _overlaid(raw.get("runs"), runs)
    if "assumed" not in raw:
        joined["assumed"] = [entry for entry in expansion.assumed if _holds(entry, joined, expansion)]
    if "unplanned" not in raw:
        joined["unplanned"] = [entry for entry in expansion.unplanned if not _led(entry, raw)]
    return joined


def _things(entries: object) -> list[Raw]:
    return [entry for entry in entries if isinstance(entry, dict)] if isinstance(entries, list) else []


def _ids(entries: object) -> set[str]:
    return {entry["id"] for entry in _things(entries) if isinstance(entry.get("id"), str)}


def _overlaid(own: object, sheet: Sequence[Raw]) -> Any:
    """The file's entries in their order, each over the sheet's of the same id, then the rest of the sheet's."""
    if own is not None and not isinstance(own, list):
        return own  # malformed: the file's own check finds it
    mine: list[Any] = list(own or [])
    below = {entry["id"]: entry for entry in sheet}
    ids = _ids(mine)
    laid = [_over(below.get(str(entry.get("id"))), entry) if isinstance(entry, dict) else entry for entry in mine]
    return [*laid, *(copy.deepcopy(entry) for entry in sheet if entry["id"] not in ids)]


def _over(sheet: Raw | None, own: Raw) -> Raw:
    if sheet is None:
        return copy.deepcopy(own)
    below = {key: value for key, value in sheet.items() if key not in _POWERED or not set(_POWERED) & set(own)}
    if "kind" in own:  # the file states the whole device: a stud that only the catalogue has would be news to it
        below.pop("stud", None)
    if "takes" in own and own.get("kind", below.get("kind")) != "board":
        below.pop("stud", None)
    laid = {**copy.deepcopy(below), **copy.deepcopy(own)}
    place, said = sheet.get("at"), own.get("at")
    # A distance alone moves the sheet's place; a wall, a board or x, y, z says a whole new one.
    if isinstance(place, dict) and isinstance(said, dict) and not {"wall", "x", "y", "z", "on"} & set(said):
        laid["at"] = {**place, **said}
    return laid


def fed_by_file(raw: Mapping[str, Any]) -> frozenset[tuple[str, ...]]:
    """What the file's own circuits reach, so that the sheet does not lead a second cable there.

    Args:
        raw: the project file's data.

    Returns:
        Kind and load of every circuit; for data, kind and both ends, either way round.
    """
    found: set[tuple[str, ...]] = set()
    for circuit in _things(raw.get("circuits")):
        kind, source, loads = str(circuit.get("kind", "dc")), str(circuit.get("from")), circuit.get("to")
        for load in loads if isinstance(loads, list) else []:
            found |= {(kind, str(load))} if kind != "data" else {(kind, source, str(load)), (kind, str(load), source)}
    return frozenset(found)


def _holds(entry: Raw, joined: Raw, expansion: Expansion) -> bool:
    """Whether an assumed value is still the one that counts."""
    about, what = entry["about"], entry["what"]
    if what in ("board", "switch"):
        sheet = [circuit for circuit in expansion.circuits if about in circuit["to"]]
        return (
            any(circuit in joined["circuits"] for circuit in sheet) if isinstance(joined["circuits"], list) else False
        )
    key = "at" if what == "place" else what
    group, entries = ("circuits", expansion.circuits) if what == "fuse" else ("devices", expansion.devices)
    before = next((one for one in entries if one["id"] == about), {})
    after = next((one for one in _things(joined.get(group)) if one.get("id") == about), {})
    return key in after and after.get(key) == before.get(key)


def _led(entry: Raw, raw: Mapping[str, Any]) -> bool:
    """Whether the file leads a cable to a device that the sheet leads none to."""
    listed = [circuit.get("to") for circuit in _things(raw.get("circuits"))]
    loads = [load for loads in listed if isinstance(loads, list) for load in loads]
    return not entry["lead"] and entry["about"] in [*loads, *(one.get("from") for one in _things(raw.get("circuits")))]
