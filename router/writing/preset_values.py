"""Values of a preset as a person reads them."""

from __future__ import annotations

from collections.abc import Sequence

from ribway.models.lengths import format_feet_inches
from ribway.models.printed import size_near
from ribway.models.shop import Shop
from ribway.router.shell.parameters import ShellParameters

_QUARTER_INCH_M = 0.0254 / 4


def length_text(metres: float, shop: Shop) -> str:
    """A distance to the nearest centimetre or quarter inch; one to the right of the centre line is negative.

    Args:
        metres: the distance [m].
        shop: for its units.
    """
    if shop.units == "metric":
        return f"{round(metres, 2) + 0.0:.2f} m"
    quarters = round(metres / _QUARTER_INCH_M)
    return ("-" if quarters < 0 else "") + format_feet_inches(abs(quarters) * _QUARTER_INCH_M, 4)


def rows_text(parameters: ShellParameters, key: str, shop: Shop) -> str:
    """The value of a preset's list or group in one cell.

    Args:
        parameters: of the shell.
        key: name of the parameter, without the ending ``_m``.
        shop: for its units.
    """

    def bare(metres: float) -> str:
        return length_text(metres, shop).removesuffix(" m")

    if key in ("rib_stations_left", "rib_stations_right", "bow_stations"):
        stations: Sequence[float] = getattr(parameters, key) or parameters.rib_stations_left
        return ", ".join(bare(one) for one in stations) + (" m back" if shop.units == "metric" else " back")
    if key in ("rib_depth", "rib_width"):
        return size_near(1000.0 * getattr(parameters, f"{key}_m"), shop.units)
    if key == "side_door":
        door = parameters.side_door
        return (
            "none"
            if door is None
            else f"{door.side}, {length_text(door.front_m, shop)} to {length_text(door.rear_m, shop)} back"
        )
    if key == "wheel_arch":
        arch = parameters.wheel_arch
        return (
            "none"
            if arch is None
            else f"from {length_text(arch.front_m, shop)} back, {length_text(arch.length_m, shop)} long"
        )
    if key == "windows":
        return "; ".join(f"{w.side} {bare(w.front_m)} to {bare(w.rear_m)}" for w in parameters.windows) or "none"
    rows = parameters.rib_rows if key == "rib_rows" else parameters.bow_rows
    return ", ".join(
        f"{'slot ' if row.shape == 'slot' else ''}{size_near(1000.0 * row.bore_m, shop.units)} at "
        f"{_where(row.place_m, key, shop)}"
        for row in rows
    )


def _where(place_m: float, key: str, shop: Shop) -> str:
    """Where a row of holes runs: how far up, or in the roof how far off the centre line and to which side."""
    if key == "rib_rows":
        return f"{length_text(place_m, shop)} up"
    side = "left" if place_m > 0.0 else "right"
    return f"{length_text(abs(place_m), shop)} {side}" if place_m else "the centre line"
