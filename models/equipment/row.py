"""One row of the equipment sheet, read."""

from __future__ import annotations

from dataclasses import dataclass

from ribway.models.equipment.place_text import SaidPlace


@dataclass(frozen=True)
class EquipmentRow:
    """One device as its row says it. Quantities are text with their unit, as in a project file; empty if not said.

    Attributes:
        row: number of the row, counted from 1 as spreadsheets do.
        name: what it is called.
        id: its id, given or made from the name.
        kind: name of its kind in the catalogue.
        place: where it is.
        stand_off: how far off the metal the wire ends.
        amps, watts: running current or power.
        start_amps: current while it starts.
        board: name or id of the board that feeds it.
        circuit: what its circuit is called.
        switch: name or id of the switch that it hangs behind.
        zone: what part of the van it belongs to.
        drop: drop class or share.
        supply: when it must have power.
        confirmed: whether somebody has read the plate.
        notes: for people.
    """

    row: int
    name: str
    id: str
    kind: str
    place: SaidPlace
    stand_off: str = ""
    amps: str = ""
    watts: str = ""
    start_amps: str = ""
    board: str = ""
    circuit: str = ""
    switch: str = ""
    zone: str = ""
    drop: str = ""
    supply: str = ""
    confirmed: bool = False
    notes: str = ""
