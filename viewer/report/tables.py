"""The page's other tables: circuits, looms, openings and findings."""

from __future__ import annotations

import re

from ribway.models.plan.looms import PlanLoom
from ribway.models.plan.measuring import measured_note, way_words
from ribway.models.plan.plan import Plan
from ribway.models.plan.results import Finding, PlanCircuit
from ribway.models.plan.shell import PlanOpening
from ribway.models.plan.unconfirmed import marked, unconfirmed
from ribway.models.printed import counted, in_shops_units, length
from ribway.models.printed import rounded_down as down
from ribway.models.printed import rounded_up as up
from ribway.viewer.report.electric_tables import boards_table, fuse_cell, volts_table
from ribway.viewer.report.ground_tables import assumed_table, measure_table
from ribway.viewer.report.run_tables import cut_table, runs_table
from ribway.viewer.report.table import BLANK, Column, Row, Table, cell
from ribway.viewer.report.words import ASSUMED_NOTE, NOTHING, bore, names_of, place, spot, thickness, typeset

LEVELS = {"error": "NOT SAFE", "warning": "take care", "note": "to know"}
STATES = {"assumed": "ASSUMED", "measured": "measured", "drill": "DRILL", "blocked": "blocked"}
WALLS = ("left", "right", "roof", "floor", "bulkhead", "rear")


def tables_of(plan: Plan) -> tuple[Table, ...]:
    """All tables of a plan.

    Args:
        plan: the plan.

    Returns:
        The tables, those needed with the hands full first.
    """
    return (
        runs_table(plan),
        cut_table(plan),
        openings_table(plan),
        circuits_table(plan),
        boards_table(plan),
        volts_table(plan),
        looms_table(plan),
        measure_table(plan),
        assumed_table(plan),
        findings_table(plan),
    )


def circuits_table(plan: Plan) -> Table:
    """What each protective device feeds.

    Args:
        plan: the plan.

    Returns:
        One row for each circuit, in the plan's order.
    """
    names, still = names_of(plan), unconfirmed(plan)
    columns = (
        Column("Circuit", show="always", strong=True),
        Column("Feeds", show="always"),
        Column("Fed from"),
        Column("Volts", "number"),
        Column("Fuse", "number", show="always", strong=True),
        Column("Fuse from – to"),
        Column("Running", "number"),
        Column("Starting", "number"),
        Column("Drop", "number", show="always"),
        Column("Drop allowed", "number"),
        Column("Runs"),
        Column("Volts at the load", "entry", note="volts at the load", hint="V"),
        Column("Fuse fitted", "tick", show="always", note="fuse fitted"),
    )

    def row(one: PlanCircuit) -> Row:
        powered = one.kind != "data"
        loads = ", ".join(names.get(load, load) for load in one.loads)
        feeds = one.name if loads in ("", one.name) else f"{one.name}\n{loads}"
        limit = one.drop_limit_percent
        return Row(
            one.id,
            (
                cell(one.id),
                cell(f"{feeds}\nAC: for a licensed person" if one.kind == "ac" else feeds),
                cell(names.get(one.source, one.source)),
                cell(f"{one.volts:g} V", one.volts),
                fuse_cell(one, one.id in still.fuses),
                cell(f"{up(one.fuse_low_a, 1)} – {down(one.fuse_high_a, 1)} A" if one.kind == "dc" else NOTHING),
                cell(_amps(one.design_a, powered, one.id in still.circuit_amps), one.design_a),
                cell(_amps(one.start_a, powered, one.id in still.circuit_starts), one.start_a),
                cell(
                    f"{up(one.worst_drop_percent, 2)} %\n{up(one.worst_drop_v, 2)} V" if powered else NOTHING,
                    one.worst_drop_percent if powered else -1.0,
                ),
                cell(NOTHING if limit is None else f"{limit:g} %", limit or 0.0),
                cell(", ".join(one.runs)),
                BLANK,
                BLANK,
            ),
            runs=one.runs,
        )

    notes = (
        f"The fuse sits at the source. From – to: the least that holds the load, and the most that still protects the "
        f"weakest wire (rule: {plan.rules.fuse_rule}). Drop: from the source of power to the farthest device, there "
        "and back, feeders included.",
        measured_note(plan),
        ASSUMED_NOTE,
    )
    return Table("circuits", "Circuits", columns, tuple(row(one) for one in plan.circuits), notes)


def _amps(amps: float, powered: bool, assumed: bool) -> str:
    """A current, marked if it rests on a plate that nobody read."""
    return marked(f"{up(amps, 1)} A", assumed) if powered else NOTHING


def looms_table(plan: Plan) -> Table:
    """What is pulled as one bundle.

    Args:
        plan: the plan.

    Returns:
        One row for each loom, in the plan's order.
    """
    units = plan.rules.units
    columns = (
        Column("Loom", show="always", strong=True),
        Column("Zone", show="always"),
        Column("Runs", show="always"),
        Column("Long", "number", show="always"),
        Column("Widest", "number"),
        Column("Openings"),
        Column("Runs join or leave"),
        Column("Taped", "tick", show="always", note="taped"),
    )

    def row(loom: PlanLoom) -> Row:
        through = tuple(dict.fromkeys(name for section in loom.sections for name in section.openings))
        leaves = [
            f"{place(one.at_m - loom.begins_m, units)}: {', '.join(one.runs)}"
            for one in sorted(loom.breakouts, key=lambda one: one.at_m)
        ]
        return Row(
            loom.id,
            (
                cell(loom.id),
                cell(loom.zone),
                cell(", ".join(loom.runs), len(loom.runs)),
                cell(length(loom.trunk_m, units), loom.trunk_m),
                cell(thickness(loom.diameter_mm, units), loom.diameter_mm),
                cell(", ".join(through) or NOTHING, len(through)),
                cell("\n".join(leaves) if len(loom.runs) > 1 else NOTHING),
                BLANK,
            ),
            runs=loom.runs,
        )

    notes = (
        "Widest is the bundle without sleeve or tape. Join or leave: distances along the loom from its beginning.",
        measured_note(plan),
    )
    return Table("looms", "Looms", columns, tuple(row(loom) for loom in plan.looms), notes)


def openings_table(plan: Plan) -> Table:
    """The openings and other ways that a run goes through.

    Args:
        plan: the plan.

    Returns:
        Openings wall by wall, front to rear, low before high; then other ways in use.
    """
    units = plan.rules.units
    columns = (
        Column("Opening", show="always", strong=True),
        Column("Where", show="always"),
        Column("State", show="always"),
        Column("Hole in the metal", "number"),
        Column("Clear", "number", show="always"),
        Column("Grommet", "number"),
        Column("What goes through"),
        Column("Bundle", "number"),
        Column("Full", "number", show="always", strong=True),
        Column("Limit", "number"),
        Column("Bore found", "entry", note="bore found", hint="mm" if units == "metric" else "in"),
        Column("Checked", "tick", show="always", note="checked"),
    )
    order = {wall: index for index, wall in enumerate(WALLS)}
    used = sorted(
        (one for one in plan.openings if one.runs),
        key=lambda one: (order.get(one.wall, len(order)), one.wall, one.back_m, one.up_m, one.id),
    )

    def clear(one: PlanOpening) -> str:
        text = bore(one.clear_bore_mm, units)
        return text if one.slot_length_mm is None else f"{text} × {bore(one.slot_length_mm, units)}"

    rows = [
        Row(
            one.id,
            (
                cell(one.id),
                cell(spot(one.wall, one.back_m, one.up_m, one.centre[1], units), one.back_m),
                cell(STATES[one.state]),
                cell(bore(one.raw_bore_mm, units), one.raw_bore_mm),
                cell(clear(one), one.clear_bore_mm),
                cell(NOTHING if one.grommet_mm is None else bore(one.grommet_mm, units), one.grommet_mm or 0.0),
                cell(", ".join(one.runs), len(one.runs)),
                cell(thickness(one.bundle_diameter_mm, units), one.bundle_diameter_mm),
                cell(f"{up(one.fill_percent, 0)} %", one.fill_percent),
                cell(f"{one.fill_limit_percent:g} %", one.fill_limit_percent),
                BLANK,
                BLANK,
            ),
            runs=one.runs,
            openings=(one.id,),
        )
        for one in used
    ]
    for way in plan.ways:
        if way.runs:
            what = way_words(way)
            member = f" {way.member}" if way.member and way.kind == "over" and not way.lined else ""
            full = f"{up(way.fill_percent, 0)} %"
            texts = (cell(way.id), cell(f"{what}{member}"), BLANK, BLANK, cell(bore(way.clear_bore_mm, units)), BLANK)
            limit = cell(f"{way.fill_limit_percent:g} %", way.fill_limit_percent)
            through = (cell(", ".join(way.runs), len(way.runs)), BLANK, cell(full, way.fill_percent), limit)
            rows.append(Row(way.id, (*texts, *through, BLANK, BLANK), runs=way.runs, openings=(way.id,)))
    unused = len(plan.openings) - len(used)
    notes = (
        f"Back is from the datum ({plan.datum}), up from the cargo floor, left and right from the centre line. "
        f"{counted(unused, 'opening')} that no run uses {'is' if unused == 1 else 'are'} not listed.",
    )
    return Table("openings", "Openings", columns, tuple(rows), notes)


def findings_table(plan: Plan) -> Table:
    """What the plan itself found, the serious first.

    Args:
        plan: the plan.

    Returns:
        One row for each finding.
    """
    columns = (
        Column("Level", show="always", strong=True),
        Column("About", show="always"),
        Column("What was found", show="always"),
        Column("What to do", show="always"),
        Column("Seen to", "tick", show="always", note="seen to"),
    )
    order, units = {level: index for index, level in enumerate(LEVELS)}, plan.rules.units
    found = sorted(enumerate(plan.findings), key=lambda pair: (order[pair[1].level], pair[0]))

    def row(number: int, one: Finding) -> Row:
        runs, openings = spoken_of(plan, one)
        texts = (
            cell(LEVELS[one.level], order[one.level]),
            cell(one.about),
            cell(typeset(in_shops_units(one.message, units))),
            cell(typeset(in_shops_units(one.remedy, units))),
        )
        return Row(f"{number + 1} {one.code} {one.about}"[:80], (*texts, BLANK), runs, openings, one.level)

    return Table("findings", "Findings", columns, tuple(row(number, one) for number, one in found))


def spoken_of(plan: Plan, finding: Finding) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The runs and openings that a finding is about.

    Args:
        plan: the plan.
        finding: one of its findings.

    Returns:
        Ids of runs, those of a named circuit or loom among them, and ids of openings.
    """
    names = {name.strip() for name in re.split(r"[,;]", finding.about)}
    within = [one.runs for one in plan.circuits if one.id in names] + [
        one.runs for one in plan.looms if one.id in names
    ]
    runs = {run for group in within for run in group} | {run.id for run in plan.runs if run.id in names}
    openings = {opening.id for opening in plan.openings} | {way.id for way in plan.ways}
    return tuple(run.id for run in plan.runs if run.id in runs), tuple(sorted(names & openings))
