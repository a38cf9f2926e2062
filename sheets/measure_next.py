"""What to measure next: which reading makes it least likely that a cable is cut short, and which cables may be."""

from __future__ import annotations

from ribway.models.chances import chance_text, fewer_text, runs_text
from ribway.models.plan.assumptions import PlanMeasurement
from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanRun
from ribway.models.printed import counted
from ribway.sheets.places import device_names
from ribway.sheets.safe_lengths import extra_of, safe_lengths_note
from ribway.sheets.table import LARGE_PT, Column, Group, Row, Table, groups_of
from ribway.sheets.words import NOTHING, bare_length, joined, length_unit, place

TITLE = "Measure next"
SHOWN = 10
RUNS_SHOWN = 12
_LEAST_GAIN = 0.0005


def worth_measuring(plan: Plan) -> tuple[PlanMeasurement, ...]:
    """The measurements that make runs less likely to be short, the best first."""
    return tuple(one for one in plan.measurements if one.gain >= _LEAST_GAIN)


def resting_on(plan: Plan, measurement: str) -> tuple[str, ...]:
    """Runs whose length rests on a measurement, the likeliest to be short first."""
    runs = [run for run in plan.runs if any(one.measurement == measurement for one in run.errors)]
    return tuple(run.id for run in sorted(runs, key=lambda run: (-run.short_chance, run.id)) if run.short_chance > 0.0)


def measure_next_list(plan: Plan) -> Table:
    """The measurements worth taking, the best first.

    Args:
        plan: the plan.

    Returns:
        Up to ten rows; none if no reading would change anything.
    """
    columns = (
        Column("No.", weight=0.1, align="right"),
        Column("Measure", weight=2.6, strong=True),
        Column("May be off by now", weight=0.3, align="right"),
        Column("Once measured", weight=0.3, align="right"),
        Column("Runs short, fewer by", weight=0.4, align="right", strong=True),
        Column("For runs", weight=2.4),
        Column("Measured", weight=0.8),
        Column("Done", weight=0.0, align="box"),
    )
    best = worth_measuring(plan)[:SHOWN]
    rows = tuple(_row(plan, number, one) for number, one in enumerate(best, start=1))
    sums = plan.totals
    notes = (
        f"Expected as things are: {runs_text(sums.short_runs)} of {counted(sums.runs, 'run')} cut too short; the chance "
        f"that any is: {chance_text(sums.short_chance)}. Fewer by: how many less if this alone is measured.",
        "Each stated error is taken as a bound, evenly spread. A value that several runs rest on moves all of them; "
        "different values are independent. A cable is short if the errors use up its slack, tails and rounding but for "
        "50 mm at each terminal. Not in it: a hole that is not there at all, and a slip of the knife.",
    )
    return Table(TITLE, columns, groups_of(Group("", rows)), notes, LARGE_PT)


def may_be_short_list(plan: Plan) -> Table:
    """The runs that are likeliest to be short.

    Args:
        plan: the plan.

    Returns:
        Up to twelve rows; none if no run can be short by the stated errors.
    """
    unit = length_unit(plan.rules.units)
    columns = (
        Column("Run", weight=0.6, strong=True),
        Column("From – to", weight=2.4),
        Column("Cut length", unit, weight=0.4, align="right"),
        Column("Of it to spare", unit, weight=0.4, align="right"),
        Column("Chance of being short", weight=0.4, align="right", strong=True),
        Column("To be sure, cut longer by", unit, weight=0.4, align="right", strong=True),
        Column("Cut longer by hand", weight=0.0, align="box"),
    )
    short = sorted((run for run in plan.runs if run.short_chance > 0.0), key=lambda run: (-run.short_chance, run.id))
    rows = tuple(_run_row(plan, run) for run in short[:RUNS_SHOWN])
    more = len(short) - len(rows)
    notes = (f"{counted(more, 'more run')} may be short, with less of a chance: see the cut list.",) if more else ()
    sure = safe_lengths_note(plan)
    notes = (*notes, sure) if sure else notes
    return Table("May be short", columns, groups_of(Group("", rows)), notes, follows=True)


def _row(plan: Plan, number: int, one: PlanMeasurement) -> Row:
    units = plan.rules.units
    names = resting_on(plan, one.id)
    shown = joined(names if len(names) <= 6 else (*names[:5], f"and {len(names) - 5} more"))
    return (
        str(number), one.what, place(one.error_m, units), place(one.after_m, units), fewer_text(one.gain), shown,
        "_" * 10, "",
    )  # fmt: skip


def _run_row(plan: Plan, run: PlanRun) -> Row:
    names, units = device_names(plan), plan.rules.units
    ends = f"{names.get(run.from_, run.from_)} – {names.get(run.to, run.to)}"
    spare = place(run.margin_m, units).removesuffix(" m")
    extra = extra_of(plan).get(run.id)
    longer = NOTHING if extra is None else bare_length(extra, units)
    return (run.id, ends, bare_length(run.cut_m, units), spare, chance_text(run.short_chance), longer, "")
