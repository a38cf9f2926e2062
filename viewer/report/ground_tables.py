"""The page's tables of what the plan rests on: values that nobody confirmed, and what to measure next."""

from __future__ import annotations

from ribway.models.chances import chance_text, fewer_text, runs_text
from ribway.models.plan.assumptions import PlanAssumption, PlanMeasurement
from ribway.models.plan.plan import Plan
from ribway.models.plan.unconfirmed import open_assumptions
from ribway.models.printed import counted
from ribway.viewer.report.table import BLANK, Column, Row, Table, cell
from ribway.viewer.report.words import NOTHING, place

LEAST_GAIN = 0.0005
WHOSE = {"shell": "the van", "opening": "opening", "device": "device", "circuit": "circuit", "cable": "cable"}


def assumed_table(plan: Plan) -> Table:
    """Values that were filled in and that nobody confirmed.

    Args:
        plan: the plan.

    Returns:
        One row for each, in the plan's order.
    """
    columns = (
        Column("Of", show="always", strong=True),
        Column("What", show="always"),
        Column("Value", show="always", strong=True),
        Column("Where it comes from"),
        Column("Found", "entry", show="always", note="found"),
        Column("Confirmed", "tick", show="always", note="confirmed"),
    )
    openings = {one.id for one in plan.openings}

    def row(one: PlanAssumption) -> Row:
        error = f"\n± {place(one.error_m, plan.rules.units)}" if one.error_m > 0.0 else ""
        of = WHOSE[one.whose] if one.whose == "shell" else f"{WHOSE[one.whose]} {one.name or one.about}"
        cells = (cell(of), cell(one.what), cell(f"{one.value}{error}"), cell(one.source), BLANK, BLANK)
        return Row(
            f"{one.whose} {one.about} {one.key} {one.what}"[:80],
            cells,
            runs=_runs_of(plan, one),
            openings=(one.about,) if one.about in openings else (),
        )

    rows = tuple(row(one) for one in open_assumptions(plan))
    confirmed = len(plan.assumptions) - len(rows)
    notes = (
        f"{counted(confirmed, 'more value')} of this kind {'was' if confirmed == 1 else 'were'} confirmed. What stands here "
        "is marked * in the other tables. To confirm a value, write it into the project file and plan again.",
    )
    return Table("assumed", "Assumed", columns, rows, notes)


def _runs_of(plan: Plan, one: PlanAssumption) -> tuple[str, ...]:
    """The runs that an assumed value touches."""
    about = one.about
    if one.whose == "opening":
        return tuple(run.id for run in plan.runs if about in run.openings)
    if one.whose == "device":
        return tuple(run.id for run in plan.runs if about in (run.from_, run.to))
    if one.whose == "circuit":
        return tuple(run.id for run in plan.runs if run.circuit == about)
    return tuple(run.id for run in plan.runs if one.whose == "cable" and run.cable == about)


def measure_table(plan: Plan) -> Table:
    """What to measure next so that fewest cables are cut too short.

    Args:
        plan: the plan.

    Returns:
        One row for each reading that changes something, the best first.
    """
    units = plan.rules.units
    columns = (
        Column("Measure", show="always", strong=True),
        Column("May be off by now", "number", show="always"),
        Column("Once measured", "number"),
        Column("Runs short, fewer by", "number", show="always", strong=True),
        Column("For runs"),
        Column("Found", "entry", show="always", note="found"),
        Column("Measured", "tick", show="always", note="measured"),
    )
    openings = {one.id for one in plan.openings}

    def row(one: PlanMeasurement) -> Row:
        runs = resting_on(plan, one.id)
        cells = (
            cell(one.what),
            cell(f"± {place(one.error_m, units)}", one.error_m),
            cell(f"± {place(one.after_m, units)}", one.after_m),
            cell(fewer_text(one.gain), one.gain),
            cell(", ".join(runs) or NOTHING, len(runs)),
            BLANK,
            BLANK,
        )
        return Row(one.id, cells, runs=runs, openings=(one.about,) if one.about in openings else ())

    sums = plan.totals
    notes = (
        f"Expected as things are: {runs_text(sums.short_runs)} of {counted(sums.runs, 'run')} cut too short; the chance that "
        f"any is: {chance_text(sums.short_chance)}. Fewer by: how many less if this alone is measured. Not in it: a hole that "
        "is not there at all, and a slip of the knife.",
    )
    rows = tuple(row(one) for one in plan.measurements if one.gain >= LEAST_GAIN)
    return Table("measure", "Measure next", columns, rows, notes)


def resting_on(plan: Plan, measurement: str) -> tuple[str, ...]:
    """Runs that may be short and whose length rests on a measurement, the likeliest to be short first."""
    runs = [run for run in plan.runs if any(one.measurement == measurement for one in run.errors)]
    return tuple(run.id for run in sorted(runs, key=lambda run: (-run.short_chance, run.id)) if run.short_chance > 0.0)
