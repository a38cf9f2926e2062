"""Every piece in the order in which one cuts them at the reels, and the heap that it goes to."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from ribway.models.plan.metres import is_draw_cord
from ribway.models.plan.plan import Plan, PlanCable
from ribway.models.plan.results import PlanRun
from ribway.models.rates.rates import Rates
from ribway.sheets.buying.reels import CableNeed, Piece, cable_needs
from ribway.sheets.cutting_order import piece_colours

NO_RATES = Rates()
SINGLY, CORDS = "on its own", "draw cords"


@dataclass(frozen=True)
class Reel:
    """A reel that was bought.

    Attributes:
        number: which of its cable, from 1.
        length_m: cable on it when it is new [m].
        left_m: what is left of it at last [m].
    """

    number: int
    length_m: float
    left_m: float


@dataclass(frozen=True)
class CutPiece:
    """One piece to cut.

    Attributes:
        order: its number, from 1.
        run: the run it is for.
        index: which of the run's pieces, from 0.
        name: the run's id, with its pole behind it, as on its labels.
        cable: what it is cut from.
        colours: of its conductors.
        cut_m: its cut length as it is printed, which is what is really cut [m].
        used_m: cut off this reel up to here, itself among it; without reels off this cable [m].
        reel: the reel; None where no reel is priced.
    """

    order: int
    run: PlanRun
    index: int
    name: str
    cable: PlanCable
    colours: str
    cut_m: float
    used_m: float
    reel: Reel | None

    @property
    def left_m(self) -> float | None:
        """What is left on the reel behind this piece [m]."""
        return None if self.reel is None else round(self.reel.length_m - self.used_m, 6)

    @property
    def group(self) -> tuple[str, int, str]:
        """What one cuts in one go: a reel; without reels all of one cable, and of single cores all of one colour."""
        if self.reel is not None:
            return self.cable.id, self.reel.number, ""
        return self.cable.id, 0, self.colours if self.cable.cores == 1 else ""


def cut_pieces(plan: Plan, rates: Rates) -> tuple[CutPiece, ...]:
    """All pieces: cable by cable, the thickest copper first; reel by reel as they are bought, and from each the longest first.

    Args:
        plan: the plan.
        rates: the shop's; where they name no reel of a cable, its single cores go colour by colour, so that reels are
            changed once.
    """
    found: list[CutPiece] = []
    for need in cable_needs(plan, rates):
        for reel, pieces in _in_one_go(need):
            used = 0.0
            for piece in pieces:
                used = round(used + piece.cut_m, 6)
                colours = piece_colours(piece.run, piece.index)
                found.append(
                    CutPiece(
                        len(found) + 1, piece.run, piece.index, piece.name, need.cable, colours, piece.cut_m, used, reel
                    )
                )
    return tuple(found)


def _in_one_go(need: CableNeed) -> Iterator[tuple[Reel | None, Iterable[Piece]]]:
    if need.purchase is not None:
        for number, reel in enumerate(need.purchase.reels, start=1):
            yield Reel(number, reel.offer.length_m, reel.left_m), [need.pieces[index] for index in reel.pieces]
        return
    by_colour: dict[str, list[Piece]] = {}
    for piece in need.pieces:
        by_colour.setdefault(piece_colours(piece.run, piece.index) if need.cable.cores == 1 else "", []).append(piece)
    for pieces in by_colour.values():
        yield None, pieces


def heap(plan: Plan, run: PlanRun) -> str:
    """Which heap a piece goes to: its loom's, that of cables which are pulled on their own, or that of cords in no loom."""
    bundles = {loom.id for loom in plan.looms if len(loom.runs) > 1}
    if run.loom in bundles:
        return f"loom {run.loom}"
    return CORDS if is_draw_cord(run) else SINGLY
