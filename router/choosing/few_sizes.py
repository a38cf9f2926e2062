"""A shop that keeps few sizes of cable: which of them to keep, so that the van takes least copper.

A set of sizes is bounded from below by the least copper of all circuits with these sizes (`ribway.router.placing.least`).
Sizes are left out one by one, the most hopeful set first; a set that is small enough is planned. When the next bound is not
below the best plan, no other set can be better.
"""

from __future__ import annotations

import heapq
import itertools
import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import Finding
from ribway.models.printed import counted
from ribway.models.project import Project
from ribway.models.shop import Shop
from ribway.models.told import FEW, Told, untold
from ribway.router.circuits.stock import shelf
from ribway.router.errors import NameFault
from ribway.router.faults import RouterFaults
from ribway.router.placing.field import circuits_of
from ribway.router.placing.least import Least
from ribway.router.placing.picks import Pick
from ribway.router.placing.trying import Trying
from ribway.router.planner import plan_project
from ribway.router.planning import Planning
from ribway.router.shell.choose import shell_of
from ribway.router.writing.findings import in_order

PLANS = 12
BOUNDS = 4000

Sizes = frozenset[str]


@dataclass(frozen=True)
class FewSizes:
    """The best few sizes.

    Args:
        sizes: names of sizes of DC cable, thin to thick.
        kg: copper before rounding of the van planned with them [kg]; infinite where the van has no complete plan with any
            sizes: then they are the thickest that it takes, and its plan says what is lacking.
        proven: no other set of as many sizes does with less.
        open_kg: least bound of the sets that were not planned; infinite if none is left [kg].
    """

    sizes: tuple[str, ...]
    kg: float
    proven: bool
    open_kg: float


def few_sizes(project: Project, base_folder: Path, most: int, plans: int = PLANS, told: Told = untold) -> FewSizes:
    """The best sizes to keep.

    Args:
        project: what the user said.
        base_folder: where the project file lies.
        most: sizes of DC cable at most; what circuits state is among them, AC and data are not counted.
        plans: sets to plan at most.
        told: how far it is.

    Raises:
        RouterFaults: a project that does not fit its shell, or no set of so few sizes that does.
    """
    trying = Trying(base_folder, shell_of(project, base_folder))
    planning = trying.prepared(project)
    sizes, stated = _sizes(planning)

    tried = itertools.count()

    def evaluate(kept: Sizes) -> float:
        told(FEW, next(tried), plans)
        try:
            return trying.plan(kept_to(project, kept)).kg
        except RouterFaults:
            return math.inf

    found = _search(_bound_of(planning), sizes, stated, most, evaluate, plans)
    areas = {cable.size: cable.area_mm2 for cable in shelf(project.shop)}

    def thin_to_thick(some: Iterable[str]) -> tuple[str, ...]:
        return tuple(sorted(some, key=lambda size: (areas.get(size, 0.0), size)))

    if math.isinf(found[1]):
        others = thin_to_thick(_used(trying, project) - stated)
        thickest = stated | set(others[max(0, len(others) + len(stated) - most) :])
        if len(thickest) > most or not _lacking(trying, kept_to(project, thickest)):
            raise RouterFaults((_none(most, stated),))
        return FewSizes(thin_to_thick(thickest), math.inf, False, found[2])
    return FewSizes(thin_to_thick(found[0]), found[1], found[2] >= found[1], found[2])


def _used(trying: Trying, project: Project) -> Sizes:
    """Sizes of DC cable that the van takes where it may take any."""
    plan = trying.plan(project).plan
    used = {run.cable for run in plan.runs}
    return frozenset(cable.size_name for cable in plan.cables if cable.kind == "dc" and cable.id in used)


def _lacking(trying: Trying, project: Project) -> bool:
    """Whether the sizes do, and something else keeps the plan from being complete: a run without a route."""
    try:
        return math.isinf(trying.plan(project).kg)
    except RouterFaults:
        return False


def _none(most: int, stated: Sizes) -> NameFault:
    also = f"; the circuits state {', '.join(sorted(stated))}" if stated else ""
    return NameFault("shop / use_at_most", f"no {counted(most, 'size')} will do, or none was found{also}", "more sizes")


def kept_to(project: Project, sizes: Sizes) -> Project:
    """The project with DC cable of these sizes alone on the shelf.

    Args:
        project: what the user said.
        sizes: names of sizes.
    """
    names = tuple(one.id for one in shelf(project.shop) if one.kind != "dc" or one.size in sizes)
    return project.model_copy(update={"shop": project.shop.model_copy(update={"only": names, "use_at_most": None})})


def within(project: Project, few: FewSizes | None) -> Project:
    """The project with the few sizes alone that its shop keeps to; as it is if there are none to keep to."""
    return project if few is None else kept_to(project, frozenset(few.sizes))


def _sizes(planning: Planning) -> tuple[Sizes, Sizes]:
    """Sizes that some DC run might be made of, and those that a run must be made of since they are stated."""
    found: set[str] = set()
    stated: set[str] = set()
    for run in planning.runs:
        if run.kind == "dc" and run.circuit:
            names = {cable.stock.size for cable in planning.cables[run.id]}
            found |= names
            stated |= names if run.cable is not None else set()
    return frozenset(found), frozenset(stated)


def _bound_of(planning: Planning) -> Callable[[Sizes], float]:
    circuits: Least = circuits_of(planning)
    known: dict[Sizes, float] = {}

    def bound(sizes: Sizes) -> float:
        def keeps(run: str, pick: Pick) -> bool:
            cable = planning.cables[run][pick.index]
            return cable.stock.kind != "dc" or cable.stock.size in sizes

        if sizes not in known:
            left = circuits.restricted(keeps)
            known[sizes] = math.inf if left is None else float(left.kg()[0])
        return known[sizes]

    return bound


def _search(
    bound: Callable[[Sizes], float],
    sizes: Sizes,
    stated: Sizes,
    most: int,
    evaluate: Callable[[Sizes], float],
    plans: int,
) -> tuple[Sizes, float, float]:
    """The best set, its cost, and the least bound of what was not looked at.

    Each part of the tree is all sets between those that are kept for sure and those that are still allowed.
    """
    best, chosen, count = math.inf, frozenset[str](), 0
    heap: list[tuple[float, int, Sizes, Sizes]] = [(bound(sizes), 0, stated, sizes)]
    looked = 0
    while heap:
        least, _, sure, allowed = heap[0]
        if least >= best or math.isinf(least) or plans <= 0 or looked >= BOUNDS:
            return chosen, best, least
        heapq.heappop(heap)
        if len(sure) > most:
            continue
        if len(sure) == most:
            allowed = sure
        if len(allowed) <= most:
            if bound(allowed) < best:
                plans -= 1
                cost = evaluate(allowed)
                if cost < best:
                    best, chosen = cost, allowed
            continue
        # The size that is missed most decides: without it, or with it for sure.
        missed = {size: bound(allowed - {size}) for size in sorted(allowed - sure)}
        looked += len(missed)
        size = max(missed, key=lambda one: (missed[one], one))
        for part in ((sure, allowed - {size}), (sure | {size}, allowed)):
            count += 1
            heapq.heappush(heap, (bound(part[1]), count, *part))
    return chosen, best, math.inf


def few_of(project: Project, base_folder: Path, told: Told = untold) -> FewSizes | None:
    """The best few sizes of a shop that keeps few; None where any may be taken.

    Args:
        project: what the user said.
        base_folder: where the project file lies.
        told: how far it is.

    Raises:
        RouterFaults: as `few_sizes`.
    """
    shop: Shop = project.shop
    return None if shop.use_at_most is None else few_sizes(project, base_folder, shop.use_at_most, told=told)


def noted(plan: Plan, few: FewSizes | None) -> Plan:
    """A plan that says which sizes it keeps to.

    Args:
        plan: planned with these sizes alone.
        few: the sizes; None if any were allowed.
    """
    if few is None:
        return plan
    used = {run.cable for run in plan.runs}
    sizes = {cable.size_name for cable in plan.cables if cable.kind == "dc" and cable.id in used}
    proof = "no other choice of as many does with less copper" if few.proven else "a better choice was not ruled out"
    said = Finding(
        level="note",
        code="few-sizes",
        about="shop",
        message=f"DC cable of {', '.join(size for size in few.sizes if size in sizes)} alone, as use_at_most asks: {proof}",
        remedy="compare shows what more sizes would save",
    )
    return plan.model_copy(update={"findings": in_order((*plan.findings, said))})


def plan_within(project: Project, base_folder: Path, alternative: str = "", told: Told = untold) -> Plan:
    """Plan a project by all rules of its shop, ``use_at_most`` among them.

    Args:
        project: what the user said.
        base_folder: where the project file lies.
        alternative: name of the alternative that ``project`` already is; empty for the base.
        told: how far it is.

    Raises:
        RouterFaults, AuditError: as `plan_project`.
    """
    few = few_of(project, base_folder, told)
    return noted(plan_project(within(project, few), base_folder, alternative, told=told), few)
