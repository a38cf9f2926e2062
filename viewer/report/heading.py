"""What stands over a plan on the page: name, totals, warnings, and how near its copper is to the least."""

from __future__ import annotations

from collections.abc import Sequence

from ribway.models.plan.bound import bound_words
from ribway.models.plan.plan import Plan
from ribway.models.printed import counted, mass
from ribway.viewer.report.alternatives import plan_name
from ribway.viewer.report.loom_switches import cut_text
from ribway.viewer.report.markup import element, text


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
        f"{counted(len(plan.runs), 'run')} · {cut_text(plan.runs, units)} · "
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
