"""The quote: one page for the customer, one for the shop."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from ribway.models.circuits import NEGATIVES
from ribway.models.plan.metres import cable_cut_m
from ribway.models.plan.plan import Plan
from ribway.models.plan.unconfirmed import open_assumptions
from ribway.models.printed import Units, counted, length, rounded_up
from ribway.models.rates.rates import Rates
from ribway.sheets.buying.money import money
from ribway.sheets.buying.shopping import material_cost
from ribway.sheets.csv_file import Value
from ribway.sheets.handing_over.work import Work, hours_of, work_of
from ribway.sheets.paper.paper import paper_of_records
from ribway.sheets.paper.record import Field, Record, Section, Values
from ribway.sheets.paper.wishes import Wishes
from ribway.sheets.table import LARGE_PT
from ribway.sheets.words import NOTHING

_CUSTOMER_PT = 13.0
_YARD_M = 0.9144  # international yard, 1959: exact
Three = tuple[float | None, float | None, float | None]


@dataclass(frozen=True)
class Sums:
    """What a job comes to, low, likely and high.

    Attributes:
        hours: [h].
        work: price of the hours; None without a price for an hour.
        material: price of the material, the shop's addition in it.
        unpriced: lines of material without a price.
        tax: on both.
        total: all together; None as long as the hours have no price.
    """

    hours: tuple[float, float, float]
    work: Three
    material: float
    unpriced: int
    tax: Three
    total: Three


def sums_of(plan: Plan, rates: Rates) -> Sums:
    """Reckon a job: hours times the hour's price, material with its addition, and tax on both.

    Args:
        plan: the plan.
        rates: the shop's prices and minutes.
    """
    hours = hours_of(work_of(plan, rates))
    cost, unpriced = material_cost(plan, rates)
    material = round(cost * (1.0 + rates.markup / 100.0), 2)

    def each(index: int) -> tuple[float | None, float | None, float | None]:
        if rates.hour is None:
            return None, None, None
        work = round(hours[index] * rates.hour, 2)
        tax = round((work + material) * rates.tax / 100.0, 2)
        return work, tax, round(work + material + tax, 2)

    low, likely, high = each(0), each(1), each(2)
    return Sums(
        hours,
        (low[0], likely[0], high[0]),
        material,
        unpriced,
        (low[1], likely[1], high[1]),
        (low[2], likely[2], high[2]),
    )


def customer_records(plan: Plan, wishes: Wishes) -> tuple[Record, ...]:
    """The customer's page: what is done and what it may come to, without the shop's minutes.

    Args:
        plan: the plan.
        wishes: with the shop's prices and minutes.
    """
    return (_customer(plan, wishes.rates, sums_of(plan, wishes.rates)),)


def shop_records(plan: Plan, wishes: Wishes) -> tuple[Record, ...]:
    """The shop's page: every count, its minutes, and the sums.

    Args:
        plan: the plan.
        wishes: with the shop's prices and minutes.
    """
    rates = wishes.rates
    return _shop_work(plan.rules.units, rates, work_of(plan, rates)), _shop_sums(rates, sums_of(plan, rates))


def _customer(plan: Plan, rates: Rates, sums: Sums) -> Record:
    currency = rates.currency
    fields = (
        Field("what", "What", weight=3.0, strong=True),
        Field("much", "", weight=1.0),
        Field("", "How much", weight=1.6, align="right"),
    )

    def row(what: str, much: Value, shown: str) -> Values:
        return what, much, shown

    connected = {end for run in plan.runs if run.purpose != "spare" and run.kind != "ac" for end in (run.from_, run.to)}
    done = (
        row("Devices connected", len(connected), str(len(connected))),
        *_circuits(plan, row),
        row("Cable, cut lengths", round(cable_cut_m(plan.runs), 2), length(cable_cut_m(plan.runs), plan.rules.units)),
        row("Holes protected", plan.totals.openings_used, str(plan.totals.openings_used)),
        row("Holes drilled", plan.totals.holes_drilled, str(plan.totals.holes_drilled)),
        row("Every run tested, with a signed sheet", None, "included"),
        row("Papers and drawings of what lies where", None, "included"),
    )
    low, likely, high = sums.total
    price = (
        row("Work, likely", _rounded(sums.work[1]), money(sums.work[1], currency)),
        row("Material", sums.material or None, money(sums.material, currency) if sums.material else "not priced yet"),
        row("Tax", _rounded(sums.tax[1]), money(sums.tax[1], currency)),
        row("Price, likely", _rounded(likely), money(likely, currency)),
        row("It may come to", None, NOTHING if low is None else f"{money(low, currency)} to {money(high, currency)}"),
        row("Time, likely", round(sums.hours[1], 2), f"{rounded_up(sums.hours[1], 0)} hours"),
    )
    return Record(
        "quote", f"Quote: {plan.name}", fields,
        (Section("What you get", done), Section("What it costs", price)), tuple(_conditions(plan, rates, sums)), _CUSTOMER_PT,
        share=0.8,
    )  # fmt: skip


def _circuits(plan: Plan, row: Callable[[str, Value, str], Values]) -> Iterator[Values]:
    """Circuits by what is done for them: only those that have a fuse in this plan are said to have one."""
    dc = [one for one in plan.circuits if one.kind == "dc" and one.pattern not in NEGATIVES]
    fused = sum(one.fuse_a is not None for one in dc)
    kinds = (
        ("Circuits, each with its own fuse", fused),
        ("Circuits without a fuse of their own", len(dc) - fused),
        ("Mains circuits, laid and left for the licensed person", sum(one.kind == "ac" for one in plan.circuits)),
        ("Data and signal cables", sum(one.kind == "data" for one in plan.circuits)),
    )
    for what, count in kinds:
        if count:
            yield row(what, count, str(count))


def _conditions(plan: Plan, rates: Rates, sums: Sums) -> Iterator[str]:
    if any(run.kind == "ac" for run in plan.runs):
        yield (
            "Mains voltage: cables are laid and kept apart; a licensed person designs, protects and connects them, at a price "
            "of their own."
        )
    still = len(open_assumptions(plan))
    if still:
        yield f"Not yet confirmed on the van: {counted(still, 'value')} of the plan. Price and time hold once that is done."
    if rates.hour is None:
        yield "The hour has no price yet: the shop gives it in its rates file."
    if sums.unpriced:
        yield f"Without a price yet, and not in the sum: {counted(sums.unpriced, 'line')} of the shopping list."
    yield "Accepted: ______________________________   Date: ______________"


def _shop_work(units: Units, rates: Rates, work: tuple[Work, ...]) -> Record:
    own = {one.task for one in rates.minutes}
    fields = (
        Field("task", "Task", strong=True, weight=2.0),
        Field("count", "Times", _count, weight=0.5, align="right", strong=True),
        Field("minutes_low", "Low", unit="min", weight=0.4, align="right"),
        Field("minutes_likely", "Likely", unit="min", weight=0.4, align="right"),
        Field("minutes_high", "High", unit="min", weight=0.4, align="right"),
        Field("hours_low", "Low", _hours, "h", 0.4, "right"),
        Field("hours_likely", "Likely", _hours, "h", 0.4, "right", True),
        Field("hours_high", "High", _hours, "h", 0.4, "right"),
        Field("minutes_from", "Minutes from", weight=1.2),
    )
    rows = tuple(
        (
            *_times(one, units), *(round(hours, 3) for hours in one.hours),
            "the shop" if one.task in own else "common practice, no source",
        )
        for one in work
    )  # fmt: skip
    notes = (
        "For the shop. Counts come from the plan, minutes from the rates file; for tasks that it does not name the usual ones "
        "stand in. Connecting AC is not counted.",
    )
    return Record("quote-work", "Quote: work, for the shop", fields, (Section("", rows),), notes, LARGE_PT)


def _times(one: Work, units: Units) -> Values:
    """A task, how often it comes, and minutes for each time; where the shop works in feet, cable is pulled by the yard."""
    task, times, minutes = one.task, one.count, one.minutes
    low, likely, high = minutes.low, minutes.likely, minutes.high
    if units == "metric" or task != "pull a metre":
        return task, times, low, likely, high
    return "pull a yard", round(times / _YARD_M, 3), *(round(_YARD_M * each, 2) for each in (low, likely, high))


def _shop_sums(rates: Rates, sums: Sums) -> Record:
    currency = rates.currency

    def show(value: Value) -> str:
        return NOTHING if value is None else rounded_up(float(value), 2)

    fields = (
        Field("what", "What", strong=True, weight=2.0),
        Field("low", "Low", show, align="right"),
        Field("likely", "Likely", show, align="right", strong=True),
        Field("high", "High", show, align="right"),
    )
    unit = f", {currency}" if currency else ""
    rows: tuple[Values, ...] = (
        ("Hours", *(round(one, 3) for one in sums.hours)),
        (f"Work{unit}", *sums.work),
        (f"Material with {rates.markup:g} %{unit}", sums.material, sums.material, sums.material),
        (f"Tax, {rates.tax:g} %{unit}", *sums.tax),
        (f"All together{unit}", *sums.total),
    )
    return Record("quote-sums", "Quote: sums, for the shop", fields, (Section("", rows),), (), LARGE_PT, True, 0.7)


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 2)


def _count(value: Value) -> str:
    number = float(value or 0.0)
    return f"{number:g}" if number == int(number) else rounded_up(number, 1)


def _hours(value: Value) -> str:
    return NOTHING if value is None else rounded_up(float(value), 1)


QUOTE = paper_of_records("quote", "Quote", customer_records, in_book=False)
QUOTE_SHOP = paper_of_records("quote-shop", "Quote, for the shop", shop_records, in_book=False)
