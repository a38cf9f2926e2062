"""Edits of devices: place, move, set, take out. A device of the equipment sheet is changed by a line that goes before it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ribway.editing.changes import Change, Edit, Raw
from ribway.editing.things import add_thing, entries, names_in
from ribway.models.key_paths import item_name
from ribway.models.project_faults import Fault, ProjectFaults

DEVICES = ("devices",)
CIRCUITS = ("circuits",)
RUNS = ("runs",)


def place_device(device: Mapping[str, object]) -> Edit:
    """Add a device.

    Args:
        device: its keys as in the project file: ``id``, ``name``, ``at``, quantities as text with their unit.

    Returns:
        The edit; it refuses an id that is taken.
    """
    return add_thing(DEVICES, device)


def move_device(name: str, at: Mapping[str, object]) -> Edit:
    """Put a device somewhere else.

    Args:
        name: its id.
        at: the new place as in the project file, such as ``{"wall": "left", "back": "1.2 m", "up": "0.8 m"}``. Keys that
            say no place (``stand_off``, ``moving``, ``loop``) stay as they are unless given.

    Returns:
        The edit. A device that only the equipment sheet has gets a line of its own in the project file.
    """

    def edit(raw: Raw) -> Sequence[Change]:
        here = _of(raw, name)
        if here is None:
            return [Change(DEVICES, {"id": name, "at": dict(at)}, add=True)]
        before = here.get("at")
        kept = {key: before[key] for key in ("moving", "loop") if key in before} if isinstance(before, dict) else {}
        if isinstance(before, dict) and "on" not in at and "stand_off" in before:
            kept["stand_off"] = before["stand_off"]
        return [Change((*DEVICES, name, "at"), {**kept, **at})]

    return edit


def set_device(name: str, values: Mapping[str, object]) -> Edit:
    """Set a device's values.

    Args:
        name: its id.
        values: new value by key; None takes the key out.

    Returns:
        The edit. A device that only the equipment sheet has gets a line of its own in the project file.
    """

    def edit(raw: Raw) -> Sequence[Change]:
        if _of(raw, name) is None:
            said = {key: value for key, value in values.items() if value is not None}
            return [Change(DEVICES, {"id": name, **said}, add=True)] if said else []
        return [Change((*DEVICES, name, key), value) for key, value in values.items()]

    return edit


def take_out_device(name: str) -> Edit:
    """Take a device out, and from the circuits and runs that lead to it.

    Args:
        name: its id.

    Returns:
        The edit: a circuit that starts at it, or that feeds nothing else, goes with it, and so do wishes for its runs,
        and what alternatives change about any of these.
    """

    def edit(raw: Raw) -> Sequence[Change]:
        if _of(raw, name) is None:
            message = f"{name} stands in the equipment sheet, not in the project file: take its row out there"
            raise ProjectFaults([Fault("", f"devices / {name}", name, "", message)])
        gone, changes = _circuits_without(raw, name)
        changes = [*_gone(raw, DEVICES, {name}), *changes]
        runs = {
            item_name(run, index)
            for index, run in enumerate(entries(raw, RUNS))
            if isinstance(run, dict) and (run.get("circuit") in gone or name in (run.get("from"), run.get("to")))
        }
        return [*changes, *_gone(raw, RUNS, runs), *_in_alternatives(raw, {name}, gone, runs)]

    return edit


def _of(raw: Raw, name: str) -> Raw | None:
    found = (item for item in entries(raw, DEVICES) if isinstance(item, dict) and item.get("id") == name)
    return next(found, None)


def _circuits_without(raw: Raw, name: str) -> tuple[set[str], list[Change]]:
    """Circuits that end with a device, and what changes in those that go on without it."""
    gone: set[str] = set()
    changes: list[Change] = []
    for index, circuit in enumerate(entries(raw, CIRCUITS)):
        loads = circuit.get("to") if isinstance(circuit, dict) else None
        if not isinstance(loads, list):
            continue
        rest = [load for load in loads if load != name]
        if circuit.get("from") == name or not rest:
            gone.add(item_name(circuit, index))
        elif len(rest) < len(loads):
            changes.append(Change((*CIRCUITS, item_name(circuit, index), "to"), rest))
    return gone, [*changes, *_gone(raw, CIRCUITS, gone)]


def _gone(raw: Raw, where: tuple[str, ...], names: set[str]) -> list[Change]:
    """Items taken out, the last first, since those without a name are called by their number."""
    there = names_in(raw, where)
    if names and names >= set(there):
        return [Change(where, None)]
    return [Change((*where, one), None) for one in reversed(there) if one in names]


def _in_alternatives(raw: Raw, devices: set[str], circuits: set[str], runs: set[str]) -> list[Change]:
    """What alternatives say about things that are gone; one that says nothing else goes with them."""
    changes: list[Change] = []
    empty: set[str] = set()
    for index, alternative in enumerate(entries(raw, ("alternatives",))):
        said = alternative.get("change") if isinstance(alternative, dict) else None
        if not isinstance(said, dict):
            continue
        name, left = item_name(alternative, index), set(said)
        own: list[Change] = []
        for key, names in (("devices", devices), ("circuits", circuits), ("runs", runs)):
            where = ("alternatives", name, "change", key)
            about = said.get(key)
            there = list(about) if isinstance(about, dict) else names_in(raw, where)
            found = [one for one in reversed(there) if one in names]
            if found and len(found) == len(there):
                own.append(Change(where, None))
                left.discard(key)
            else:
                own += [Change((*where, one), None) for one in found]
        if own and not left:
            empty.add(name)
        else:
            changes += own
    return [*changes, *_gone(raw, ("alternatives",), empty)]
