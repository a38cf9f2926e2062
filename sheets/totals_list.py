"""Totals: copper by part, cable by type."""

from __future__ import annotations

from ribway.models.plan.bound import bound_words
from ribway.models.plan.plan import Plan, PlanCable
from ribway.models.printed import length, mass
from ribway.sheets.places import cable_size
from ribway.sheets.safe_lengths import safe_lengths_rows
from ribway.sheets.table import Column, Group, Row, Table, groups_of
from ribway.sheets.words import NOTHING, bare_length, length_unit, percent, printed_m, typeset, volts

_SHARE = 0.55  # of the page: figures stay near what they are of


def totals(plan: Plan) -> Table:
    """The sums over a plan.

    Args:
        plan: the plan.

    Returns:
        What is summed, and the sum.
    """
    units, sums = plan.rules.units, plan.totals
    copper: tuple[Row, ...] = (
        ("Copper in all", mass(sums.copper_kg, units)),
        ("Mains", mass(sums.copper_mains_kg, units)),
        ("Circuits", mass(sums.copper_circuits_kg, units)),
        ("Spares", mass(sums.copper_spares_kg, units)),
        ("Share of it in tails, slack and rounding", mass(sums.copper_tails_kg, units)),
        ("Share of it in AC cables", mass(sums.copper_ac_kg, units)),
    )
    if sums.other_metal_kg > 0.0:
        copper = (*copper, ("Aluminium besides, in clad and aluminium conductors", mass(sums.other_metal_kg, units)))
    worst = f"{percent(sums.worst_drop_percent)} %, {volts(sums.worst_drop_v)} V"
    rest = (
        ("Runs, spares and draw cords among them", str(sums.runs)),
        ("Cable, cut lengths of all pieces", length(sums.cable_m, units)),
        ("Draw cord, cut lengths", length(sums.draw_cord_m, units) if sums.draw_cord_m > 0.0 else NOTHING),
        ("One way, all runs and draw cords", length(sums.one_way_m, units)),
        ("Looms, along them", length(sums.loom_m, units)),
        ("Bends", str(sums.bends)),
        ("Openings used", str(sums.openings_used)),
        ("Holes to drill", str(sums.holes_drilled)),
        (
            "Fullest opening",
            f"{sums.fullest_opening}, {percent(sums.fullest_percent)} % full" if sums.fullest_opening else NOTHING,
        ),
        ("Largest drop", f"{worst}, run {sums.worst_drop_run}" if sums.worst_drop_run else NOTHING),
        *safe_lengths_rows(plan),
    )
    columns = (Column("What", weight=2.0), Column("How much", weight=1.0, align="right", strong=True))
    notes: tuple[str, ...] = (
        "Copper in all is mains, circuits and spares together; the two shares are parts of it, not added again. Each figure is "
        "rounded up by itself, so that parts may come to a little more than their whole.",
    )
    if plan.bound is not None:
        notes = (*notes, bound_words(plan.bound, units))
    return Table(
        "Totals", columns, (Group("Copper", copper), Group("The plan", rest)), notes, follows=True, share=_SHARE
    )


def cable_totals(plan: Plan) -> Table:
    """How much of each cable the plan cuts.

    Args:
        plan: the plan.

    Returns:
        One row for each cable, in the order of the cut list.
    """
    unit = length_unit(plan.rules.units)
    columns = (
        Column("Cable", weight=1.5, strong=True),
        Column("One conductor", weight=1.5),
        Column("Runs", weight=0.3, align="right"),
        Column("Pieces", weight=0.3, align="right"),
        Column("Longest piece", unit, weight=0.5, align="right"),
        Column("Cut lengths, all pieces", unit, weight=0.8, align="right", strong=True),
        Column("Copper", weight=0.6, align="right"),
        Column("Stock data", weight=0.8),
        Column("In hand", weight=0.1, align="box"),
    )
    cables = sorted(plan.cables, key=lambda one: (-one.area_mm2, -one.cores, one.id))
    rows = tuple(row for cable in cables if (row := _cable_row(plan, cable)))
    notes = (
        "Cut lengths only: buy more, for waste and for a piece cut wrong. Makers' leads are bought whole and are not in it.",
    )
    return Table("Cable by type", columns, groups_of(Group("", rows)), notes)


def key_figures(plan: Plan) -> tuple[tuple[str, str], ...]:
    """The few sums that stand on the cover: what, and how much."""
    sums, units = plan.totals, plan.rules.units
    return (
        ("runs", str(sums.runs)),
        ("cable to cut", length(sums.cable_m, units)),
        ("copper", mass(sums.copper_kg, units)),
        ("openings used", str(sums.openings_used)),
        ("holes to drill", str(sums.holes_drilled)),
        ("largest drop", f"{percent(sums.worst_drop_percent)} %"),
    )


def _cable_row(plan: Plan, cable: PlanCable) -> Row | None:
    runs = [run for run in plan.runs if run.cable == cable.id and run.fixed_length_m is None]
    if not runs:
        return None
    units = plan.rules.units
    return (
        typeset(cable.name),
        cable_size(cable, plan.rules.units) or NOTHING,
        str(len(runs)),
        str(sum(run.pieces for run in runs)),
        bare_length(max(run.cut_m for run in runs), units),
        bare_length(round(sum(printed_m(run.cut_m, units) * run.pieces for run in runs), 6), units),
        mass(sum(run.copper_kg for run in runs), units) if cable.cores else NOTHING,
        "ASSUMED: check" if cable.assumed else "confirmed",
        "",
    )
