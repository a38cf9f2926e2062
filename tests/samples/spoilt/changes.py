"""Small changes to a plan, so that a table of wrong plans stays readable."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Literal

from ribway.models.plan.plan import Plan


@dataclass(frozen=True)
class Spoilt:
    """A wrong plan: what must be reported, about whom, and how the right plan is made wrong."""

    code: str
    about: str
    make: Callable[[Plan], Plan]
    level: Literal["error", "warning", "note"] = "error"


def change(plan: Plan, kind: str, name: str, /, **update: Any) -> Plan:
    """The plan with one of its runs, openings, circuits ... changed, found by its id or, without one, its name."""
    rows = tuple(
        one.model_copy(update=update) if name == getattr(one, "id", getattr(one, "name", None)) else one
        for one in getattr(plan, kind)
    )
    assert rows != getattr(plan, kind), f"nothing changed in {kind} {name}"
    return plan.model_copy(update={kind: rows})


def take(plan: Plan, kind: str, name: str) -> Any:
    """One of the plan's runs, openings, circuits ... by id or name."""
    return next(one for one in getattr(plan, kind) if name == getattr(one, "id", getattr(one, "name", None)))


def leg(plan: Plan, run: str, place: int, **update: Any) -> Plan:
    """The plan with one leg of a run changed."""
    legs = list(take(plan, "runs", run).legs)
    legs[place] = legs[place].model_copy(update=update)
    return change(plan, "runs", run, legs=tuple(legs))


def section(plan: Plan, loom: str, place: int, **update: Any) -> Plan:
    """The plan with one section of a loom changed."""
    sections = list(take(plan, "looms", loom).sections)
    sections[place] = sections[place].model_copy(update=update)
    return change(plan, "looms", loom, sections=tuple(sections))


def add(plan: Plan, kind: str, name: str, field: str, by: float) -> Plan:
    """The plan with one number of one of its parts changed by so much."""
    return change(plan, kind, name, **{field: getattr(take(plan, kind, name), field) + by})


def rules(plan: Plan, **update: Any) -> Plan:
    """The plan under other rules."""
    return plan.model_copy(update={"rules": plan.rules.model_copy(update=update)})


def totals(plan: Plan, **update: Any) -> Plan:
    """The plan with other totals."""
    return plan.model_copy(update={"totals": plan.totals.model_copy(update=update)})


def shifted(points: tuple[tuple[float, float, float], ...], by: tuple[float, float, float]) -> tuple[Any, ...]:
    """Points moved by a vector [m]."""
    return tuple((x + by[0], y + by[1], z + by[2]) for x, y, z in points)
