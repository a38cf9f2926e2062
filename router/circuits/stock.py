"""Which stocked cables come into question for a run, thin to thick."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from ribway.models.cables import parse_cable
from ribway.models.shop import Shop
from ribway.models.stock_list import StockCable, load_stock
from ribway.router.circuits.held_reels import as_held
from ribway.router.circuits.runs import DRAW_CORD, Run
from ribway.router.errors import NameFault
from ribway.router.paths.admission import Item
from ribway.sizing.conductor import Conductor
from ribway.sizing.metals import metal_named

CORD_MM = 4.0
COPPER_KG_PER_M_MM2 = 8.96e-3
"""Mass of copper of 1 mm2, a metre long [kg]; density 8.96 g/cm3."""
SAME_AREA = 0.02
SINGLES_MM2 = 16.0
"""From here up a cable on a mounting board is two singles, each with its lugs; common practice, no source."""


@dataclass(frozen=True)
class Cable:
    """A stocked cable as a run uses it.

    Args:
        stock: the reel.
        count: pieces side by side: 2 where a pair is made of two singles, or where three cores are made of two twins.
    """

    stock: StockCable
    count: int

    @property
    def conductors(self) -> int:
        """Conductors in all pieces."""
        return self.stock.cores * self.count

    @property
    def copper_mm2(self) -> float:
        """Copper of all conductors [mm2]: of a clad or another metal only what is copper."""
        return self.metal_mm2 * metal_named(self.stock.metal).copper_share

    @property
    def metal_mm2(self) -> float:
        """Metal of all conductors, whatever it is [mm2]."""
        return self.stock.area_mm2 * self.conductors

    @property
    def sheathed(self) -> bool:
        """Whether the cores lie in a sheath."""
        return self.stock.form != "single"

    @property
    def least_radius_m(self) -> float:
        """Least bend radius of its centre line [m]: the inside radius it bears and half its outside size."""
        return (self.stock.min_bend_factor + 0.5) * self.stock.outside_mm / 1000.0

    @property
    def conductor(self) -> Conductor | None:
        """For the sizing room; None where nothing is to be sized."""
        system = self.stock.system
        if self.stock.area_mm2 <= 0.0 or system == "strands":
            return None
        name = self.stock.size.replace("AWG", "").replace("SAE", "").replace("mm2", "").strip()
        stock = self.stock
        return Conductor(
            stock.id, system, name, stock.area_mm2, stock.cores, stock.insulation_c, self.sheathed, metal=stock.metal
        )

    def item(self, run: Run) -> Item:
        """As an opening sees it."""
        stock = self.stock
        return Item(
            run.id,
            run.kind,
            stock.outside_mm / 1000.0,
            stock.thickness_mm / 1000.0,
            stock.plug_mm / 1000.0,
            self.sheathed,
            self.count,
        )


def draw_cord() -> StockCable:
    """A cord left in a loom to pull a cable later: no conductor. Size: common practice, no source."""
    return StockCable(
        DRAW_CORD,
        DRAW_CORD,
        0,
        "",
        0.0,
        "metric",
        "dc",
        "round",
        CORD_MM,
        CORD_MM,
        0.0,
        60.0,
        0.0,
        0.0,
        "common practice, no source",
    )


def shelf(shop: Shop) -> tuple[StockCable, ...]:
    """The cables this shop has."""
    everything = as_held(load_stock(shop.stock), shop.held)
    return tuple(cable for cable in everything if not shop.only or cable.id in shop.only)


def candidates(run: Run, shop: Shop) -> tuple[Cable, ...]:
    """Cables that come into question for a run, thin to thick.

    DC takes two-core cables and, where the shop has no thicker one, pairs of singles. A run of more cores takes a cable
    that has them, or as many twins or singles as make them. AC takes the AC list; a stated
    spelling leaves just what is sold under it, in the shop's list or else in the other one.

    Args:
        run: the run.
        shop: its stock.

    Returns:
        At least one cable.

    Raises:
        NameFault: nothing in stock comes into question.
    """
    if run.cable == DRAW_CORD:
        return (Cable(draw_cord(), 1),)
    own = shelf(shop)
    if run.cable is not None:
        return (_stated(run, own, shop),)
    usable = [_cable_of(cable, run) for cable in own if cable.kind == run.kind and _cores_fit(run, cable)]
    ordered = sorted(usable, key=lambda one: (one.stock.area_mm2, one.count, one.conductors, one.stock.id))
    rising: list[Cable] = []
    for cable in ordered:
        # A pair of singles of the size of a twin cable is only taken where the twin is not sold.
        if not rising or cable.stock.area_mm2 > rising[-1].stock.area_mm2 * (1.0 + SAME_AREA):
            rising.append(cable)
    if run.least is not None:
        least = parse_cable(run.least).area_mm2
        rising = [cable for cable in rising if cable.stock.area_mm2 >= least * (1.0 - SAME_AREA)]
    if not rising:
        raise NameFault(
            f"circuits / {run.circuit}",
            f"the stock has no {run.kind} cable for it",
            "a stock list with one, or a stated cable",
        )
    if run.kind == "data":
        return (min(rising, key=lambda cable: (cable.stock.outside_mm, cable.stock.id)),)
    return tuple(rising)


def _cores_fit(run: Run, cable: StockCable) -> bool:
    if run.board and run.kind == "dc" and cable.area_mm2 >= SINGLES_MM2 and cable.form != "single":
        return False
    if run.kind == "dc" and run.needs_cores == 1:
        return cable.form == "single"
    if run.kind != "dc" or cable.cores == 2 or (cable.cores == 1 and cable.form == "single"):
        return True
    return cable.cores >= run.needs_cores > 2


def _cable_of(cable: StockCable, run: Run) -> Cable:
    """A reel as a run takes it: as many pieces as give it its cores."""
    pieced = cable.kind == "dc" and run.kind == "dc" and (cable.form == "single" or cable.cores == 2)
    return Cable(cable, math.ceil(run.needs_cores / cable.cores) if pieced else 1)


def _stated(run: Run, own: Sequence[StockCable], shop: Shop) -> Cable:
    spelling = parse_cable(run.cable or "")
    other = as_held(load_stock("awg" if shop.stock == "metric" else "metric"), shop.held)
    for shelf_ in (own, other):
        for cable in shelf_:
            sold = parse_cable(cable.spelling)
            same = abs(sold.area_mm2 - spelling.area_mm2) <= 1e-3 * sold.area_mm2 and sold.cores == spelling.cores
            if same and cable.kind == run.kind and sold.earth == spelling.earth:
                return _cable_of(cable, run)
    sold_here = ", ".join(cable.spelling for cable in own if cable.kind == run.kind)
    raise NameFault(
        f"circuits / {run.circuit} / cable", f"no stock list has a {run.kind} cable {run.cable}", f"one of {sold_here}"
    )
