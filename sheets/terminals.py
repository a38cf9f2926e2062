"""What goes on the wires at an end of a run, as far as the plan knows what takes them there."""

from __future__ import annotations

from ribway.models.plan.metres import is_draw_cord
from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanRun
from ribway.models.terminals import on_the_wire, taken_by, terminals
from ribway.sheets.lugs_list import UNKNOWN
from ribway.sheets.words import typeset

ASK = "terminal not known: ask"
TOO_THICK = "wire too thick for {}: ask"
WHAT_TAKES = (
    "A stud takes a ring lug, a tab a push-on blade, a clamp screw a ferrule (fine strands are never clamped bare), a spring "
    "clamp what its maker says."
)
UNSAID = (
    f"The last line at an end says what goes on its wires. {ASK[0].upper()}{ASK[1:]}: look at the device, or ask its maker, "
    f"before the cable is pulled. {WHAT_TAKES}"
)


def terminal_at(plan: Plan, run: PlanRun, end: str) -> str:
    """What goes on the wires of a run at one of its devices.

    Args:
        plan: the plan.
        run: the run.
        end: id of the device.

    Returns:
        A few words; `ASK` where nobody said what takes the wires; empty where there is no wire.
    """
    if is_draw_cord(run) or not run.cores:
        return ""
    if run.purpose == "spare":
        return "insulate, coil up"
    if run.kind == "ac":
        return "licensed person"
    studs = [lug.stud for lug in run.lugs if lug.at == end]
    if studs:
        return f"ring lug {studs[0]}" if studs[0] else f"ring lug, {UNKNOWN}"
    kind = next((one.kind for one in plan.devices if one.id == end), "")
    takes = takes_at(plan, run, end)
    if takes:
        return crimped_on(plan, run, takes)
    if run.kind == "data":
        return "its plug" if run.plug_mm > 0.0 else ASK
    if kind == "joint":
        return "contact of the plug"
    return f"ring lug, {UNKNOWN}" if kind == "earth point" else ASK


def takes_at(plan: Plan, run: PlanRun, end: str) -> str:
    """The tab or clamp screw that takes a run's wires at one of its devices; empty if none does, or nobody said."""
    device = next((one for one in plan.devices if one.id == end), None)
    return "" if device is None else taken_by(device.stud, device.takes, source=end == run.from_)[1]


def crimped_on(plan: Plan, run: PlanRun, takes: str) -> str:
    """What is crimped on a run's wires for a tab or a clamp screw, or that none is made for so thick a wire."""
    text = on_the_wire(takes, run.conductor_area_mm2, plan.rules.units)
    name = terminals()[takes]
    return (
        typeset(text) if text else TOO_THICK.format(name.takes if plan.rules.units == "metric" else name.also or takes)
    )
