"""A plan's part of the page: its tables behind tabs, and the cautions that apply to it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ribway.models.plan.plan import Plan
from ribway.viewer.report.alternatives import differences_table, figures_table, plan_name
from ribway.viewer.report.markup import element, text
from ribway.viewer.report.table_markup import panel
from ribway.viewer.report.tables import tables_of


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
        *(panel(table, index) for table in panels),
        _cautions(notices),
        class_="plan",
        data_plan=index,
        hidden=not shown,
        aria_label=f"Plan {plan_name(plan)}",
    )


def _tab(name: str, title: str, count: int) -> str:
    return element("button", text(title), element("small", f" {count}"), type="button", class_="tab", data_panel=name)


def _cautions(notices: Sequence[Notice]) -> str:
    items = (element("li", element("b", text(one.head)), " ", text(one.text)) for one in notices)
    title = element("h2", "Cautions", tabindex="-1")
    return element("section", title, element("ol", *items), class_="panel", data_panel="cautions")
