"""The fuse map for the box's door: each way of each box, in large letters."""

from __future__ import annotations

from ribway.models.plan.electric import PlanBoard
from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanCircuit
from ribway.models.plan.unconfirmed import LEGEND, marked, unconfirmed
from ribway.models.printed import counted
from ribway.sheets.buying.parts import kind_of_fuse
from ribway.sheets.circuits_list import NO_FUSE
from ribway.sheets.csv_file import Value
from ribway.sheets.finishing.fuses import fuses_record
from ribway.sheets.paper.paper import paper_of_records
from ribway.sheets.paper.record import Field, Record, Section, Values, blank
from ribway.sheets.places import device_names
from ribway.sheets.ways import Ways, fuse_ways, runs_at
from ribway.sheets.words import NOTHING, amps, carried_amps, glued, joined, typeset

TYPE_PT = 12.0
BLADE_COLOURS = {
    1.0: "black", 2.0: "grey", 3.0: "violet", 4.0: "pink", 5.0: "tan", 7.5: "brown", 10.0: "red", 15.0: "blue",
    20.0: "yellow", 25.0: "clear", 30.0: "green",
}  # fmt: skip
"""Body colours of blade fuses by rating [A] (ISO 8820-3, seen up to 30 A)."""
UNSEEN = "read it"
"""Of ratings whose colour was not seen in the standard: the number on the fuse counts."""


def fuse_map_record(plan: Plan) -> Record:
    """Every DC circuit under the box or source that it is fed from; on a board whose ways are stated, way by way.

    Args:
        plan: the plan.
    """
    fields = (
        Field("way", "Way", align="right", weight=0.1, strong=True),
        Field("circuit", "Circuit", strong=True, weight=0.4),
        Field("feeds", "What it feeds", weight=3.6),
        Field("runs", "Runs on it", weight=0.8),
        Field("fuse_a", "", weight=0.3),
        Field("", "Fuse", weight=0.6, align="centre", strong=True),
        Field("fuse_kind", "Kind", weight=1.4),
        Field("colour", "Colour", weight=0.5),
        Field("conductor", "Wire", weight=0.6),
        Field("wire_carries_a", "Wire carries", _carries, "A", 0.3, "right"),
        blank("Amps measured", "amps_measured", "A"),
    )
    still = unconfirmed(plan)
    boards = {one.id: one for one in plan.boards}
    sections = tuple(
        Section(_heading(plan, device, boards.get(device)), _rows(plan, device, ways, boards.get(device), still.fuses))
        for device, ways in fuse_ways(plan).items()
    )
    notes = (
        "Never a larger fuse than stands here: the wire behind it would burn first. AC has a map of its own.",
        "The kind is the one that was stated, else the least that breaks a short there: see the fuses behind this map.",
        LEGEND,
    )
    return Record("fuse-map", "Fuse map", fields, sections, notes, TYPE_PT)


def _heading(plan: Plan, device: str, board: PlanBoard | None) -> str:
    """A box with its ways and how much it carries, as far as that was stated."""
    name = device_names(plan).get(device, device)
    if board is None:
        return name
    carries = "" if board.amps_total is None else f" of {carried_amps(board.amps_total)} A"
    return (
        f"{name}: {counted(board.ways, 'way')} of up to {carried_amps(board.amps_per_way)} A, {board.spare} spare; "
        f"draws {amps(board.amps)} A{carries}"
    )


def _rows(plan: Plan, device: str, ways: Ways, board: PlanBoard | None, assumed: frozenset[str]) -> tuple[Values, ...]:
    """The ways of a box from the first to the last, the spare ones with them; without stated ways, in the plan's order."""
    last = max([*ways, board.ways if board is not None else 0])
    return tuple(
        _row(plan, device, *ways[way], way, ways[way][0].id in assumed) if way in ways else _spare(way)
        for way in range(1, last + 1)
    )


def _spare(way: int) -> Values:
    return (way, NOTHING, "spare", NOTHING, None, NOTHING, NOTHING, NOTHING, NOTHING, None, None)


def sizes_of(plan: Plan, circuit: PlanCircuit) -> tuple[str, ...]:
    """The conductor sizes of a circuit, each once, in the order of its runs."""
    return tuple(dict.fromkeys(typeset(run.size_name) for run in plan.runs if run.id in circuit.runs))


def _row(plan: Plan, device: str, circuit: PlanCircuit, words: str, way: int, assumed: bool) -> Values:
    fuse = circuit.fuse_a
    kind = kind_of_fuse(circuit)
    sizes = joined(tuple(glued(one) for one in sizes_of(plan, circuit)))
    blade = fuse is not None and "blade" in kind
    runs = joined(tuple(glued(one) for one in runs_at(plan, circuit, device)))
    return (
        way, circuit.id, words, runs, fuse,
        marked(NO_FUSE if fuse is None else f"{fuse:g} A", assumed), glued(kind.replace(" fuse", "", 1)) or NOTHING,
        BLADE_COLOURS.get(fuse or 0.0, UNSEEN) if blade else NOTHING, sizes,
        circuit.weakest_derated_a, None,
    )  # fmt: skip


def _carries(value: Value) -> str:
    return carried_amps(None if value is None else float(value))


FUSE_MAP = paper_of_records("fuse-map", "Fuse map", lambda plan, _wishes: (fuse_map_record(plan), fuses_record(plan)))
