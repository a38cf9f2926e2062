"""Which names and numbers of a plan rest on values that nobody confirmed, so that they print with a mark."""

from __future__ import annotations

from dataclasses import dataclass

from ribway.models.plan.assumptions import PlanAssumption
from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanDevice
from ribway.models.plan.shell import PlanOpening

MARK = "*"
LEGEND = f"{MARK} assumed: nobody has confirmed it on this van. Tick it off on the sheet of assumed values."
STRONG_A = 10.0
"""Above this a current that nobody confirmed stands on the first page [A]."""


@dataclass(frozen=True)
class Unconfirmed:
    """What nobody confirmed, by the ids of what it belongs to.

    Args:
        holes: openings that were not measured.
        cables: cables whose sizes come from the stock list.
        places: devices at rough places.
        amps, starts: devices whose running or starting current nobody read off a plate.
        feeds: devices whose board or switch was chosen for them.
        fuses: circuits, or devices, whose fuse was assumed.
        circuit_amps, circuit_starts: circuits that feed such a device, straight or through a board.
    """

    holes: frozenset[str]
    cables: frozenset[str]
    places: frozenset[str]
    amps: frozenset[str]
    starts: frozenset[str]
    feeds: frozenset[str]
    fuses: frozenset[str]
    circuit_amps: frozenset[str]
    circuit_starts: frozenset[str]


def unconfirmed(plan: Plan) -> Unconfirmed:
    """Sort a plan's open assumptions by what prints.

    Args:
        plan: the plan.
    """
    still = open_assumptions(plan)

    def about(*keys: str) -> frozenset[str]:
        return frozenset(one.about for one in still if one.key in keys)

    amps, starts = about("amps", "watts"), about("amps", "watts", "start_amps")
    return Unconfirmed(
        holes=about("hole"),
        cables=about("stock"),
        places=about("place"),
        amps=amps,
        starts=starts,
        feeds=about("board", "switch"),
        fuses=about("fuse"),
        circuit_amps=_feeding(plan, amps),
        circuit_starts=_feeding(plan, starts),
    )


def open_assumptions(plan: Plan) -> tuple[PlanAssumption, ...]:
    """The assumptions that nobody confirmed, in the plan's order."""
    return tuple(one for one in plan.assumptions if not one.confirmed)


def marked(text: str, assumed: bool) -> str:
    """A name or number, with the mark behind it if it is assumed."""
    return f"{text}{MARK}" if assumed else text


def holes_to_check(plan: Plan) -> tuple[PlanOpening, ...]:
    """Openings that the plan uses and nobody measured, in the plan's order."""
    return tuple(one for one in plan.openings if one.runs and one.state == "assumed")


def strong_devices(plan: Plan) -> tuple[PlanDevice, ...]:
    """Devices that take more than 10 A, running or starting, by a value that nobody confirmed; the strongest first."""
    still = unconfirmed(plan)
    found = [
        one
        for one in plan.devices
        if (one.id in still.amps and one.amps > STRONG_A) or (one.id in still.starts and one.start_amps > STRONG_A)
    ]
    return tuple(sorted(found, key=lambda one: (-max(one.amps, one.start_amps), one.id)))


def _feeding(plan: Plan, devices: frozenset[str]) -> frozenset[str]:
    """Circuits with one of these devices below them, however many boards lie between."""
    found: set[str] = set()
    reached = set(devices)
    while True:
        more = {one.id for one in plan.circuits if one.kind != "data" and reached & set(one.loads)} - found
        if not more:
            return frozenset(found)
        found |= more
        reached |= {one.source for one in plan.circuits if one.id in more}
