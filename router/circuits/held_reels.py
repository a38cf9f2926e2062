"""The shop's reels as they really are: thinner, of another metal, or suspect."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from ribway.models.cables import parse_cable
from ribway.models.held_reel import HeldReel
from ribway.models.stock_list import StockCable
from ribway.sizing.held_stock import BAD_REEL_FACTOR


def as_held(cables: Iterable[StockCable], reels: Iterable[HeldReel]) -> tuple[StockCable, ...]:
    """Stocked cables with what was found out about their reels.

    Args:
        cables: as sold.
        reels: what the workshop says of some of them.

    Returns:
        The same, never with more metal than sold.
    """
    found = {reel.cable: reel for reel in reels}
    return tuple(_held(cable, found[cable.id]) if cable.id in found else cable for cable in cables)


def _held(cable: StockCable, reel: HeldReel) -> StockCable:
    area, how = cable.area_mm2, "as sold"
    if reel.strands is not None:
        area, how = parse_cable(reel.strands).area_mm2, f"strands {reel.strands}"
    elif reel.area is not None:
        area, how = reel.area, "measured"
    elif reel.suspect:
        area, how = area / BAD_REEL_FACTOR, f"suspect: {BAD_REEL_FACTOR:g} times the resistance"
    area = min(area, cable.area_mm2)
    words = f"{reel.metal}, {area:.3g} mm2 ({how})"
    return replace(cable, area_mm2=area, metal=reel.metal, held=words)
