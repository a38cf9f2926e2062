"""The shopping list."""

from __future__ import annotations

from ribway.models.plan.plan import Plan, PlanCable
from ribway.models.printed import Units, length
from ribway.models.rates.rates import BY_THE_METRE, Rates
from ribway.sheets.buying.cutting import Purchase
from ribway.sheets.buying.money import money, money_field
from ribway.sheets.buying.parts import Need, parts
from ribway.sheets.buying.reels import CableNeed, cable_needs, strange_reels
from ribway.sheets.csv_file import Value
from ribway.sheets.cutting_order import either_way, makers_leads, piece_colours
from ribway.sheets.paper.paper import paper_of_records
from ribway.sheets.paper.record import Field, Record, Section, Values, tick
from ribway.sheets.paper.wishes import Wishes
from ribway.sheets.places import cable_name, cable_size, cables_by_id, held_text
from ribway.sheets.table import LARGE_PT
from ribway.sheets.words import NOTHING, bare_length, glued, joined, left_length, length_unit, place


def shopping_records(plan: Plan, wishes: Wishes) -> tuple[Record, ...]:
    """Cable with its reels, and small parts.

    Args:
        plan: the plan.
        wishes: with the shop's prices; without them reels and sums stay open.
    """
    needs = cable_needs(plan, wishes.rates)
    return _cables(plan, wishes.rates, needs), _parts(plan, wishes.rates)


def material_cost(plan: Plan, rates: Rates) -> tuple[float, int]:
    """What the material comes to.

    Args:
        plan: the plan.
        rates: the shop's prices.

    Returns:
        The sum of all that has a price, and how many lines have none.
    """
    needs = cable_needs(plan, rates)
    sums = [one.purchase.price if one.purchase else None for one in needs]
    sums += [_sum(one, rates) for one in parts(plan) if not _is_cord(one)]
    return round(sum(one for one in sums if one is not None), 2), sum(1 for one in sums if one is None)


def reels_text(purchase: Purchase, units: Units) -> str:
    """The reels to buy: ``1 of 25 m, 2 of 10 m``."""
    many: dict[float, int] = {}
    for reel in purchase.reels:
        many[reel.offer.length_m] = many.get(reel.offer.length_m, 0) + 1
    return ", ".join(f"{count} of {place(size, units)}" for size, count in sorted(many.items(), reverse=True))


def _metres(units: Units, key: str, heading: str, strong: bool = False, left: bool = False) -> Field:
    """A column of lengths: rounded up, but for what is left over."""
    printed = left_length if left else bare_length

    def show(value: Value) -> str:
        return NOTHING if value is None else printed(float(value), units)

    return Field(key, heading, show, length_unit(units), 0.4, "right", strong)


def _named(cable: PlanCable) -> str:
    held = held_text(cable)
    return f"{cable_name(cable)}\n{held}" if held else cable_name(cable)


def _conductor(need: CableNeed, units: Units) -> str:
    """One conductor's size; of single cores how much of each colour, since each colour is a reel of its own or is sleeved."""
    size = cable_size(need.cable, units) or NOTHING
    if need.cable.cores != 1:
        return size
    each: dict[str, float] = {}
    for piece in need.pieces:
        colour = piece_colours(piece.run, piece.index)
        each[colour] = each.get(colour, 0.0) + piece.cut_m
    said = ", ".join(glued(f"{colour} {length(metres, units)}") for colour, metres in each.items() if colour)
    return f"{size}\n{said}" if said else size


def _cables(plan: Plan, rates: Rates, needs: tuple[CableNeed, ...]) -> Record:
    units = plan.rules.units
    fields = (
        Field("cable", "Cable", strong=True, weight=1.0),
        Field("stock_id", "Stock id", weight=0.6),
        Field("conductor", "One conductor", weight=1.2),
        Field("pieces", "Pieces", align="right", weight=0.2),
        _metres(units, "longest_m", "Longest piece"),
        _metres(units, "cut_m", "Cut lengths, all pieces", True),
        Field("reels", "Reels to buy", weight=2.0, strong=True),
        _metres(units, "left_m", "Left over", left=True),
        money_field("price", "Price", rates.currency),
        tick("Bought"),
    )
    rows = []
    for one in needs:
        bought = one.purchase
        what = one.trouble or (reels_text(bought, units) if bought else "no reel is priced")
        if bought and not bought.proved:
            what += f" (not proved: nothing below {money(bought.least)} can do)"
        left = round(sum(reel.left_m for reel in bought.reels), 6) if bought else None
        rows.append(
            (
                _named(one.cable), one.cable.id, _conductor(one, units), len(one.pieces), one.longest_m,
                one.metres, what, left, bought.price if bought else None, None,
            )
        )  # fmt: skip
    for run in makers_leads(plan):
        cable, long = cables_by_id(plan)[run.cable], run.fixed_length_m or 0.0
        what = f"maker's lead of {length(long, units)}, with its plugs on"
        rows.append(
            (
                _named(cable),
                cable.id,
                cable_size(cable, plan.rules.units) or NOTHING,
                run.pieces,
                long,
                long * run.pieces,
                what,
                None,
                None,
                None,
            )
        )
    more = "a metre" if units == "metric" else "a yard"
    notes = [
        "No run has a join: a reel must hold each piece whole. Reels are chosen for the least money among those that the "
        f"rates file names; of equal ones, with the least left over. Buy {more} or two more for a piece cut wrong.",
    ]
    notes += either_way(plan)
    strange = strange_reels(plan, rates)
    if strange:
        notes.append(f"The rates file names reels that this plan does not use: {joined(strange)}.")
    return Record("shopping-cable", "Shopping list: cable", fields, (Section("", tuple(rows)),), tuple(notes), LARGE_PT)


def _is_cord(one: Need) -> bool:
    """Draw cord stands among the cables; counted twice it would be bought twice."""
    return one.part == "draw cord"


def _sum(one: Need, rates: Rates) -> float | None:
    price = rates.price_of(one.part, one.size)
    return None if price is None else round(price * one.amount, 2)


def _parts(plan: Plan, rates: Rates) -> Record:
    units = plan.rules.units
    fields = (
        Field("part", "Part", strong=True, weight=0.8),
        Field("size", "Size", weight=1.4, strong=True),
        Field("amount_printed", "How many", weight=0.4, align="right", strong=True),
        Field("amount", ""),
        Field("unit", ""),
        Field("for", "For", weight=5.0),
        money_field("price_each", "Each", rates.currency),
        money_field("price", "Price", rates.currency),
        tick("Bought"),
    )
    rows: list[Values] = []
    for one in parts(plan):
        if _is_cord(one):
            continue
        shown = length(one.amount, units) if one.metres else str(int(one.amount))
        each = rates.price_of(one.part, one.size)
        unit = "m" if one.part in BY_THE_METRE else "piece"
        rows.append((one.what, one.size, shown, one.amount, unit, one.where, each, _sum(one, rates), None))
    notes = (
        f"Counted from the plan, nothing added: clips no farther apart than {length(plan.rules.support_spacing_m, units)} along "
        "every loom; a terminal for each conductor at each end of DC runs (of which kind: see Terminals to ask for); one fuse of "
        "each rating to spare. AC parts are for the licensed person to choose. A grommet fits its hole and leaves the clear bore "
        "inside.",
        "Heat shrink: a piece over the barrel of every lug, on the wire before it is crimped. Where water comes (under the "
        "floor, on the roof, in the engine space) over every terminal, and lined with adhesive. Sizes are common practice, no "
        "source: try one on the lug in hand.",
    )
    return Record("shopping-parts", "Shopping list: parts", fields, (Section("", tuple(rows)),), notes, follows=True)


SHOPPING = paper_of_records("shopping", "Shopping list", shopping_records)
