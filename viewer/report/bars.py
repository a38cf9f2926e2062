"""The bars of buttons round the picture, and what its marks mean."""

from __future__ import annotations

from collections.abc import Sequence

from ribway.models.plan.plan import Plan
from ribway.viewer.report.alternatives import plan_name
from ribway.viewer.report.markup import chip, element, text
from ribway.viewer.report.scene_data import OPENING_KEY
from ribway.viewer.views import OVERVIEW, VIEWS


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
    items = (element("li", chip(colour, "round"), text(words)) for colour, words in OPENING_KEY)
    return element("ul", *items, class_="key")


def _flag(on: bool) -> str:
    return "true" if on else "false"
