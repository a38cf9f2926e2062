"""The page's body as HTML: head lines, the place for the 3D view, legend, and every table of every plan."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ribway.models.plan.bound import bound_words
from ribway.models.plan.metres import cable_cut_m, draw_cord_cut_m
from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanRun
from ribway.models.printed import Units, counted, length, mass
from ribway.viewer.bands import banded_looms
from ribway.viewer.legend import loom_title
from ribway.viewer.report.alternatives import differences_table, figures_table, plan_name
from ribway.viewer.report.markup import element, text
from ribway.viewer.report.scene_data import OPENING_KEY
from ribway.viewer.report.table import Cell, Column, Row, Table
from ribway.viewer.report.tables import tables_of
from ribway.viewer.scene import ALONE
from ribway.viewer.shapes import LegendLine
from ribway.viewer.views import OVERVIEW, VIEWS


@dataclass(frozen=True)
class Notice:
    """A caution of the trade that applies to a plan.

    Args:
        head: what to do, in a few words.
        text: the sentence or two behind it.
    """

    head: str
    text: str


def plan_section(plan: Plan, notices: Sequence[Notice], plans: Sequence[Plan], shown: bool) -> str:
    """The tables and cautions of one plan.

    Args:
        plan: the plan.
        notices: the cautions that apply to it.
        plans: all plans of the page, this one among them.
        shown: whether the page begins with it.

    Returns:
        HTML.
    """
    panels = [*tables_of(plan)]
    if len(plans) > 1:
        panels += [figures_table(plans), differences_table(plans)]
    panels = [table for table in panels if table.rows]
    index = str(plans.index(plan))
    tabs = [_tab(table.id, table.title, len(table.rows)) for table in panels]
    tabs.append(_tab("cautions", "Cautions", len(notices)))
    return element(
        "section",
        element("nav", *tabs, class_="tabs", aria_label="Tables"),
        *(_panel(table, index) for table in panels),
        _cautions(notices),
        class_="plan",
        data_plan=index,
        hidden=not shown,
        aria_label=f"Plan {plan_name(plan)}",
    )


def _tab(name: str, title: str, count: int) -> str:
    return element("button", text(title), element("small", f" {count}"), type="button", class_="tab", data_panel=name)


def heading(plan: Plan, plans: Sequence[Plan], thinned: str = "") -> str:
    """What stands over a plan: name, revision, totals, whether it is ready.

    Args:
        plan: the plan.
        plans: all plans of the page.
        thinned: what to say of metal that is drawn coarser than it is.

    Returns:
        HTML.
    """
    units, totals = plan.rules.units, plan.totals
    used = [opening for opening in plan.openings if opening.runs]
    assumed = sum(1 for opening in used if opening.state == "assumed")
    about = [plan_name(plan)] if len(plans) > 1 else []
    about += [f"revision {plan.revision}"] if plan.revision else []
    about += [plan.date] if plan.date else []
    sums = (
        f"{counted(len(plan.runs), 'run')} · {_cut_text(plan.runs, units)} · "
        f"{mass(totals.copper_kg, units)} copper · {counted(totals.holes_drilled, 'hole')} to drill"
    )
    warnings = [] if plan.complete else ["NOT READY: this plan is not complete."]
    errors = sum(1 for finding in plan.findings if finding.level == "error")
    if errors:
        warnings.append(f"NOT SAFE: {counted(errors, 'error')} among the findings.")
    if assumed:
        warnings.append(f"{assumed} of {len(used)} openings used were never measured: check them before cutting.")
    if any(run.kind == "ac" for run in plan.runs):
        warnings.append("AC: to be designed and connected by a licensed person.")
    if thinned:
        warnings.append(f"{thinned[0].upper()}{thinned[1:]}.")
    return element(
        "div",
        element("p", text(" · ".join(about)), class_="about"),
        element("p", text(sums), class_="sums"),
        _bound(plan),
        element("ul", *(element("li", text(line)) for line in warnings), class_="warnings") if warnings else "",
        class_="heading",
        data_plan=str(plans.index(plan)),
        hidden=plan is not plans[0],
    )


def _bound(plan: Plan) -> str:
    """How near the copper is to the least, to be opened by who wants to know."""
    if plan.bound is None:
        return ""
    summary = element("summary", "How near this is to the least copper")
    return element("details", summary, element("p", text(bound_words(plan.bound, plan.rules.units))), class_="bound")


def chooser(plans: Sequence[Plan]) -> str:
    """Buttons that switch between alternatives; nothing for one plan."""
    if len(plans) < 2:
        return ""
    buttons = (
        element("button", text(plan_name(plan)), type="button", data_show=str(index), aria_pressed=_flag(index == 0))
        for index, plan in enumerate(plans)
    )
    return element("div", *buttons, class_="bar chooser", role="group", aria_label="Alternatives")


def view_bar() -> str:
    """Buttons for the standard views."""
    names = [
        element(
            "button",
            text(view.short),
            type="button",
            data_view=name,
            title=view.title,
            aria_pressed=_flag(name == OVERVIEW),
        )
        for name, view in VIEWS.items()
    ]
    near = [
        element("button", sign, type="button", data_zoom=factor, aria_label=label)
        for sign, factor, label in (("+", "0.8", "nearer"), ("−", "1.25", "farther"))
    ]
    return element("div", *names, *near, class_="bar", role="group", aria_label="Standard views")


def wall_bar(walls: Sequence[str]) -> str:
    """Buttons that take a wall's metal away and put it back."""
    buttons = (
        element("button", text(wall), type="button", data_wall=wall, aria_pressed="true", class_="small")
        for wall in walls
    )
    names = element("button", "names", type="button", data_names="", aria_pressed="false", class_="small")
    label = element("span", "Metal of", class_="label")
    return element("div", label, *buttons, names, class_="bar", role="group", aria_label="Cut away")


def opening_key() -> str:
    """What the marks in the picture mean."""
    items = (element("li", _chip(colour, "round"), text(words)) for colour, words in OPENING_KEY)
    return element("ul", *items, class_="key")


def _flag(on: bool) -> str:
    return "true" if on else "false"


def _chip(colour: str, form: str = "", banded: bool = False) -> str:
    mark = element("rect", x="1", y="1", width="18", height="18", rx="10" if form else "3", fill=colour)
    bands = [element("rect", x=x, y="1", width="3", height="18", fill="#ffffff") for x in ("5", "12")] if banded else []
    return element("svg", mark, *bands, class_="chip", viewBox="0 0 20 20", aria_hidden="true")


def legend(plan: Plan, plans: Sequence[Plan]) -> str:
    """Looms as switches, with sums.

    Args:
        plan: the plan.
        plans: all plans of the page.

    Returns:
        HTML.
    """
    units = plan.rules.units
    known, banded = {loom.id for loom in plan.looms}, banded_looms(plan)
    groups = [(loom.id, loom.colour, loom.zone, [r for r in plan.runs if r.loom == loom.id]) for loom in plan.looms]
    alone = [run for run in plan.runs if run.loom not in known]
    if alone:
        groups.append(("", ALONE, "", alone))
    items = []
    for name, colour, zone, runs in groups:
        line = LegendLine(name, colour, zone, len(runs), cable_cut_m(runs), any(run.kind == "ac" for run in runs))
        about = f"{counted(line.runs, 'run')}, {_short_cut_text(runs, units)}"
        box = element("input", type="checkbox", checked=True, data_loom=name)
        words = element("span", element("b", text(loom_title(line))), element("small", text(about)))
        items.append(element("li", element("label", box, _chip(colour, banded=name in banded), words)))
    sums = f"{counted(len(plan.looms), 'loom')}, {counted(len(plan.runs), 'run')}, {_cut_text(plan.runs, units)}"
    both = [
        element("button", words, type="button", class_="small", data_looms=flag)
        for words, flag in (("all", "on"), ("none", "off"))
    ]
    return element(
        "details",
        element("summary", element("b", text(sums))),
        element("div", *both, class_="bar"),
        element("ul", *items),
        class_="legend",
        open=True,
        data_plan=str(plans.index(plan)),
        hidden=plan is not plans[0],
    )


def _cut_text(runs: Sequence[PlanRun], units: Units) -> str:
    """What is cut for some runs: cable, and cord to draw cables with, each if there is any."""
    kinds = ((cable_cut_m(runs), "of cable"), (draw_cord_cut_m(runs), "of draw cord"))
    return ", ".join(f"{length(metres, units)} {what}" for metres, what in kinds if metres > 0.0) or "nothing to cut"


def _short_cut_text(runs: Sequence[PlanRun], units: Units) -> str:
    """The same for the legend's narrow lines: cable, and cord behind it."""
    cable, cord = cable_cut_m(runs), draw_cord_cut_m(runs)
    parts = [length(cable, units)] if cable > 0.0 else []
    parts += [f"{length(cord, units)} cord"] if cord > 0.0 else []
    return " + ".join(parts) or "nothing to cut"


def _cautions(notices: Sequence[Notice]) -> str:
    items = (element("li", element("b", text(one.head)), " ", text(one.text)) for one in notices)
    title = element("h2", "Cautions", tabindex="-1")
    return element("section", title, element("ol", *items), class_="panel", data_panel="cautions")


def _panel(table: Table, plan: str) -> str:
    """A table with its title and its filter."""
    find = element(
        "label",
        "Find ",
        element("input", type="search", class_="filter", autocomplete="off", placeholder="any word", maxlength="80"),
    )
    count = element("span", class_="count", role="status")
    head = element("tr", *(_head(index, column) for index, column in enumerate(table.columns)))
    rows = (_row(table, row) for row in table.rows)
    grid = element("table", element("thead", head), element("tbody", *rows), aria_label=table.title)
    return element(
        "section",
        element("h2", text(table.title), tabindex="-1"),
        element("div", find, count, class_="finder"),
        element("div", grid, class_="wide"),
        *(element("p", text(note), class_="note") for note in table.notes),
        class_=f"panel of-{table.id}",
        data_panel=table.id,
        id=f"{table.id}-{plan}",
    )


def _head(index: int, column: Column) -> str:
    if column.kind in ("tick", "entry"):
        return element("th", text(column.heading), scope="col", class_=column.kind)
    sort = element("button", text(column.heading), type="button", class_="sort", data_column=str(index))
    # Browsers leave buttons out where a heading is repeated on the next sheet of paper.
    return element("th", sort, element("span", text(column.heading), class_="printed"), scope="col", class_=column.kind)


def _row(table: Table, row: Row) -> str:
    cells = (
        _cell(table, row, index, column, one)
        for index, (column, one) in enumerate(zip(table.columns, row.cells, strict=True))
    )
    return element(
        "tr",
        *cells,
        data_id=row.id,
        # Ids may hold blanks, never a line feed: the project file has each on one line.
        data_runs="\n".join(row.runs) if row.runs else False,
        data_openings="\n".join(row.openings) if row.openings else False,
        class_=row.level or False,
    )


def _cell(table: Table, row: Row, index: int, column: Column, one: Cell) -> str:
    note = f"{table.id}/{row.id}/{column.note}"
    label = f"{row.id}: {column.heading}"
    if column.kind == "tick":
        inside = element("input", type="checkbox", data_note=note, aria_label=label)
    elif column.kind == "entry":
        inside = element(
            "input", data_note=note, aria_label=label, placeholder=column.hint, maxlength="40", autocomplete="off"
        )
    elif index == 0 and (row.runs or row.openings):
        inside = element("button", text(one.text), type="button", class_="pick", title="show in the picture")
    else:
        first, *rest = one.text.split("\n")
        inside = element("div", text(first), element("small", text("\n".join(rest)))) if rest else text(first)
    names = " ".join(filter(None, (column.kind, column.show, "strong" if column.strong else "")))
    return element(
        "td",
        inside,
        class_=names,
        data_label=column.heading,
        data_value=False if one.value is None else f"{one.value:.10g}",
    )
