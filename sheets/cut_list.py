"""The cut list: what to cut from which cable, in the order of cutting."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ribway.models.chances import chance_text
from ribway.models.lengths import format_arms
from ribway.models.plan.measuring import measured_mark, measured_note
from ribway.models.plan.plan import Plan, PlanCable
from ribway.models.plan.results import PlanRun
from ribway.models.plan.unconfirmed import LEGEND
from ribway.models.printed import counted, length
from ribway.sheets.places import cable_name, cable_size, cables_by_id, device_names, held_text
from ribway.sheets.safe_lengths import safe_lengths_note
from ribway.sheets.table import LARGE_PT, Column, Group, Row, Table, groups_of, without_column
from ribway.sheets.words import NOTHING, bare_length, length_unit, printed_m

CUT_AT = "Cut length, each piece"
RUNNING = "Cable used so far"
CHANCE = "Chance of being short"
TEMPLATE = "on the van"
NEVER_CUT = "Maker's lead: never cut, never extended"


@dataclass(frozen=True)
class Cut:
    """One step of cutting.

    Attributes:
        order: its number, from 1.
        run: the run it is for.
        cable: the cable it is cut from.
        running_m: cut from this cable up to here, this step's pieces among it [m].
        printed_m: the same of the lengths as they are printed, which is what is really cut [m].
    """

    order: int
    run: PlanRun
    cable: PlanCable
    running_m: float
    printed_m: float


def cuts(plan: Plan) -> tuple[Cut, ...]:
    """All steps of cutting: cable by cable, the thickest copper first, and from each the longest piece first.

    What is left of a reel is then still long enough for what comes next. A maker's lead is never cut, so it is no step.

    Args:
        plan: the plan.

    Returns:
        One step for each run that is cut.
    """
    return tuple(_cuts(plan))


def makers_leads(plan: Plan) -> tuple[PlanRun, ...]:
    """Runs that are makers' leads of fixed length: bought as they are, never cut."""
    return tuple(run for run in plan.runs if run.fixed_length_m is not None)


def with_plugs(plan: Plan) -> tuple[PlanRun, ...]:
    """Runs of free length whose cable is pulled with its plug on: bought ready-made, or cut and their plugs fitted here."""
    return tuple(run for run in plan.runs if run.fixed_length_m is None and run.plug_mm > run.outside_mm)


def either_way(plan: Plan) -> tuple[str, ...]:
    """The sentence on such runs; none if there is none."""
    names = ", ".join(run.id for run in with_plugs(plan))
    if not names:
        return ()
    return (
        f"{names}: with plugs. Buy them ready-made, the next longer lead, and cut none of it; or cut them as listed here and fit "
        "the plugs behind the holes. See Makers' leads.",
    )


def _cuts(plan: Plan) -> Iterator[Cut]:
    cables = cables_by_id(plan)
    order = 0
    for cable in sorted(cables.values(), key=lambda one: (-one.area_mm2, -one.cores, one.id)):
        running_m = printed = 0.0
        runs = [run for run in plan.runs if run.cable == cable.id and run.fixed_length_m is None]
        for run in sorted(runs, key=lambda one: (-one.cut_m, one.id)):
            order += 1
            running_m += run.cut_m * run.pieces
            printed += printed_m(run.cut_m, plan.rules.units) * run.pieces
            yield Cut(order, run, cable, round(running_m, 4), round(printed, 6))


def cut_list(plan: Plan) -> Table:
    """The cut list.

    Args:
        plan: the plan.

    Returns:
        One row for each run, grouped by cable, in the order of cutting.
    """
    unit = length_unit(plan.rules.units)
    columns = (
        Column("No.", weight=0.2, align="right"),
        Column("Run", weight=0.5, strong=True),
        Column("From – to", weight=3.0),
        Column("Pieces", weight=0.2, align="centre"),
        Column(CUT_AT, unit, weight=0.8, align="right", strong=True),
        Column("The same in arms", weight=0.6, align="right"),
        Column(RUNNING, unit, weight=0.6, align="right"),
        Column(CHANCE, weight=0.5, align="right"),
        Column("Cut to template", weight=0.6, align="centre"),
        Column("Cut", weight=0.1, align="box"),
        Column("Both ends marked", weight=0.1, align="box"),
    )
    steps = cuts(plan)
    groups = []
    for cable in dict.fromkeys(step.cable.id for step in steps):
        of_this = [step for step in steps if step.cable.id == cable]
        groups.append(Group(_reel(of_this, plan), tuple(_row(step, plan) for step in of_this)))
    groups.append(
        Group(f"{NEVER_CUT}; lengths as they are bought", tuple(_lead(run, plan) for run in makers_leads(plan)))
    )
    notes = [
        f"Cut lengths hold both tails, the slack and the rounding, and are rounded up. One arm is "
        f"{length(plan.rules.arm_m, plan.rules.units)}.",
        measured_note(plan),
    ]
    if any(step.run.cut_to_template for step in steps):
        notes.append(
            f"Cut to template, {TEMPLATE}: from 16 mm² up, lay a template cord along the way first, and cut to that. "
            "The length beside it is an estimate, to buy by."
        )
    notes += either_way(plan)
    risky = any(run.short_chance > 0.0 for run in plan.runs)
    chance = "by the stated errors of what was measured; see Measure next." if risky else "none, by the stated errors."
    notes.append(f"{LEGEND} {CHANCE}: {chance}")
    sure = safe_lengths_note(plan)
    notes += [sure] if sure else []
    table = Table("Cut list", columns, groups_of(*groups), tuple(notes), LARGE_PT)
    return table if risky else without_column(table, CHANCE)


def _reel(steps: list[Cut], plan: Plan) -> str:
    cable = steps[0].cable
    size = cable_size(cable, plan.rules.units)
    pieces = counted(sum(step.run.pieces for step in steps), "piece")
    used = length(steps[-1].printed_m, plan.rules.units)
    held = held_text(cable)
    warn = f"; {held}: mark the reel, and use terminals made for it" if held else ""
    return f"{cable_name(cable)}{f', conductors {size}' if size else ''}: {pieces}, {used} in all{warn}"


def _lead(run: PlanRun, plan: Plan) -> Row:
    names, units = device_names(plan), plan.rules.units
    ends = f"{names.get(run.from_, run.from_)} – {names.get(run.to, run.to)}"
    bought = bare_length(run.fixed_length_m or 0.0, units)
    return (NOTHING, run.id, ends, str(run.pieces), bought, NOTHING, NOTHING, NOTHING, "", NOTHING, "")


def _row(step: Cut, plan: Plan) -> Row:
    names, units = device_names(plan), plan.rules.units
    run = step.run
    return (
        str(step.order),
        run.id,
        f"{names.get(run.from_, run.from_)} – {names.get(run.to, run.to)}{measured_mark(run)}",
        str(run.pieces),
        bare_length(run.cut_m, units),
        format_arms(run.cut_m, plan.rules.arm_m).rsplit(" ", 1)[0],
        bare_length(step.printed_m, units),
        chance_text(run.short_chance),
        TEMPLATE if run.cut_to_template else "",
        "",
        "",
    )
