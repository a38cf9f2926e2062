"""What stands on the label of a run's end."""

from __future__ import annotations

from dataclasses import dataclass

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanRun
from ribway.models.plan.unconfirmed import marked, unconfirmed
from ribway.models.printed import Units, length
from ribway.models.rates.rates import Rates
from ribway.sheets.circuits_list import NO_FUSE
from ribway.sheets.cut_pieces import NO_RATES, cut_pieces
from ribway.sheets.cutting_order import makers_leads, piece_colours, piece_name
from ribway.sheets.paper.record import Field, Record, Section
from ribway.sheets.places import cable_name, cables_by_id, device_names
from ribway.sheets.terminals import terminal_at
from ribway.sheets.ways import way_text
from ribway.sheets.words import NOTHING

CLASSES: dict[Units, tuple[tuple[float, ...], float, str]] = {
    "metric": ((2.0, 5.0, 10.0), 1.0, " m"),
    "feet and inches": ((6.0, 16.0, 32.0), 0.3048, "'"),
}
"""Cut lengths at which a new class begins [m]: armfuls that are kept apart on the bench (common practice, no source)."""


@dataclass(frozen=True)
class EndLabel:
    """One label: one end of one piece.

    Attributes:
        run: the run's id, with the pole behind it if its two poles are two cables.
        end: ``A`` where it is fed from, ``B`` at the other end.
        here: what this end is connected to.
        terminal: what goes on its wires there.
        way: on which way of it, if it is a fuse board that feeds the run; else empty.
        there: what the other end is connected to.
        circuit: name of the circuit; ``spare`` for a spare.
        fuse: its fuse; empty if it has none.
        size: the cable.
        colours: of its conductors; empty where the plan says none.
        cut_m: what the piece is cut to [m].
        length_class: which armful it belongs to.
        licensed: whether a licensed person connects it.
    """

    run: str
    end: str
    here: str
    way: str
    there: str
    circuit: str
    fuse: str
    size: str
    colours: str
    cut_m: float
    length_class: str
    licensed: bool
    terminal: str


def end_labels(plan: Plan, rates: Rates = NO_RATES) -> tuple[EndLabel, ...]:
    """The labels in the order of cutting, makers' leads last, both ends of a piece one after the other.

    So a piece is marked while it is cut.

    Args:
        plan: the plan.
        rates: the shop's, whose reels decide what is cut after what.

    Returns:
        Two for each piece of each run.
    """
    bought = ((run, piece) for run in makers_leads(plan) for piece in range(run.pieces))
    pieces = (*((one.run, one.index) for one in cut_pieces(plan, rates)), *bought)
    return tuple(label for run, piece in pieces for label in _pair(plan, run, piece))


def length_class(cut_m: float, units: Units) -> str:
    """Which armful a piece belongs to: ``up to 2 m``, ``2 to 5 m``, ``over 32'``."""
    ends, unit_m, unit = CLASSES[units]
    for index, most in enumerate(ends):
        if cut_m <= most * unit_m + 1e-9:
            return f"{ends[index - 1]:g} to {most:g}{unit}" if index else f"up to {most:g}{unit}"
    return f"over {ends[-1]:g}{unit}"


def labels_record(plan: Plan, rates: Rates = NO_RATES) -> Record:
    """The labels as a list, for a label printer and for counting."""
    fields = (
        Field("run", "Run", strong=True, weight=0.4),
        Field("end", "End", weight=0.1, align="centre"),
        Field("here", "Goes to", weight=2.0),
        Field("way", "On way", weight=0.4),
        Field("there", "Other end", weight=2.0),
        Field("circuit", "Circuit", weight=1.4),
        Field("fuse", "Fuse", weight=0.4),
        Field("size", "Cable", weight=1.0),
        Field("colours", "Colours", weight=1.0),
        Field("length_class", "Length class", weight=0.5),
        Field("cut_m", "Cut length", lambda value: length(float(value or 0.0), plan.rules.units), align="right"),
        Field("licensed_person", "", weight=0.1),
        Field("terminal", "Goes on its wires", weight=1.0),
    )
    rows = tuple(
        (
            one.run,
            one.end,
            one.here,
            one.way or None,
            one.there,
            one.circuit,
            one.fuse or None,
            one.size,
            one.colours or None,
            one.length_class,
            one.cut_m,
            one.licensed,
            one.terminal or None,
        )
        for one in end_labels(plan, rates)
    )
    return Record("labels", "Labels", fields, (Section("", rows),))


def _pair(plan: Plan, run: PlanRun, piece: int) -> tuple[EndLabel, EndLabel]:
    names, still = device_names(plan), unconfirmed(plan)
    circuit = next((one for one in plan.circuits if one.id == run.circuit), None)
    spare = run.purpose == "spare"
    fuse = ""
    if circuit is not None and not spare and circuit.kind == "dc":
        shown = NO_FUSE if circuit.fuse_a is None else f"{circuit.fuse_a:g} A"
        fuse = marked(shown, circuit.id in still.fuses)
    here, there = (names.get(one, one) for one in (run.from_, run.to))

    def label(end: str, device: str, one: str, other: str) -> EndLabel:
        return EndLabel(
            run=piece_name(run, piece),
            end=end,
            here=one,
            way=way_text(plan, run, device),
            there=other,
            circuit="spare" if spare else circuit.name if circuit else NOTHING,
            fuse=fuse,
            size=cable_name(cables_by_id(plan)[run.cable]),
            colours=piece_colours(run, piece),
            cut_m=run.cut_m,
            length_class=length_class(run.cut_m, plan.rules.units),
            licensed=run.kind == "ac",
            terminal=terminal_at(plan, run, device),
        )

    return label("A", run.from_, here, there), label("B", run.to, there, here)
