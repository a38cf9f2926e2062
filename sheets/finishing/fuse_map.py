"""The fuse map for the box's door: each way of each box, in large letters."""

from __future__ import annotations

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanCircuit
from ribway.models.plan.unconfirmed import LEGEND, marked, unconfirmed
from ribway.sheets.buying.parts import BLADE_TO_A, BOTH_ENDS, fuse_kind
from ribway.sheets.circuits_list import NO_FUSE
from ribway.sheets.csv_file import Value
from ribway.sheets.paper.paper import paper_of_records
from ribway.sheets.paper.record import Field, Record, Section, Values, blank
from ribway.sheets.places import device_names
from ribway.sheets.words import NOTHING, carried_amps, joined, typeset

TYPE_PT = 13.0
BLADE_COLOURS = {
    1.0: "black", 2.0: "grey", 3.0: "violet", 4.0: "pink", 5.0: "tan", 7.5: "brown", 10.0: "red", 15.0: "blue",
    20.0: "yellow", 25.0: "clear", 30.0: "green",
}  # fmt: skip
"""Body colours of blade fuses by rating [A] (ISO 8820-3)."""


def fuse_map_record(plan: Plan) -> Record:
    """Every DC circuit under the box or source that it is fed from, its ways numbered in the plan's order.

    Args:
        plan: the plan.
    """
    fields = (
        Field("way", "Way", align="right", weight=0.1, strong=True),
        Field("circuit", "Circuit", strong=True, weight=0.4),
        Field("feeds", "What it feeds", weight=3.0),
        Field("fuse_a", "", weight=0.3),
        Field("", "Fuse", weight=0.6, align="centre", strong=True),
        Field("fuse_kind", "Kind", weight=1.0),
        Field("colour", "Colour", weight=0.5),
        Field("conductor", "Wire", weight=0.6),
        Field("wire_carries_a", "Wire carries", _carries, "A", 0.4, "right"),
        blank("Amps measured", "amps_measured", "A"),
    )
    still, both = unconfirmed(plan), {one.about for one in plan.findings if one.code == BOTH_ENDS}
    names = device_names(plan)
    boxes: dict[str, list[Values]] = {}

    def add(device: str, circuit: PlanCircuit, words: str) -> None:
        rows = boxes.setdefault(device, [])
        rows.append(_row(plan, circuit, len(rows) + 1, words, circuit.id in still.fuses))

    for circuit in plan.circuits:
        if circuit.kind == "dc":
            add(circuit.source, circuit, circuit.name)
            if circuit.id in both:
                for load in circuit.loads:
                    add(load, circuit, f"{circuit.name} (second fuse, this end)")
    sections = tuple(Section(names.get(device, device), tuple(rows)) for device, rows in boxes.items())
    notes = (
        "Never a larger fuse than stands here: the wire behind it would burn first. AC has a map of its own.",
        LEGEND,
    )
    return Record("fuse-map", "Fuse map", fields, sections, notes, TYPE_PT)


def sizes_of(plan: Plan, circuit: PlanCircuit) -> tuple[str, ...]:
    """The conductor sizes of a circuit, each once, in the order of its runs."""
    return tuple(dict.fromkeys(typeset(run.size_name) for run in plan.runs if run.id in circuit.runs))


def _row(plan: Plan, circuit: PlanCircuit, way: int, words: str, assumed: bool) -> Values:
    fuse = circuit.fuse_a
    blade = fuse is not None and fuse <= BLADE_TO_A
    return (
        way, circuit.id, words, fuse, marked(NO_FUSE if fuse is None else f"{fuse:g} A", assumed),
        NOTHING if fuse is None else fuse_kind(fuse), BLADE_COLOURS.get(fuse or 0.0, NOTHING) if blade else NOTHING,
        joined(sizes_of(plan, circuit)), circuit.weakest_derated_a, None,
    )  # fmt: skip


def _carries(value: Value) -> str:
    return carried_amps(None if value is None else float(value))


FUSE_MAP = paper_of_records("fuse-map", "Fuse map", lambda plan, _wishes: (fuse_map_record(plan),))
