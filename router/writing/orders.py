"""How the order of a chain came about, and whether another order might do with a thinner cable."""

from __future__ import annotations

from ribway.router.circuits.patterns import STARS, head_of
from ribway.router.circuits.runs import Feed
from ribway.router.laying.ordering import ChainOrder
from ribway.router.writing.outcome import Outcome
from ribway.sizing.resistance import hot_ohm_per_m

AS_LISTED = "as listed"
PLAY = 1e-6
_OPEN = "not examined whether another order would do with a thinner cable"


def order_words(outcome: Outcome, feed: Feed) -> str:
    """One clause on the order of a circuit's loads; empty where there is none.

    Args:
        outcome: what was decided.
        feed: the circuit.
    """
    circuit, told = feed.circuit, outcome.orders.get(feed.circuit.id)
    if told is None:
        kinds = {device.id: device.kind for device in outcome.project.devices}
        behind = len(circuit.loads) - len(head_of(circuit, kinds))
        ordered = circuit.pattern not in {*STARS, "stated"} and behind > 1
        return AS_LISTED if ordered else ""
    if not told.exact:
        return (
            f"short, not proven shortest: nearest neighbour, 2-opt and Or-opt on {told.count} loads, "
            "by length at one size"
        )
    proof = "least copper: no order would do with a thinner cable" if _proven(outcome, feed, told) else _OPEN
    return f"shortest of all orders of {told.count} loads, by length at one size; {proof}"


def _proven(outcome: Outcome, feed: Feed, told: ChainOrder) -> bool:
    """Whether no order could take a thinner cable.

    There is none thinner; or all runs are of one size, and with the next thinner one even the least moment that any order
    has drops more than is allowed, at the least temperature that copper is reckoned at.
    """
    if any(run not in outcome.sized for run in feed.runs):
        return False
    places = [_place(outcome, run) for run in feed.runs]
    if all(place == 0 for place in places):
        return True
    sizes, limit = outcome.circuits.get(feed.circuit.id), outcome.sizer.limit_percent(feed)
    alike = len({outcome.cable_of[run].stock.id for run in feed.runs}) == 1 and len(set(places)) == 1
    if sizes is None or limit is None or told.least_moment_am is None or not alike:
        return False
    thinner = outcome.sizer.cables[feed.runs[0]][places[0] - 1].conductor
    if thinner is None:
        return False
    said = outcome.project.shop.conductor_temperature
    ohm_per_m = hot_ohm_per_m(thinner, thinner.insulation_c if said is None else said)
    lost_v = sizes.upstream_v + 2.0 * ohm_per_m * told.least_moment_am
    return lost_v > limit / 100.0 * feed.volts * (1.0 + PLAY)


def _place(outcome: Outcome, run: str) -> int:
    return outcome.sizer.cables[run].index(outcome.cable_of[run])
