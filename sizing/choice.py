"""The smallest stocked conductor that will do, why, or what would be needed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from ribway.sizing.conductor import Conductor
from ribway.sizing.demand import Demand
from ribway.sizing.errors import SizingError
from ribway.sizing.needed import NeededArea, needed_area
from ribway.sizing.rules import SizingRules
from ribway.sizing.verdict import LimitName, Verdict, hardest, passes

Reason = LimitName | Literal["smallest in stock", "kept from before"]
"""Why not the size below: the limit it breaks hardest; or there is none below; or it would do, but the search began
at this one."""


@dataclass(frozen=True)
class Choice:
    """The conductor chosen.

    Attributes:
        index: its place in the candidates.
        verdict: how it came out, limit by limit.
        reason: what decided.
        below: how the next smaller candidate came out; None if there is none.
    """

    index: int
    verdict: Verdict
    reason: Reason
    below: Verdict | None


@dataclass(frozen=True)
class NoConductor:
    """No candidate will do.

    Attributes:
        largest: how the largest came out.
        needed: the area that would do, or that none would.
    """

    largest: Verdict
    needed: NeededArea


def stock_order(candidates: Sequence[Conductor]) -> tuple[Conductor, ...]:
    """Candidates from thin to thick; of equal copper the hotter insulation last, then by id."""
    return tuple(sorted(candidates, key=lambda one: (one.copper_mm2, one.insulation_c, one.id)))


def choose_conductor(
    candidates: Sequence[Conductor], demand: Demand, rules: SizingRules, from_index: int = 0
) -> Choice | NoConductor:
    """The first candidate, from an index on, that keeps every limit.

    Sizes that only go up: pass the present index. To try to lower one: pass 0 and compare.

    Args:
        candidates: stocked cables that have the cores wanted, thin to thick (see `stock_order`).
        demand: what is asked of it.
        rules: rule set.
        from_index: first index to try.

    Returns:
        The choice with its reason and margins; or, if none will do, what would be needed.

    Raises:
        SizingError: no candidate, candidates not thin to thick, or an index outside them.
    """
    if not candidates:
        raise SizingError("no stocked cable to choose from: none has the cores wanted, or the stock is empty")
    if not 0 <= from_index < len(candidates):
        raise SizingError(f"index {from_index} is outside the {len(candidates)} candidates")
    for thin, thick in pairwise(candidates):
        if thin.copper_mm2 > thick.copper_mm2:
            raise SizingError(f"{thin.id!r} stands before the thinner {thick.id!r}: order the stock thin to thick")
    below = passes(candidates[from_index - 1], demand, rules) if from_index > 0 else None
    verdict = below
    for index in range(from_index, len(candidates)):
        verdict = passes(candidates[index], demand, rules)
        if verdict.ok:
            return Choice(index, verdict, _reason(below), below)
        below = verdict
    largest = verdict if verdict is not None else passes(candidates[-1], demand, rules)
    hottest = max(one.insulation_c for one in candidates)
    return NoConductor(largest, needed_area(demand, rules, hottest, candidates[-1].sheath, candidates[-1].metal))


def _reason(below: Verdict | None) -> Reason:
    if below is None:
        return "smallest in stock"
    if below.ok:
        return "kept from before"
    return hardest(below.broken).name
