"""Other routes of a run and other plans of a van, for the terminal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from rich.table import Table

from ribway.console import clean, table_of
from ribway.models.alternatives import alternative_project
from ribway.models.plan.plan import Plan
from ribway.models.printed import Units, grams_up, length
from ribway.planning import told_by_file
from ribway.units import signed_length

if TYPE_CHECKING:
    from ribway.router.choosing.other_plans import OtherPlan
    from ribway.router.choosing.other_routes import OtherRoute


def other_routes_of(file: Path, alternative: str, run: str, most: int) -> tuple[OtherRoute, ...]:
    """Other routes of a run of a project.

    Args:
        file: the project file.
        alternative: which alternative; empty for the base.
        run: id of the run.
        most: how many.

    Raises:
        ProjectFaults: the project does not fit its shell, or has no such run.
    """
    project = alternative_project(file, alternative)
    from ribway.router.choosing.few_sizes import few_of, within
    from ribway.router.choosing.other_routes import other_routes
    from ribway.router.placing.trying import Trying
    from ribway.router.rising import planned

    with told_by_file(file, alternative):
        planning = Trying(file.parent).prepared(within(project, few_of(project, file.parent)))
        return other_routes(planning, planned(planning), run, most)


def other_plans_of(file: Path, most: int, differ: int, within_percent: float) -> tuple[OtherPlan, ...]:
    """Other plans of a project's base; none if the base itself has no complete plan.

    Args:
        file: the project file.
        most: how many.
        differ: passages of cables through openings that are given up, at least.
        within_percent: how much more the routes may cost [%].

    Raises:
        ProjectFaults: the project does not fit its shell.
    """
    project = alternative_project(file, "")
    from ribway.router.choosing.few_sizes import few_of, within
    from ribway.router.choosing.other_plans import different_plans
    from ribway.router.placing.trying import Trying
    from ribway.router.rising import planned

    with told_by_file(file, ""):
        planning = Trying(file.parent).prepared(within(project, few_of(project, file.parent)))
        state = planned(planning)
        return different_plans(planning, state, most, differ, within_percent) if state.whole else ()


def other_routes_table(routes: Sequence[OtherRoute], units: Units) -> Table:
    """Routes of one run, the present one first.

    Args:
        routes: see `other_routes_of`.
        units: the shop's.
    """
    now = next((one for one in routes if one.now), None)
    rows = []
    for one in routes:
        longer = "" if now is None or one.now else signed_length(one.cut_m - now.cut_m, units)
        heavier = "" if now is None or one.now else _grams(one.copper_kg - now.copper_kg)
        way = "now" if one.now else "other"
        rows.append(
            (way, ", ".join(one.openings) or "no opening", length(one.cut_m, units), longer, heavier, _fitness(one))
        )
    return table_of("Other routes", ("", "through", "cut>", "longer>", "copper>", "beside the others"), rows)


def _grams(kg: float) -> str:
    return f"{'-' if kg < 0 else '+'}{1000.0 * abs(kg):.0f} g"


def _fitness(one: OtherRoute) -> str:
    said = "fits" if one.fits else "no room as they lie"
    return said if one.holds else f"{said}; takes a thicker cable"


def other_plans_words(found: Sequence[OtherPlan], asked: int, units: Units) -> Iterator[str]:
    """What other plans give up, and how far from the cheapest of their kind they are.

    Args:
        found: see `other_plans_of`.
        asked: how many were asked for.
        units: the shop's.
    """
    for one in found:
        yield clean(
            f"{one.plan.alternative}: {one.differs} passages through openings are other than in the base; "
            f"{grams_up(one.kg, units)} of copper before rounding; its routes cost at most {one.gap_percent:.2f} % more than "
            "the cheapest that differ as much"
        )
    if len(found) < asked:
        yield f"{len(found)} of {asked} other ways were found: no more within the stated cost, or none that holds"


def plans_with(plans: Sequence[Plan], found: Sequence[OtherPlan]) -> tuple[Plan, ...]:
    """Plans with those of other ways behind them."""
    return (*plans, *(one.plan for one in found))
