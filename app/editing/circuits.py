"""Edits of circuits and of wishes for single runs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ribway.editing.changes import Change, Edit, Raw
from ribway.editing.devices import CIRCUITS, RUNS
from ribway.editing.things import add_thing, change_thing, entries, names_in
from ribway.models.key_paths import item_name
from ribway.models.project_faults import ProjectFaults
from ribway.models.rewriting import no_such_place


def add_circuit(circuit: Mapping[str, object]) -> Edit:
    """Add a circuit.

    Args:
        circuit: its keys as in the project file: ``id``, ``name``, ``from``, ``to``.

    Returns:
        The edit; it refuses an id that is taken.
    """
    return add_thing(CIRCUITS, circuit)


def set_circuit(name: str, values: Mapping[str, object]) -> Edit:
    """Set a circuit's values.

    Args:
        name: its id.
        values: new value by key; None takes the key out.

    Returns:
        The edit. A circuit that only the equipment sheet has gets a line of its own in the project file.
    """

    def edit(raw: Raw) -> Sequence[Change]:
        if name not in names_in(raw, CIRCUITS):
            said = {key: value for key, value in values.items() if value is not None}
            return [Change(CIRCUITS, {"id": name, **said}, add=True)] if said else []
        return change_thing(CIRCUITS, name, values)(raw)

    return edit


def take_out_circuit(name: str) -> Edit:
    """Take a circuit out, and wishes for its runs with it.

    Args:
        name: its id.

    Returns:
        The edit.
    """

    def edit(raw: Raw) -> Sequence[Change]:
        there = names_in(raw, CIRCUITS)
        if name not in there:
            raise ProjectFaults([no_such_place(raw, (*CIRCUITS, name))])
        runs = [
            item_name(run, index)
            for index, run in enumerate(entries(raw, RUNS))
            if isinstance(run, dict) and run.get("circuit") == name
        ]
        wishes = [Change((*RUNS, one), None) for one in reversed(runs)]
        if runs and len(runs) == len(entries(raw, RUNS)):
            wishes = [Change(RUNS, None)]
        return [Change(CIRCUITS if len(there) == 1 else (*CIRCUITS, name), None), *wishes]

    return edit
