"""How each cut length came about: from the straight line to the piece that is cut."""

from __future__ import annotations

from dataclasses import replace

from ribway.models.lengths import format_feet_inches
from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanRun
from ribway.models.printed import Units, length, radius_down, radius_up
from ribway.sheets.csv_file import Value
from ribway.sheets.paper.record import Field, Record, Section, Values
from ribway.sheets.words import NOTHING, bare, bare_length, glued, length_unit, size_unit

_TYPE_PT = 9.0


def lengths_record(plan: Plan) -> Record:
    """Every run with its lengths one after another.

    Args:
        plan: the plan.
    """
    units = plan.rules.units
    unit = length_unit(units)

    def metres(value: Value) -> str:
        return NOTHING if value is None else bare_length(float(value), units)

    def column(key: str, heading: str, strong: bool = False) -> Field:
        return Field(key, heading, metres, unit, 0.3, "right", strong)

    fields = (
        Field("run", "Run", strong=True, weight=0.3),
        column("straight_m", "Straight through the air"),
        column("taut_m", "Taut"),
        column("sharp_m", "Along the metal, square corners"),
        column("rounded_m", "Its centreline"),
        column("slack_m", "Slack"),
        column("loom_side_m", "Outside of bends"),
        replace(column("loop_m", "Loops"), if_any=True),
        column("tails_m", "Both tails"),
        column("cut_m", "Cut length", True),
        Field("bends", "Bends", align="right", weight=0.2),
        Field("bends_deg", "Together", lambda value: f"{float(value or 0):.0f}", "°", 0.2, "right"),
        Field("", "Tightest / least", unit=size_unit(units), weight=0.4),
        Field("tightest_radius_mm", ""),
        Field("least_radius_mm", ""),
        Field("moves_with", "Moves with", weight=0.6, if_any=True),
        Field("margin_m", ""),
        Field("reckoning", ""),
    )
    rows = tuple(_row(run, units) for run in plan.runs)
    notes = (
        "Cut length: along the metal with square corners, slack, the outside of bends, loops and both tails, rounded up to the "
        f"cutting step of {length(plan.rules.cut_step_m, units)}. Tightest: the radius that the run's "
        "tightest corner has room for; least: what its cable may be bent to.",
    )
    return Record("lengths", "How each cut length came about", fields, (Section("", rows),), notes, _TYPE_PT, True)


def _row(run: PlanRun, units: Units) -> Values:
    tightest = NOTHING if run.tightest_radius_mm is None else bare(radius_down(run.tightest_radius_mm, units))
    steps = "; ".join(f"{one.what} {_fine(one.metres, units)}" for one in run.reckoning)
    return (
        run.id, run.straight_m, run.taut_m, run.sharp_m, run.rounded_m, run.slack_m, run.loom_side_m or None,
        run.loop_m or None, round(run.tail_a_m + run.tail_b_m, 4), run.cut_m, run.bends, run.bend_angle_deg,
        glued(f"{tightest} /") + " " + glued(bare(radius_up(run.least_bend_radius_mm, units))), run.tightest_radius_mm,
        run.least_bend_radius_mm, ", ".join(run.moving) or None, run.margin_m, steps or None,
    )  # fmt: skip


def _fine(m: float, units: Units) -> str:
    """One line of a reckoning: as the plan has it, or rounded up to a sixteenth of an inch, fine enough for lines to add up."""
    return f"{m:g} m" if units == "metric" else format_feet_inches(m, 16)
