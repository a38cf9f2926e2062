"""From a measured route to a cut length, line by line."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

from ribway.models.printed import size_near
from ribway.models.shop import Shop
from ribway.router.circuits.runs import Run
from ribway.router.circuits.stock import Cable
from ribway.router.laying.layer import Laid

THICK_MM2 = 16.0
MEDIUM_MM2 = 4.0


class Part(NamedTuple):
    """One line of what a cut length is made of."""

    what: str
    metres: float


@dataclass(frozen=True)
class Cut:
    """A cut length and what it is made of; all [m].

    Args:
        sharp_m: sum of the legs, each rounded up to 0.1 mm.
        slack_m: share of the sharp length.
        loom_side_m: for lying on the outside of the loom's bends.
        tail_a_m, tail_b_m: left at the ends.
        one_way_m: sharp + slack + loom side + loops, rounded up to 1 mm.
        cut_m: one way + tails, rounded up to the cutting step.
        lines: the same as text and numbers; they add up to ``cut_m``.
        loop_m: left as loops where it crosses to something that moves.
    """

    sharp_m: float
    slack_m: float
    loom_side_m: float
    tail_a_m: float
    tail_b_m: float
    one_way_m: float
    cut_m: float
    lines: tuple[Part, ...]
    loop_m: float = 0.0


def round_up(value: float, step: float) -> float:
    """The next multiple of a step, an exact multiple unchanged."""
    return math.ceil(value / step - 1e-9) * step


def tail_m(stated: float | None, area_mm2: float, at_board: bool, shop: Shop) -> float:
    """Tail at one end [m]: the stated one, else by cable class; a board's own where a cable ends at a fuse board."""
    if stated is not None:
        return stated
    by_class = shop.tails.thin
    if area_mm2 >= THICK_MM2:
        by_class = shop.tails.thick
    elif area_mm2 >= MEDIUM_MM2:
        by_class = shop.tails.medium
    return max(by_class, shop.tails.board) if at_board else by_class


def tails_m(run: Run, area_mm2: float, boards: frozenset[str], shop: Shop) -> tuple[float, float]:
    """Tails at both ends [m]: as in `tail_m`; on a mounting board what the terminals take, whatever the cable."""
    if run.board:
        a, b = (max(shop.tails.terminal, stated or 0.0) for stated in (run.tail_a_m, run.tail_b_m))
        return a, b
    return (
        tail_m(run.tail_a_m, area_mm2, run.a in boards, shop),
        tail_m(run.tail_b_m, area_mm2, run.b in boards, shop),
    )


def cut_length(
    run: Run, laid: Laid, cable: Cable, loom_side_m: float, boards: frozenset[str], shop: Shop, loop_m: float = 0.0
) -> Cut:
    """The length to cut, every part rounded to the safe side.

    Args:
        run: for its stated tails.
        laid: its measured route.
        cable: for its class.
        loom_side_m: see `ribway.router.looms.crowd.loom_side_m` [m].
        boards: ids of fuse boards.
        shop: slack, tails, cutting step.
        loop_m: left as loops where it crosses to something that moves [m].

    Returns:
        The cut length with its lines.
    """
    lines = [Part(f"{leg.kind} {leg.name}", round(round_up(leg.sharp_m, 1e-4), 4)) for leg in laid.legs]
    sharp = sum(line.metres for line in lines)
    slack = round_up(shop.slack / 100.0 * sharp, 1e-4)
    side = round_up(loom_side_m, 1e-4)
    tail_a, tail_b = tails_m(run, cable.stock.area_mm2, boards, shop)
    loop = round_up(loop_m, 1e-4)
    one_way = round_up(sharp + slack + side + loop, 1e-3)
    cut = round_up(one_way + tail_a + tail_b, shop.cut_step)
    lines += [
        Part(f"slack along the way, {shop.slack:g} %", round(slack, 4)),
        Part("outside of the loom's bends", round(side, 4)),
        Part(f"{'terminal' if run.board else 'tail'} at {run.a}", round(tail_a, 4)),
        Part(f"{'terminal' if run.board else 'tail'} at {run.b}", round(tail_b, 4)),
    ]
    if loop:
        lines.append(Part("loops where it moves", round(loop, 4)))
    rest = round(cut - sum(line.metres for line in lines), 4)
    lines.append(Part(f"rounded up to the next {size_near(1000.0 * shop.cut_step, shop.units)}", rest))
    return Cut(sharp, slack, side, tail_a, tail_b, one_way, cut, tuple(lines), loop)
