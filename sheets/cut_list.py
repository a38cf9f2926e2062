"""The cut list: the one sheet to stand at the reels with."""

from __future__ import annotations

from itertools import groupby

from ribway.models.chances import chance_text
from ribway.models.lengths import format_arms
from ribway.models.plan.measuring import measured_mark, measured_note
from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanRun
from ribway.models.plan.unconfirmed import LEGEND
from ribway.models.printed import counted, length
from ribway.models.rates.rates import Rates
from ribway.sheets.cut_pieces import NO_RATES, CutPiece, cut_pieces, heap
from ribway.sheets.cutting_order import NEVER_CUT, either_way, makers_leads
from ribway.sheets.places import cable_name, cable_size, device_names, held_text
from ribway.sheets.safe_lengths import safe_lengths_note
from ribway.sheets.table import LARGE_PT, Column, Group, Row, Table, groups_of, without_column
from ribway.sheets.words import NOTHING, bare_length, glued, left_length, length_unit, place

CUT_AT = "Cut length"
RUNNING = "Used so far"
LEFT = "Left on reel"
COLOUR = "Colour"
CHANCE = "Chance of being short"
ON_TEMPLATE = "Cut to template"
TEMPLATE = "on the van"


def cut_list(plan: Plan, rates: Rates = NO_RATES) -> Table:
    """The cut list, piece by piece in the order of cutting.

    Args:
        plan: the plan.
        rates: the shop's; with prices of reels it goes reel by reel.

    Returns:
        One row for each piece, grouped by what is cut in one go.
    """
    units = plan.rules.units
    unit = length_unit(units)
    columns = (
        Column("No.", weight=0.2, align="right"),
        Column("Cut", weight=0.0, align="box"),
        Column("Piece", weight=0.3, strong=True),
        Column(CUT_AT, unit, weight=0.4, align="right", strong=True),
        Column("In arms", weight=0.1, align="right"),
        Column(RUNNING, unit, weight=0.3, align="right"),
        Column(LEFT, unit, weight=0.3, align="right"),
        Column(COLOUR, weight=0.4),
        Column("Its labels: A – B", weight=3.0),
        Column("Both ends marked", weight=0.0, align="box"),
        Column("Heap", weight=0.5, strong=True),
        Column("On it", weight=0.0, align="box"),
        Column(CHANCE, weight=0.2, align="right"),
        Column(ON_TEMPLATE, weight=0.2, align="centre"),
    )
    pieces = cut_pieces(plan, rates)
    groups = []
    for _, same in groupby(pieces, key=lambda one: one.group):
        of_this = list(same)
        groups.append(Group(_heading(of_this, plan), tuple(_row(one, plan) for one in of_this)))
    groups.append(
        Group(f"{NEVER_CUT}; lengths as they are bought", tuple(_lead(run, plan) for run in makers_leads(plan)))
    )
    risky = any(run.short_chance > 0.0 for run in plan.runs)
    templates = any(one.run.cut_to_template for one in pieces)
    table = Table("Cut list", columns, groups_of(*groups), _notes(plan, risky, templates), LARGE_PT)
    idle = {
        CHANCE: risky,
        ON_TEMPLATE: templates,
        LEFT: any(one.reel for one in pieces),
        COLOUR: any(_colour(one) for one in pieces),
    }
    for heading, needed in idle.items():
        table = table if needed else without_column(table, heading)
    return table


def _notes(plan: Plan, risky: bool, templates: bool) -> tuple[str, ...]:
    notes = [
        "In the order of cutting. Cut, mark both ends before the next piece is cut, and lay it on the heap of its loom. Cut "
        f"lengths hold both tails, the slack and the rounding, and are rounded up. One arm is "
        f"{length(plan.rules.arm_m, plan.rules.units)}. With prices of reels it goes reel by reel, else cable by cable; where a "
        "reel of a single core has another colour than the piece, sleeve both ends.",
        measured_note(plan),
    ]
    if templates:
        notes.append(
            f"Cut to template, {TEMPLATE}: from 16 mm² up, lay a template cord along the way first, and cut to that. "
            "The length here is an estimate, to buy by."
        )
    notes += either_way(plan)
    chance = "by the stated errors of what was measured; see Measure next." if risky else "none, by the stated errors."
    notes.append(f"{LEGEND} {CHANCE}: {chance}")
    sure = safe_lengths_note(plan)
    return (*notes, sure) if sure else tuple(notes)


def _heading(pieces: list[CutPiece], plan: Plan) -> str:
    """What the pieces below are cut from, how many there are, and what is left of it."""
    first, last, units = pieces[0], pieces[-1], plan.rules.units
    size = cable_size(first.cable, units)
    held = held_text(first.cable)
    warn = f"; {held}: mark the reel, and use terminals made for it" if held else ""
    name = f"{cable_name(first.cable)}{f', conductors {size}' if size else ''}"
    colour = first.group[2]
    many, used = counted(len(pieces), "piece"), length(last.used_m, units)
    if first.reel is None:
        return f"{name}{f', {colour}' if colour else ''}: {many}, {used} in all{warn}"
    unit = " m" if units == "metric" else ""
    left = f"{left_length(first.reel.left_m, units)}{unit} left over"
    return (
        f"{name}, reel {first.reel.number} of {place(first.reel.length_m, units)}: {many}, {used} in all, {left}{warn}"
    )


def _colour(piece: CutPiece) -> str:
    """The colour of a single core; those of a cable's cores lie in it, whatever is cut."""
    return piece.colours if piece.cable.cores == 1 else ""


def _lead(run: PlanRun, plan: Plan) -> Row:
    names, units = device_names(plan), plan.rules.units
    ends = f"{names.get(run.from_, run.from_)} – {names.get(run.to, run.to)}"
    bought = bare_length(run.fixed_length_m or 0.0, units)
    return (
        NOTHING, NOTHING, run.id, bought, NOTHING, NOTHING, NOTHING, NOTHING, ends, "", glued(heap(plan, run)), "", NOTHING, "",
    )  # fmt: skip


def _row(piece: CutPiece, plan: Plan) -> Row:
    names, units = device_names(plan), plan.rules.units
    run = piece.run
    return (
        str(piece.order),
        "",
        glued(piece.name),
        bare_length(run.cut_m, units),
        format_arms(run.cut_m, plan.rules.arm_m).rsplit(" ", 1)[0],
        bare_length(piece.used_m, units),
        NOTHING if piece.left_m is None else left_length(piece.left_m, units),
        _colour(piece) or NOTHING,
        f"{names.get(run.from_, run.from_)} – {names.get(run.to, run.to)}{measured_mark(run)}",
        "",
        glued(heap(plan, run)),
        "",
        chance_text(run.short_chance),
        TEMPLATE if run.cut_to_template else "",
    )
