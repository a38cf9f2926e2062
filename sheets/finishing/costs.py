"""What each circuit's cables weigh, warm and lose."""

from __future__ import annotations

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanRun
from ribway.models.printed import length, mass, rounded_up
from ribway.sheets.csv_file import Value
from ribway.sheets.paper.record import Field, Record, Section, Values
from ribway.sheets.table import LARGE_PT
from ribway.sheets.words import NOTHING, glued


def costs_record(plan: Plan) -> Record:
    """Cable, copper, heat, energy lost in a day, circuit by circuit, with their sums. Prices stand in the shop's quote.

    Args:
        plan: the plan.

    Returns:
        One row for each circuit, one for spares, one for all together; columns of which nothing is known are left out.
    """
    units = plan.rules.units

    def metres(value: Value) -> str:
        return NOTHING if value is None else glued(length(float(value), units))

    def kilos(value: Value) -> str:
        return NOTHING if value is None else glued(mass(float(value), units))

    fields = [
        Field("circuit", "Circuit", strong=True, weight=0.5),
        Field("name", "What it feeds", weight=2.4),
        Field("cable_m", "Cable, all pieces", metres, weight=0.6, align="right"),
        Field("copper_kg", "Copper", kilos, weight=0.5, align="right"),
        Field("heat_w", "Heat in it, all running", _tenths, "W", 0.5, "right"),
        Field("lost_wh_per_day", "Lost in a day", _tenths, "Wh", 0.4, "right"),
    ]
    groups = {one.id: (one.name, [run for run in plan.runs if run.circuit == one.id]) for one in plan.circuits}
    groups[""] = ("Spares and draw cords", [run for run in plan.runs if not run.circuit])
    rows = [(id or NOTHING, name, *_sums(runs)) for id, (name, runs) in groups.items() if runs]
    if rows:
        rows.append(("all", "Everything together", *_sums(list(plan.runs))))
    kept = [index for index, field in enumerate(fields) if index < 4 or any(row[index] is not None for row in rows)]
    notes = (
        "Heat is what its conductors give off while everything on it runs. Lost in a day: where hours a day are "
        "known. A dash: not known; the sum is of what is known.",
    )
    shown = tuple(tuple(row[index] for index in kept) for row in rows)
    return Record(
        "costs", "Circuits: copper and heat", tuple(fields[index] for index in kept), (Section("", shown),), notes, LARGE_PT
    )  # fmt: skip


def _sums(runs: list[PlanRun]) -> Values:
    return (
        round(sum(run.cut_m * run.pieces for run in runs), 4), round(sum(run.copper_kg for run in runs), 6),
        _known([run.loss_w for run in runs], 3), _known([run.loss_wh_per_day for run in runs], 2),
    )  # fmt: skip


def _known(values: list[float | None], digits: int) -> float | None:
    known = [one for one in values if one is not None]
    return round(sum(known), digits) if known else None


def _tenths(value: Value) -> str:
    return NOTHING if value is None else rounded_up(float(value), 1)
