"""What a bundle's factor and its heat balance each did to a size, so that no cable grows thick in silence."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final, Literal

from ribway.models.plan.electric import PlanSizeBy
from ribway.models.plan.results import Finding, PlanRun
from ribway.router.circuits.runs import Run
from ribway.router.sizes.held import Sized
from ribway.router.writing.outcome import Outcome
from ribway.sizing.choice import Choice, choose_conductor
from ribway.sizing.rules import SizingRules

BY_HEAT: Final = frozenset({"ampacity", "fuse window"})
"""Limits that ask for a thicker cable the more a bundle takes away. Where another decided, the bundle changed nothing."""


def size_by(outcome: Outcome, run: Run, sized: Sized) -> tuple[PlanSizeBy, ...]:
    """What a run would take by the factor alone, by the heat balance alone, and alone in its air, all else as it is.

    Args:
        outcome: what was decided.
        run: the run.
        sized: how it was held against its limits.

    Returns:
        Empty where its bundle had no say.
    """
    demand = sized.demand
    if demand is None or outcome.reason_of.get(run.id) not in BY_HEAT:
        return ()
    known = [(one, one.conductor) for one in outcome.sizer.cables[run.id]]
    cables = [(cable, conductor) for cable, conductor in known if conductor is not None]
    circuit = next(feed.circuit for feed in outcome.feeds if feed.circuit.id == run.circuit)
    asked = replace(demand, fuse_a=circuit.fuse)
    out: list[PlanSizeBy] = []
    described = any(stretch.heat is not None for stretch in demand.stretches)
    for by, rules in _ways(outcome.sizer.rules_of(run.id)):
        if by == "heat balance alone" and not described:
            continue
        chosen = choose_conductor([conductor for _, conductor in cables], asked, rules)
        if isinstance(chosen, Choice):
            size, carries_a = cables[chosen.index][0].stock.size, chosen.verdict.ampacity.derated_a
            out.append(PlanSizeBy(by=by, size=size, carries_a=round(carries_a, 2)))
        else:
            out.append(PlanSizeBy(by=by, size="", carries_a=round(chosen.largest.ampacity.derated_a, 2)))
    return tuple(out)


def _ways(
    rules: SizingRules,
) -> tuple[tuple[Literal["factor alone", "heat balance alone", "neither"], SizingRules], ...]:
    return (
        ("factor alone", replace(rules, derating="factor")),
        ("heat balance alone", replace(rules, derating="heat", bundle="none")),
        ("neither", replace(rules, derating="factor", bundle="none")),
    )


def bundle_findings(runs: Sequence[PlanRun]) -> Iterator[Finding]:
    """Runs that are thicker because of what lies beside them: what by itself would do, and what asks for how much."""
    said: dict[str, list[str]] = {}
    for run in runs:
        by = {one.by: one.size or "more than is stocked" for one in run.size_by}
        if by and by["neither"] != run.size_name:
            heat = f", the heat balance for {by['heat balance alone']}" if "heat balance alone" in by else ""
            words = f"{run.size_name} where {by['neither']} would do alone in its air"
            words += f" (the factor asks for {by['factor alone']}{heat})"
            said.setdefault(words, []).append(run.id)
    for words, names in said.items():
        yield Finding(
            level="note",
            code="bundle-decides",
            about=", ".join(names),
            message=f"what lies beside it made it thicker: {words}",
            remedy="below 50 V no law asks for the factor: derating under shop chooses factor, heat or the stricter; or lead "
            "it apart",
        )
