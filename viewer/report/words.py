"""Numbers as the page writes them: in the plan's units, each rounded to its safe side."""

from __future__ import annotations

from ribway.models.lengths import format_feet_inches
from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanDevice
from ribway.models.printed import INCH_PARTS, Units, size_down, size_up
from ribway.models.surroundings import SURROUNDINGS

NOTHING = "–"
ASSUMED_NOTE = "* assumed: nobody has confirmed it on this van; see Assumed."
KG_PER_LB = 0.45359237  # international pound, 1959: exact
MM_PER_INCH = 25.4
MIDDLE_M = 0.005  # what is nearer to the centre line than this is on it


def place(m: float, units: Units) -> str:
    """A distance that says where something is, to the nearest centimetre or quarter inch.

    Args:
        m: the distance [m]; a negative one keeps its sign.
        units: the plan's.

    Returns:
        ``0.88 m`` or ``2' 10 3/4"``.
    """
    if units == "metric":
        return f"{round(m, 2) + 0.0:.2f} m"
    step_m = MM_PER_INCH / 1000.0 / INCH_PARTS
    steps = round(m / step_m)
    return ("-" if steps < 0 else "") + format_feet_inches(abs(steps) * step_m, INCH_PARTS)


def mass_apart(kg: float, units: Units) -> str:
    """How far two masses are apart, to the nearest hundredth: ``0.10 kg`` or ``0.22 lb``."""
    return f"{kg:.2f} kg" if units == "metric" else f"{kg / KG_PER_LB:.2f} lb"


def bore(mm: float | None, units: Units) -> str:
    """A size that something has to pass, rounded down.

    Args:
        mm: the size [mm].
        units: the plan's.

    Returns:
        ``20 mm`` or ``25/32"``; a dash for none.
    """
    if mm is None:
        return NOTHING
    return size_down(mm, units)


def thickness(mm: float, units: Units) -> str:
    """A size of something that has to pass, rounded up.

    Args:
        mm: the size [mm].
        units: the plan's.

    Returns:
        ``18.3 mm`` or ``23/32"``; a dash for none.
    """
    if mm <= 0.0:
        return NOTHING
    return size_up(mm, units)


def typeset(text: str) -> str:
    """A size with a real square sign: ``2.5 mm²``."""
    return text.replace("mm2", "mm²")


def wall_name(wall: str) -> str:
    """A wall in words: ``left wall``, ``roof``."""
    return f"{wall} wall" if wall in ("left", "right", "rear") else wall


def spot(wall: str, back_m: float, up_m: float, left_m: float, units: Units) -> str:
    """Where something is: the wall, and the two measures that find the spot on it.

    Args:
        wall: which wall.
        back_m: distance back from the datum [m].
        up_m: height over the cargo floor [m].
        left_m: distance to the left of the centre line [m]; negative is right.
        units: the plan's.

    Returns:
        ``left wall, 0.62 m back, 0.30 m up``.
    """
    back, high = f"{place(back_m, units)} back", f"{place(up_m, units)} up"
    side = "on the centre line"
    if abs(left_m) >= MIDDLE_M:
        side = f"{place(abs(left_m), units)} {'left' if left_m > 0 else 'right'}"
    if wall in SURROUNDINGS:
        return f"outside, {wall}"
    if wall in ("roof", "floor"):
        return f"{wall}, {back}, {side}"
    if wall in ("bulkhead", "rear"):
        return f"{wall_name(wall)}, {side}, {high}"
    return f"{wall_name(wall)}, {back}, {high}" if wall else f"{back}, {high}, {side}"


def device_spot(device: PlanDevice, units: Units) -> str:
    """Where a device is, as `spot` says it."""
    return spot(device.wall, device.back_m, device.up_m, device.left_m, units)


def names_of(plan: Plan) -> dict[str, str]:
    """Names of devices by id; one without a name goes by its id."""
    return {device.id: device.name or device.id for device in plan.devices}
