"""A plan's cables on reels: which to buy, and what is cut from which in what order."""

from __future__ import annotations

from dataclasses import dataclass

from ribway.models.nearest import nearest_word
from ribway.models.plan.plan import Plan, PlanCable
from ribway.models.plan.results import PlanRun
from ribway.models.rates.rates import Rates
from ribway.sheets.buying.cutting import Offer, Purchase, TooShortError, best_reels
from ribway.sheets.cutting_order import cuts, piece_name
from ribway.sheets.words import printed_m


@dataclass(frozen=True)
class Piece:
    """One piece to cut.

    Attributes:
        run: the run it is for.
        index: which of the run's pieces, from 0.
        name: the run's id, with its pole behind it.
        cut_m: its cut length as it is printed [m].
    """

    run: PlanRun
    index: int
    name: str
    cut_m: float


@dataclass(frozen=True)
class CableNeed:
    """All pieces of one cable, and the reels for them.

    Attributes:
        cable: the cable.
        pieces: in the order of the cut list.
        purchase: the reels; None if none are offered, or none is long enough.
        trouble: why there are no reels, in words; empty if nothing is wrong.
    """

    cable: PlanCable
    pieces: tuple[Piece, ...]
    purchase: Purchase | None
    trouble: str

    @property
    def metres(self) -> float:
        """All pieces together [m]."""
        return round(sum(piece.cut_m for piece in self.pieces), 6)

    @property
    def longest_m(self) -> float:
        """The longest piece [m]."""
        return max(piece.cut_m for piece in self.pieces)


def cable_needs(plan: Plan, rates: Rates) -> tuple[CableNeed, ...]:
    """What each cable is cut into, and the cheapest reels for it.

    Args:
        plan: the plan.
        rates: the shop's prices; reels are chosen of those it names.

    Returns:
        One entry for each cable in use, draw cord among them, in the order of the cut list.
    """
    steps = cuts(plan)
    needs = []
    for cable in {step.cable.id: step.cable for step in steps}.values():
        pieces = tuple(
            Piece(step.run, number, piece_name(step.run, number), printed_m(step.run.cut_m, plan.rules.units))
            for step in steps
            if step.cable.id == cable.id
            for number in range(step.run.pieces)
        )
        offers = [Offer(one.length, one.price) for one in rates.reels if one.cable == cable.id]
        purchase, trouble = None, ""
        if offers:
            try:
                purchase = best_reels([piece.cut_m for piece in pieces], offers)
            except TooShortError as error:
                trouble = str(error)
        needs.append(CableNeed(cable, pieces, purchase, trouble))
    return tuple(needs)


def reel_troubles(plan: Plan, rates: Rates) -> tuple[str, ...]:
    """What is wrong with the reels that a shop's prices name: too short for a piece, or of a cable that nobody needs.

    Args:
        plan: the plan.
        rates: the shop's prices.

    Returns:
        A sentence for each; none if nothing is wrong.
    """
    found = []
    for cable in dict.fromkeys(reel.cable for reel in rates.reels):
        longest = max(reel.length for reel in rates.reels if reel.cable == cable)
        runs = [run for run in plan.runs if run.cable == cable and run.fixed_length_m is None]
        needs = max(runs, key=lambda run: run.cut_m, default=None)
        if needs is not None and printed_m(needs.cut_m, plan.rules.units) > longest + 1e-9:
            found.append(
                f"the longest reel of {cable} is {longest:g} m, and {needs.id} is cut to {needs.cut_m:g} m: a run has no joins, "
                "so name a longer reel"
            )
    known = sorted({run.cable for run in plan.runs})
    for cable in strange_reels(plan, rates):
        meant = nearest_word(cable, known)
        found.append(f"this plan has no cable {cable}{f': did you mean {meant}?' if meant else ''}")
    return tuple(found)


def strange_reels(plan: Plan, rates: Rates) -> tuple[str, ...]:
    """Cables that the shop's prices name and the plan does not use: perhaps misspelt."""
    return tuple(sorted({reel.cable for reel in rates.reels} - {run.cable for run in plan.runs}))
