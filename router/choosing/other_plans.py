"""Whole plans that differ: in at least so many passages through openings, within a stated cost, each with its own bound."""

from __future__ import annotations

from dataclasses import dataclass

from ribway.models.plan.plan import Plan
from ribway.router.choosing.instances import posed, routes_of
from ribway.router.choosing.sharing import resized
from ribway.router.copper import unrounded_kg
from ribway.router.planner import audited, written
from ribway.router.planning import Planning, State
from ribway.router.proof.alternatives import other_plans
from ribway.router.proof.from_space import paths_of
from ribway.router.proof.plans import cost_of
from ribway.router.proof.result import Limits

LIMITS = Limits(tolerance=2e-3, nodes=60, rounds=80)


@dataclass(frozen=True, eq=False)
class OtherPlan:
    """Another plan.

    Args:
        plan: complete, sized for its own lengths and audited.
        differs: passages of runs through openings that the present plan has and this one has not.
        gap_percent: how much its routes may cost above the cheapest of all that differ as much, in its first sizes [%].
        kg: copper before rounding [kg].
    """

    plan: Plan
    differs: int
    gap_percent: float
    kg: float


def different_plans(
    planning: Planning, state: State, most: int, differ: int, within_percent: float, name: str = "other way"
) -> tuple[OtherPlan, ...]:
    """Plans that are truly other than the present one and than each other.

    Routes are looked for in the cables of the present plan; then each plan is sized for its own lengths, and routed again
    only where thicker cables no longer fit.

    Args:
        planning: what was planned.
        state: the present plan; every run has a route.
        most: plans at most.
        differ: passages through openings that are given up, at least.
        within_percent: how much more than the present plan its routes may cost [%].
        name: what to call them; numbered.

    Returns:
        Those that have a complete plan, least copper first. None is a proof that there are none only if no route was
        found within the cost; see `ribway.router.proof.alternatives`.

    Raises:
        AuditError: one of them does not pass its audit.
    """
    asked = posed(planning, state)
    instance = asked.adapted.instance
    now = routes_of(asked.adapted, state.paths, planning)
    limit = cost_of(instance, now) * (1.0 + within_percent / 100.0)
    out = []
    for number, found in enumerate(other_plans(instance, now, differ, limit, most, LIMITS), start=1):
        other = resized(planning, state, paths_of(asked.adapted, found.routes))
        plan = written(planning, other, f"{name} {number}", bounded=True) if other is not None else None
        if other is not None and plan is not None and plan.complete:
            given_up = _given_up(planning, state, other)
            out.append(OtherPlan(audited(plan), given_up, found.gap_percent, unrounded_kg(planning, other)))
    return tuple(sorted(out, key=lambda one: (one.kg, one.plan.alternative)))


def _given_up(planning: Planning, state: State, other: State) -> int:
    """Passages of runs through ways that the one state has and the other has not."""

    def passages(one: State) -> set[tuple[str, int]]:
        return {(run, way) for run, laid in one.layout.laid.items() for way in laid.ways}

    return len(passages(state) - passages(other))
