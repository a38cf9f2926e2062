"""Where things are, as a tape finds them, and what they are called."""

from __future__ import annotations

from ribway.models.gauges import awg_within, gauge_name
from ribway.models.plan.measuring import TAPED_THROUGH, way_words
from ribway.models.plan.plan import Plan, PlanCable
from ribway.models.plan.results import PlanDevice, PlanRun
from ribway.models.plan.shell import PlanOpening
from ribway.models.plan.unconfirmed import marked, open_assumptions
from ribway.models.printed import Units
from ribway.models.surroundings import SURROUNDINGS
from ribway.sheets.words import area_mm2, bare_place, glued, place, typeset

_MIDDLE_M = 0.005  # what is nearer to the centre line than this is on it
_CROSS_WALLS = ("bulkhead", "rear")
_FLAT = ("roof", "floor")


def wall_name(wall: str) -> str:
    """A wall in words: ``left wall``, ``roof``."""
    return f"{wall} wall" if wall in ("left", "right", "rear") else wall


def sideways(left_m: float, units: Units) -> str:
    """How far something is off the van's centre line.

    Args:
        left_m: distance to the left of it [m]; negative is right.
        units: the shop's.

    Returns:
        ``0.50 m left``, ``0.20 m right`` or ``on the centre line``.
    """
    return "on the centre line" if abs(left_m) < _MIDDLE_M else f"{place(abs(left_m), units)} {_side(left_m)}"


def _side(left_m: float) -> str:
    return "left" if left_m > 0 else "right"


def measured_from(plan: Plan) -> str:
    """A sentence that says where places are measured from."""
    return f"Back is from the datum ({plan.datum}), up from the cargo floor, left and right from the centre line."


def device_place(device: PlanDevice, units: Units) -> str:
    """Where a device is: the wall, and the two measures that find the spot on it.

    Args:
        device: the device.
        units: the shop's.

    Returns:
        ``left wall, 0.62 m back, 0.30 m up``.
    """
    back, up, side = (
        f"{place(device.back_m, units)} back",
        f"{place(device.up_m, units)} up",
        sideways(device.left_m, units),
    )
    if device.wall in SURROUNDINGS:
        return f"outside, {device.wall}"
    if device.wall in _FLAT:
        return f"{device.wall}, {back}, {side}"
    if device.wall in _CROSS_WALLS:
        return f"{wall_name(device.wall)}, {side}, {up}"
    return f"{wall_name(device.wall)}, {back}, {up}"


def opening_sideways(opening: PlanOpening, units: Units) -> str:
    """How far an opening is off the centre line; a side wall's openings are found without."""
    if opening.wall in _FLAT or opening.wall in _CROSS_WALLS:
        left_m = opening.centre[1]
        return "0" if abs(left_m) < _MIDDLE_M else f"{bare_place(abs(left_m), units)} {_side(left_m)}"
    return ""


def opening_up(opening: PlanOpening, units: Units) -> str:
    """How high an opening is above the floor; on the roof and on the floor the height finds nothing."""
    return "" if opening.wall in _FLAT else bare_place(opening.up_m, units)


def device_names(plan: Plan) -> dict[str, str]:
    """The devices' names by id."""
    return {device.id: device.name for device in plan.devices}


def end_text(plan: Plan, device_id: str) -> str:
    """One end of a run: the device's name, and where it is on the line below, in bare numbers."""
    for device in plan.devices:
        if device.id == device_id:
            spot = device_place(device, plan.rules.units).replace(" wall,", ",").replace(" m ", " ")
            text = f"{device.name}\n{', '.join(glued(part) for part in spot.split(', '))}"
            return marked(text, any(one.about == device_id and one.key == "place" for one in open_assumptions(plan)))
    return device_id


def cables_by_id(plan: Plan) -> dict[str, PlanCable]:
    """The stocked cables by id."""
    return {cable.id: cable for cable in plan.cables}


def cable_size(cable: PlanCable, units: Units) -> str:
    """One conductor's size as the stock names it, and the copper that was reckoned with.

    Args:
        cable: the cable.
        units: the shop's. One that works in inches gets beside square millimetres the gauge that they are at least as thick as.

    Returns:
        ``14 AWG = 2.08 mm²``, ``2.5 mm²``, or ``2.5 mm² (over 14 AWG)``.
    """
    if cable.cores == 0:
        return ""
    size, area = typeset(cable.size_name), area_mm2(cable.area_mm2)
    if size != area:
        return f"{size} = {area}"
    gauge = awg_within(cable.area_mm2) if units != "metric" else None
    return size if gauge is None else f"{size} (over {gauge_name(gauge)} AWG)"


def cable_text(run: PlanRun, cable: PlanCable, units: Units) -> str:
    """A run's cable: how many of which, and one conductor's size on the line below."""
    pieces = f"{run.pieces} × " if run.pieces > 1 else ""
    text = f"{glued(pieces + cable_name(cable))}\n{_glued_size(cable, units)}".rstrip()
    held = held_text(cable)
    return f"{text}\n{held}" if held else text


def held_text(cable: PlanCable) -> str:
    """What a reel really is where it is not what it is sold as; empty for all others."""
    metal = "" if cable.metal == "copper" or cable.metal in cable.held else cable.metal
    parts = [part for part in (cable.held, metal) if part]
    return f"REEL IS {', '.join(parts)}" if parts else ""


def cable_name(cable: PlanCable) -> str:
    """What a cable is called, marked if its sizes are assumed."""
    return marked(typeset(cable.name), cable.assumed)


def _glued_size(cable: PlanCable, units: Units) -> str:
    return " = ".join(glued(part) for part in cable_size(cable, units).split(" = "))


def through_text(plan: Plan, run: PlanRun) -> str:
    """What a run passes, in order, each said for what it is; openings stand by their name alone."""
    if run.measured == "taped":
        return TAPED_THROUGH
    kinds = {way.id: way_words(way) for way in plan.ways}
    holes = {one.about for one in open_assumptions(plan) if one.key == "hole"}
    names = (f"{name} ({kinds[name]})" if name in kinds else marked(name, name in holes) for name in run.openings)
    passed = ", ".join(names) or "none"
    return f"by hand: {passed}" if run.measured == "by hand" else passed
