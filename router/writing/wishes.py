"""How a person overruled the grouping into looms, as the plan says it, and what of it came to nothing."""

from __future__ import annotations

from collections.abc import Iterator

from ribway.models.plan.results import Finding
from ribway.models.plan.wished import PlanLoomWishes
from ribway.router.writing.outcome import Outcome


def write_wishes(outcome: Outcome) -> PlanLoomWishes:
    """The wishes in runs."""
    wanted = outcome.project.looms
    together = tuple(
        tuple(run.id for run in outcome.runs if number in run.wish.together) for number in range(len(wanted.together))
    )
    apart = tuple(
        tuple(tuple(run.id for run in outcome.runs if (number, place) in run.wish.apart) for place in range(len(names)))
        for number, names in enumerate(wanted.apart)
    )
    return PlanLoomWishes(together=together, apart=apart, spares=dict(sorted(wanted.spares.items())))


def wish_findings(outcome: Outcome) -> Iterator[Finding]:
    """Runs that were asked to share a loom and share no stretch of their way."""
    for runs in write_wishes(outcome).together:
        laid = [run for run in runs if run in outcome.layout.loom_of]
        looms = {outcome.layout.loom_of[run].id for run in laid}
        if len(looms) > 1:
            yield Finding(
                level="note",
                code="loom-wish",
                about=", ".join(laid),
                message=f"asked to go together, but they lie in looms {', '.join(sorted(looms))}: some of them share no stretch",
                remedy="lead them through the same openings with via, or take them out of looms: together",
            )
