"""The legend: looms as switches, each with what is cut for it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ribway.models.plan.metres import cable_cut_m, draw_cord_cut_m
from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanRun
from ribway.models.printed import Units, counted, length
from ribway.viewer.bands import banded_looms
from ribway.viewer.legend import loom_title
from ribway.viewer.report.markup import chip, element, text
from ribway.viewer.scene import ALONE
from ribway.viewer.shapes import LegendLine


@dataclass(frozen=True)
class LoomSwitch:
    """A loom as a line of the legend.

    Args:
        loom: its id; empty for runs in no loom.
        colour: ``#rrggbb``.
        banded: whether it is drawn with white bands.
        title: name and zone.
        about: how many runs, and what is cut for them.
    """

    loom: str
    colour: str
    banded: bool
    title: str
    about: str


def loom_switches(plan: Plan) -> list[LoomSwitch]:
    """The lines of a plan's legend: its looms, then runs in none.

    Args:
        plan: the plan.
    """
    units = plan.rules.units
    known, banded = {loom.id for loom in plan.looms}, banded_looms(plan)
    groups = [(loom.id, loom.colour, loom.zone, [r for r in plan.runs if r.loom == loom.id]) for loom in plan.looms]
    alone = [run for run in plan.runs if run.loom not in known]
    if alone:
        groups.append(("", ALONE, "", alone))
    found = []
    for name, colour, zone, runs in groups:
        line = LegendLine(name, colour, zone, len(runs), cable_cut_m(runs), any(run.kind == "ac" for run in runs))
        about = f"{counted(line.runs, 'run')}, {_short_cut_text(runs, units)}"
        found.append(LoomSwitch(name, colour, name in banded, loom_title(line), about))
    return found


def looms_sum(plan: Plan) -> str:
    """How many looms and runs a plan has, and what is cut for them."""
    looms, runs = counted(len(plan.looms), "loom"), counted(len(plan.runs), "run")
    return f"{looms}, {runs}, {cut_text(plan.runs, plan.rules.units)}"


def legend(plan: Plan, plans: Sequence[Plan]) -> str:
    """Looms as switches, with sums.

    Args:
        plan: the plan.
        plans: all plans of the page.

    Returns:
        HTML.
    """
    items = []
    for one in loom_switches(plan):
        box = element("input", type="checkbox", checked=True, data_loom=one.loom)
        words = element("span", element("b", text(one.title)), element("small", text(one.about)))
        items.append(element("li", element("label", box, chip(one.colour, banded=one.banded), words)))
    both = [
        element("button", words, type="button", class_="small", data_looms=flag)
        for words, flag in (("all", "on"), ("none", "off"))
    ]
    return element(
        "details",
        element("summary", element("b", text(looms_sum(plan)))),
        element("div", *both, class_="bar"),
        element("ul", *items),
        class_="legend",
        open=True,
        data_plan=str(plans.index(plan)),
        hidden=plan is not plans[0],
    )


def cut_text(runs: Sequence[PlanRun], units: Units) -> str:
    """What is cut for some runs: cable, and cord to draw cables with, each if there is any."""
    kinds = ((cable_cut_m(runs), "of cable"), (draw_cord_cut_m(runs), "of draw cord"))
    return ", ".join(f"{length(metres, units)} {what}" for metres, what in kinds if metres > 0.0) or "nothing to cut"


def _short_cut_text(runs: Sequence[PlanRun], units: Units) -> str:
    """The same for the legend's narrow lines: cable, and cord behind it."""
    cable, cord = cable_cut_m(runs), draw_cord_cut_m(runs)
    parts = [length(cable, units)] if cable > 0.0 else []
    parts += [f"{length(cord, units)} cord"] if cord > 0.0 else []
    return " + ".join(parts) or "nothing to cut"
