"""Several plans of one van side by side: figures, and the runs that differ."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanRun
from ribway.models.printed import Units, length, mass
from ribway.models.printed import rounded_up as up
from ribway.viewer.report.run_tables import cable_text
from ribway.viewer.report.table import Cell, Column, Row, Table, cell
from ribway.viewer.report.words import NOTHING, mass_apart, place

BASE = "base"
SAME = 1e-9


@dataclass(frozen=True)
class Figure:
    """How a kind of figure is written.

    Args:
        written: the figure itself, rounded up.
        difference: how far two of them are apart, rounded to the nearest.
    """

    written: Callable[[float], str]
    difference: Callable[[float], str]

    @classmethod
    def mass(cls, units: Units) -> Figure:
        """Of a mass [kg]."""
        return cls(lambda kg: mass(kg, units), lambda kg: mass_apart(kg, units))

    @classmethod
    def length(cls, units: Units) -> Figure:
        """Of a length [m]."""
        return cls(lambda m: length(m, units), lambda m: place(m, units))

    @classmethod
    def count(cls) -> Figure:
        """Of a number of things."""
        return cls("{:g}".format, "{:g}".format)

    @classmethod
    def percent(cls) -> Figure:
        """Of a share [%]."""
        return cls(lambda x: f"{up(x, 1)} %", "{:.1f} %".format)


def plan_name(plan: Plan) -> str:
    """A plan's name among its alternatives."""
    return plan.alternative or BASE


def figures_table(plans: Sequence[Plan]) -> Table:
    """Totals, one column a plan.

    Args:
        plans: the plans, the first is what the others are set against.

    Returns:
        One row for each figure; below each the difference from the first plan. Figures of copper that are least among
        the complete plans say so.
    """
    units = plans[0].rules.units
    kilos, metres, count, percent = Figure.mass(units), Figure.length(units), Figure.count(), Figure.percent()
    lines: tuple[tuple[str, Callable[[Plan], float], Figure], ...] = (
        ("Copper", lambda plan: plan.totals.copper_kg, kilos),
        ("in mains", lambda plan: plan.totals.copper_mains_kg, kilos),
        ("in circuits", lambda plan: plan.totals.copper_circuits_kg, kilos),
        ("Cable cut", lambda plan: plan.totals.cable_m, metres),
        ("Looms, all lengths", lambda plan: plan.totals.loom_m, metres),
        ("Runs", lambda plan: plan.totals.runs, count),
        ("Openings used", lambda plan: plan.totals.openings_used, count),
        ("Holes to drill", lambda plan: plan.totals.holes_drilled, count),
        ("Fullest opening", lambda plan: plan.totals.fullest_percent, percent),
        ("Bends", lambda plan: plan.totals.bends, count),
        ("Greatest drop", lambda plan: plan.totals.worst_drop_percent, percent),
        ("Errors", _errors, count),
    )
    ready = Row("ready", (cell("Ready"), *(cell("yes" if plan.complete else "NOT READY") for plan in plans)))
    rows = [ready]
    for heading, value, figure in lines:
        values = [value(plan) for plan in plans]
        whole = [number for number, plan in zip(values, plans, strict=True) if plan.complete]
        least = min(whole) if heading == "Copper" and whole else None
        cells = [_against(number, values[0], figure, number == least) for number in values]
        rows.append(Row(heading, (cell(heading), *cells)))
    heads = [Column(plan_name(plan), "number", show="always", strong=index == 0) for index, plan in enumerate(plans)]
    return Table("figures", "Alternatives", (Column("Figure", show="always", strong=True), *heads), tuple(rows))


def _errors(plan: Plan) -> float:
    return float(sum(1 for finding in plan.findings if finding.level == "error"))


def _against(value: float, base: float, figure: Figure, least: bool) -> Cell:
    """A figure, and below it how far it is from the first plan's."""
    text = f"{figure.written(value)}{' (least)' if least else ''}"
    if abs(value - base) > SAME:
        text += f"\n{'+' if value > base else '−'}{figure.difference(abs(value - base))}"
    return Cell(text, value)


def differences_table(plans: Sequence[Plan]) -> Table:
    """Runs that are not the same in all plans.

    Args:
        plans: the plans, the first is what the others are set against.

    Returns:
        One row for each such run: cut length and cable, and the way where it is another than in the first plan.
    """
    names = list(dict.fromkeys(run.id for plan in plans for run in plan.runs))
    by_id = [{run.id: run for run in plan.runs} for plan in plans]
    rows = []
    for name in names:
        runs = [known.get(name) for known in by_id]
        cells = [_run_cell(run, runs[0], plan) for run, plan in zip(runs, plans, strict=True)]
        if len({(one.text, run.openings if run else ()) for one, run in zip(cells, runs, strict=True)}) > 1:
            rows.append(Row(name, (cell(name), *cells), runs=(name,)))
    heads = [Column(plan_name(plan), show="always") for plan in plans]
    return Table("differences", "Runs that differ", (Column("Run", show="always", strong=True), *heads), tuple(rows))


def _run_cell(run: PlanRun | None, base: PlanRun | None, plan: Plan) -> Cell:
    if run is None:
        return cell(NOTHING, -1.0)
    text = f"{length(run.cut_m, plan.rules.units)}\n{cable_text(run, {cable.id: cable for cable in plan.cables})}"
    if not run.centreline:
        text = "no route"
    elif base is not None and run.openings != base.openings:
        text += f"\nthrough {', '.join(run.openings) or 'no opening'}"
    return cell(text, run.cut_m)
