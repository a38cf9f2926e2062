"""Checks of single numbers, of the section and of the rib stations."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from ribway.router.shell import dimensions as dim
from ribway.router.shell.layout import bow_stations

if TYPE_CHECKING:
    from ribway.router.shell.parameters import ShellParameters

LIMITS_M = {
    "length_m": (1.2, 8.0),
    "floor_width_m": (1.0, 2.6),
    "waist_width_m": (1.0, 2.6),
    "waist_height_m": (0.3, 2.0),
    "roof_edge_width_m": (0.8, 2.6),
    "roof_edge_height_m": (0.6, 2.6),
    "centre_height_m": (0.8, 3.0),
    "taper": (0.0, 0.05),
    "rib_depth_m": (0.025, 0.080),
    "rib_width_m": (0.025, 0.120),
    "sheet_m": (0.0011, 0.004),
}
"""Accepted range of each single number. Deeper ribs would put the holes' line outside the sill box."""


def number_faults(parameters: ShellParameters) -> tuple[str, ...]:
    """Single numbers that are none or out of range, one sentence a fault."""
    return tuple(_numbers(parameters))


def body_faults(parameters: ShellParameters) -> tuple[str, ...]:
    """Faults of section and stations, one sentence a fault; single numbers must be sound."""
    return (*_section(parameters), *_stations(parameters))


def is_number(value: object) -> bool:
    """Is this a finite number and no truth value."""
    return isinstance(value, (int, float)) and not isinstance(value, bool) and math.isfinite(value)


def _numbers(p: ShellParameters) -> Iterator[str]:
    for name, (low, high) in LIMITS_M.items():
        value = getattr(p, name)
        if not is_number(value) or not low <= value <= high:
            yield f"{name} is {value!r}; accepted is a number from {low} to {high}"
    for name in ("rib_stations_left", "rib_stations_right", "bow_stations"):
        for value in getattr(p, name) or ():
            if not is_number(value):
                yield f"{name} holds {value!r}; accepted are numbers in metres"


def _section(p: ShellParameters) -> Iterator[str]:
    room = 2 * dim.WAIST_HALF_M + 2 * dim.PORTAL_MARGIN_M
    if p.waist_height_m < dim.SILL_LEG_M + room:
        yield f"waist_height_m is {p.waist_height_m}; accepted is {dim.SILL_LEG_M + room:.3f} or more"
    least = p.waist_height_m + dim.EDGE_LEG_M + room
    if p.roof_edge_height_m < least:
        yield (
            f"roof_edge_height_m is {p.roof_edge_height_m}; accepted is {least:.3f} or more, above the waist and the "
            "rails on both"
        )
    if p.centre_height_m < p.roof_edge_height_m + 0.05:
        yield f"centre_height_m is {p.centre_height_m}; accepted is {p.roof_edge_height_m + 0.05:.3f} or more"
        return
    for name in ("floor_width_m", "roof_edge_width_m"):
        width = getattr(p, name)
        if abs(width - p.waist_width_m) > 0.6:
            yield f"{name} is {width}; accepted is within 0.6 of waist_width_m ({p.waist_width_m})"
    if p.roof_edge_height_m >= least:
        half = p.roof_edge_width_m / 2
        lean = (half - p.waist_width_m / 2) / (p.roof_edge_height_m - p.waist_height_m)
        knee = half + lean * (p.centre_height_m - p.roof_edge_height_m)
        if not dim.CENTRE_FRACTION * half + 0.05 <= knee <= half + 0.05:
            yield (
                f"roof_edge_width_m is {p.roof_edge_width_m}; with waist_width_m {p.waist_width_m} the upper wall "
                "leans too far to meet the roof; accepted is a width nearer to the waist's, not above it"
            )
        rise, run = p.centre_height_m - p.roof_edge_height_m, (1 - dim.CENTRE_FRACTION) * half
        if math.hypot(rise, run) < 2 * dim.FIRST_FACET_M:
            yield f"roof_edge_width_m is {p.roof_edge_width_m}: no room for the roof's curve; accepted is a wider roof"


def _stations(p: ShellParameters) -> Iterator[str]:
    half = p.rib_width_m / 2
    first, last = dim.EDGE_LEG_M + dim.PORTAL_MARGIN_M + half, p.length_m - dim.PORTAL_MARGIN_M - half
    apart = p.rib_width_m + 2 * dim.PORTAL_MARGIN_M
    given = (
        ("rib_stations_left", p.rib_stations_left),
        ("rib_stations_right", p.rib_stations_right),
        ("bow_stations", bow_stations(p) if p.bow_stations is not None else ()),
    )
    for name, stations in given:
        for a, b in itertools.pairwise(stations):
            if b <= a:
                yield f"{name} goes from {a} to {b}; accepted are rising distances back from the datum"
            elif b - a < apart - 1e-9:
                yield f"{name} holds {a} and {b}; accepted are members {apart:.3f} m or more apart"
        for c in stations:
            if not first - 1e-9 <= c <= last + 1e-9:
                yield f"{name} holds {c}; accepted is {first:.3f} to {last:.3f} (length_m is {p.length_m})"
