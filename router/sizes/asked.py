"""What devices ask of the cables that lead to them: their maker's wires, their terminals, the volts they need."""

from __future__ import annotations

import math
from collections.abc import Mapping

from ribway.models.circuits import Device
from ribway.router.circuits.runs import Run
from ribway.sizing.maker import MakerArea, MakerLimits, Terminal

ENDLESS_M = 1e6


def path_m(run: Run, runs: Mapping[str, Run], cut_m: Mapping[str, float]) -> float:
    """Length of cable from a circuit's source to the end of a run [m].

    Args:
        run: the run.
        runs: by id.
        cut_m: cut length by run [m].
    """
    total, one = 0.0, run
    while True:
        total += cut_m[one.id]
        if not one.after:
            return total
        one = runs[one.after]


def maker_of(
    run: Run, devices: Mapping[str, Device], runs: Mapping[str, Run], cut_m: Mapping[str, float]
) -> MakerLimits | None:
    """What the makers of the devices that draw behind a run ask of it; None if none asks.

    The maker's table is for the whole way from the source to the device, so a run behind others is asked for the area
    of all of it.

    Args:
        run: the run.
        devices: by id.
        runs: by id.
        cut_m: cut length by run [m].
    """
    limits: list[MakerLimits] = []
    for name in run.draws:
        device = devices.get(name)
        if device is None or device.maker is None:
            continue
        maker = device.maker
        rows = tuple(MakerArea(row.up_to, row.area) for row in maker.areas)
        limits.append(MakerLimits(device.name or name, rows, maker.counts, maker.fuse, maker.drop))
    if len(limits) == 1 and not run.after:
        return limits[0]
    if not limits:
        return None
    way = path_m(run, runs, cut_m)
    areas = [area for one in limits if (area := one.least_area_mm2(way)) is not None]
    # A way longer than a table goes is handed on as a table that ends at once.
    table = (MakerArea(ENDLESS_M, max(areas)),) if areas and math.isfinite(max(areas)) else ()
    if areas and not table:
        table = (MakerArea(1e-6, 1.0),)
    fuses, drops = [one.fuse_a for one in limits if one.fuse_a], [one.drop_v for one in limits if one.drop_v]
    names = ", ".join(one.device for one in limits)
    return MakerLimits(names, table, "one way", min(fuses, default=None), min(drops, default=None))


def terminals_of(run: Run, devices: Mapping[str, Device]) -> tuple[Terminal, ...]:
    """What a run ends in, as far as it was said.

    Args:
        run: the run.
        devices: by id.
    """
    ends = [devices[name] for name in (run.a, run.b) if name in devices]
    return tuple(
        Terminal(f"the terminal of {one.name or one.id}", one.terminal, 0.0, one.terminal_amps)
        for one in ends
        if one.terminal is not None or one.terminal_amps is not None
    )


def cut_out_percent(run: Run, devices: Mapping[str, Device], nominal_v: float) -> float | None:
    """Greatest loss that leaves every device behind a run above its cut-out voltage [%]; None if none is known.

    Args:
        run: the run.
        devices: by id.
        nominal_v: voltage at the source [V].
    """
    known = [
        100.0 * (nominal_v - device.cut_out_volts) / nominal_v
        for name in run.draws
        if (device := devices.get(name)) is not None and device.cut_out_volts is not None
    ]
    return max(0.1, min(known)) if known else None
