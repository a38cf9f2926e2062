"""The whole page as text: head, body, data and scripts in one file that fetches nothing."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from string import Template
from typing import Any

from ribway.models.plan.plan import Plan
from ribway.models.plan_file import save_plan
from ribway.viewer.parts import WALLS
from ribway.viewer.report.alternatives import plan_name
from ribway.viewer.report.bars import chooser, opening_key, view_bar, wall_bar
from ribway.viewer.report.body import Notice, plan_section
from ribway.viewer.report.heading import heading
from ribway.viewer.report.inlined import inside_page, policy, scripts_in, text_in
from ribway.viewer.report.loom_switches import legend
from ribway.viewer.report.markup import json_block, text
from ribway.viewer.report.modules import joined
from ribway.viewer.report.scene_data import scenes_data
from ribway.viewer.thinning import thinned_parts

HERE = "ribway.viewer.report"
START = "main.js"
MOST_TRIANGLES = 120_000
"""Of a plan's metal; more of it would make the page larger than a mailbox takes."""
MARK = "<!-- page of ribway -->"
"""Stands in every page that is written, so that no other file is ever replaced by one."""


def page_text(plans: Sequence[Plan], notices: Mapping[int, Sequence[Notice]]) -> str:
    """A page for one plan, or for several alternatives of one van.

    Args:
        plans: the plans; the page begins with the first.
        notices: cautions that apply to each plan, by its place in ``plans``.

    Returns:
        HTML that needs nothing else; the same for the same plans.

    Raises:
        ValueError: there is no plan.
    """
    if not plans:
        raise ValueError("a page needs at least one plan")
    light = [thinned_parts(plan.parts, MOST_TRIANGLES) for plan in plans]
    thinned = [words for _, words in light]
    plans = [
        plan.model_copy(update={"parts": parts}) if words else plan
        for plan, (parts, words) in zip(plans, light, strict=True)
    ]
    first = plans[0]
    style, script = (
        text_in(HERE, "page.css"),
        inside_page(joined(scripts_in(((HERE, "scripts"), (HERE, "vendor"))), START)),
    )
    return Template(text_in(HERE, "page.html")).substitute(
        mark=MARK,
        title=text(first.name),
        policy=policy(style, script),
        style=style,
        licence=text_in(HERE, "vendor/three-licence.txt").replace("--", "- -"),
        chooser=chooser(plans),
        headings="".join(heading(plan, plans, words) for plan, words in zip(plans, thinned, strict=True)),
        views=view_bar(),
        walls=wall_bar(WALLS),
        key=opening_key(),
        legends="".join(legend(plan, plans) for plan in plans),
        sections="".join(
            plan_section(plan, notices.get(index, ()), plans, index == 0) for index, plan in enumerate(plans)
        ),
        data=json_block(page_data(plans)),
        script=script,
    )


def page_data(plans: Sequence[Plan]) -> dict[str, Any]:
    """What the page's scripts are given.

    Args:
        plans: the plans.

    Returns:
        What is drawn, and for each plan who it is; fit for JSON.
    """
    who = [
        {
            "key": plan_key(plan),
            "name": plan.name,
            "alternative": plan_name(plan),
            "revision": plan.revision,
            "date": plan.date,
            "units": plan.rules.units,
        }
        for plan in plans
    ]
    return {"plans": who, **scenes_data(plans)}


def plan_key(plan: Plan) -> str:
    """A short key under which a browser keeps what is typed into a plan's page.

    Args:
        plan: the plan.

    Returns:
        The same for the same plan, another for any other, so that a tick at a run never passes to a run that was
        changed since.
    """
    # The shell's metal does not change what is typed; leaving it out saves most of the time.
    bare = plan.model_copy(update={"parts": ()})
    return hashlib.sha256(save_plan(bare).encode("utf-8")).hexdigest()[:20]
