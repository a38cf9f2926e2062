"""Checks of doors, arches, windows and hole rows against the body they sit in."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from typing import TYPE_CHECKING

from ribway.router.shell import dimensions as dim
from ribway.router.shell.check_body import is_number
from ribway.router.shell.check_rows import own_row_faults, size_faults, untyped_own_rows
from ribway.router.shell.layout import arch_span, bow_stations, side_layout
from ribway.router.shell.profile import Profile, make_profile

if TYPE_CHECKING:
    from ribway.router.shell.parameters import HoleRow, ShellParameters, WindowBox

KINDS = {
    "side_door": "SideDoor",
    "wheel_arch": "WheelArch",
    "windows": "WindowBox",
    "rib_rows": "HoleRow",
    "bow_rows": "HoleRow",
}


def feature_faults(parameters: ShellParameters) -> tuple[str, ...]:
    """All faults of what is set into a sound body.

    Args:
        parameters: whose single numbers, section and stations are sound.

    Returns:
        One sentence a fault.
    """
    untyped = (*_untyped(parameters), *untyped_own_rows(parameters))
    if untyped:
        return untyped
    profile = make_profile(parameters)
    placed = tuple(_door(parameters)) + tuple(_arch(parameters))
    if placed:
        return placed
    windows = (fault for window in parameters.windows for fault in window_faults(parameters, profile, window))
    return (
        *windows,
        *_rib_rows(parameters, profile),
        *_bow_rows(parameters, profile),
        *own_row_faults(parameters, profile),
        *_missing(parameters),
    )


def _untyped(p: ShellParameters) -> Iterator[str]:
    """Numbers inside doors, arches, windows and rows that are none, and unknown words."""
    named: list[tuple[str, object]] = [("side_door", p.side_door), ("wheel_arch", p.wheel_arch)]
    for name in ("windows", "rib_rows", "bow_rows"):
        named += [(f"{name}[{i}]", part) for i, part in enumerate(getattr(p, name))]
    for name, part in named:
        if part is None:
            continue
        if not is_dataclass(part):
            yield f"{name} is {part!r}; accepted is a {KINDS[name.partition('[')[0]]}"
            continue
        for field in fields(part):
            value = getattr(part, field.name)
            if field.name in ("side", "shape"):
                accepted = ("left", "right") if field.name == "side" else ("round", "slot")
                if value not in accepted:
                    yield f"{name}.{field.name} is {value!r}; accepted is {accepted[0]} or {accepted[1]}"
            elif not is_number(value):
                yield f"{name}.{field.name} is {value!r}; accepted is a number in metres"


def _door(p: ShellParameters) -> Iterator[str]:
    door = p.side_door
    if door is None:
        return
    low, high = dim.EDGE_LEG_M + dim.DOOR_FLANGE_M, p.length_m - dim.DOOR_FLANGE_M - p.rib_width_m - dim.PORTAL_MARGIN_M
    if not low <= door.front_m < door.rear_m <= high + 1e-9:
        yield (
            f"side_door is from {door.front_m} to {door.rear_m}; accepted are a front edge of {low:.3f} or more and a "
            f"rear edge behind it, up to {high:.3f}"
        )
    elif door.rear_m - door.front_m < 0.4:
        yield f"side_door is {door.rear_m - door.front_m:.3f} m wide; accepted is 0.4 or more"


def _arch(p: ShellParameters) -> Iterator[str]:
    arch, span = p.wheel_arch, arch_span(p)
    if arch is None or span is None:
        return
    for name, value, low, high in (
        ("front_m", arch.front_m, dim.EDGE_LEG_M, p.length_m - 0.2),
        ("length_m", arch.length_m, 0.2, p.length_m - arch.front_m),
        ("height_m", arch.height_m, 0.1, p.waist_height_m - dim.WAIST_HALF_M - dim.PORTAL_MARGIN_M),
        ("width_m", arch.width_m, dim.SILL_LEG_M + 0.01, p.floor_width_m / 2 - 0.1),
    ):
        if not low <= value <= high + 1e-9:
            yield f"wheel_arch.{name} is {value}; accepted is {low:.3f} to {high:.3f}"
    door = p.side_door
    if door is not None and span[0] < door.rear_m + p.rib_width_m and span[1] > door.front_m - p.rib_width_m:
        yield (
            f"wheel_arch is from {span[0]} to {span[1]:.3f}; accepted is clear of the side door ({door.front_m} to "
            f"{door.rear_m}) and its pillars"
        )


def window_faults(p: ShellParameters, profile: Profile, window: WindowBox) -> Iterator[str]:
    """Why a window cannot be where it is, one sentence a fault."""
    edge = float(profile.girth[profile.corner_index("edge", "left")])
    top = float(profile.at(edge - dim.EDGE_LEG_M - dim.WINDOW_MARGIN_M)[1])
    bottom = p.waist_height_m + dim.WAIST_HALF_M + dim.WINDOW_MARGIN_M
    where = f"window from {window.front_m} to {window.rear_m} in the {window.side} wall"
    if not bottom - 1e-9 <= window.bottom_m < window.top_m - 0.08 <= top - 0.08 + 1e-9:
        yield (
            f"{where} is from {window.bottom_m} to {window.top_m} high; accepted is {bottom:.3f} to {top:.3f}, "
            "0.08 or more apart"
        )
    m = dim.WINDOW_MARGIN_M
    free = [(b.front_m + m, b.rear_m - m) for b in side_layout(p, window.side).bays if not b.is_door]
    fits = any(a - 1e-9 <= window.front_m < window.rear_m - 0.08 <= b - 0.08 + 1e-9 for a, b in free)
    if not fits:
        rooms = ", ".join(f"{a:.3f}-{b:.3f}" for a, b in free if b - a >= 0.08)
        yield f"{where} does not fit between ribs; accepted is 0.08 or more inside one of {rooms}"
    for other in p.windows:
        beside = other.front_m >= window.rear_m + m or window.front_m >= other.rear_m + m
        if other is not window and other.side == window.side and not beside:
            yield f"{where} runs into the one from {other.front_m} to {other.rear_m}"


def _crowded(name: str, rows: tuple[HoleRow, ...], girths: list[float]) -> Iterator[str]:
    """Rows out of order or too near each other; ``girths`` in the rows' order [m]."""
    for i in range(len(rows) - 1):
        apart = (rows[i].reach_m + rows[i + 1].reach_m) / 2 + 2 * dim.CLEAR_M
        if girths[i + 1] - girths[i] < apart:
            yield (
                f"{name} has holes at {rows[i].place_m} and {rows[i + 1].place_m}; accepted are rows in order "
                f"(ribs from the floor up, bows from the left), these two {apart:.3f} or more apart"
            )


def _rib_rows(p: ShellParameters, profile: Profile) -> Iterator[str]:
    yield from size_faults(p, "rib_rows", p.rib_rows)
    corner = {place: float(profile.girth[profile.corner_index(place, "left")]) for place in ("floor", "waist", "edge")}
    margin = dim.CLEAR_M
    for i, row in enumerate(p.rib_rows):
        reach = row.reach_m / 2 + margin
        s = profile.at_height(row.place_m, "left")
        low, high = corner["floor"] + dim.SILL_LEG_M + reach, corner["edge"] - dim.EDGE_LEG_M - reach
        lowest, highest = float(profile.at(low)[1]), float(profile.at(high)[1])
        if not lowest <= row.place_m <= highest:
            yield (
                f"rib_rows[{i}].place_m is {row.place_m}; accepted is {lowest:.3f} to {highest:.3f}, between sill and "
                "roof-edge rail"
            )
        elif abs(s - corner["waist"]) < dim.WAIST_HALF_M + reach:
            gap = dim.WAIST_HALF_M + reach
            yield (
                f"rib_rows[{i}].place_m is {row.place_m}, behind the waist rail; accepted is {gap:.3f} or more from "
                f"waist_height_m ({p.waist_height_m})"
            )
    yield from _crowded("rib_rows", p.rib_rows, [row.place_m for row in p.rib_rows])


def _bow_rows(p: ShellParameters, profile: Profile) -> Iterator[str]:
    yield from size_faults(p, "bow_rows", p.bow_rows)
    left = float(profile.girth[profile.corner_index("edge", "left")])
    for i, row in enumerate(p.bow_rows):
        furthest = -profile.xyz(0.0, profile.at(left + dim.EDGE_LEG_M + row.reach_m / 2 + dim.CLEAR_M))[1]
        if not furthest <= row.place_m <= -furthest:
            yield (
                f"bow_rows[{i}].place_m is {row.place_m}; accepted is {furthest:.3f} to {-furthest:.3f}, between the "
                "roof-edge rails"
            )
    yield from _crowded("bow_rows", p.bow_rows, [profile.at_across(row.place_m) for row in p.bow_rows])


def _missing(p: ShellParameters) -> Iterator[str]:
    rows = {f"B{i + 1}": len(p.bow_rows) for i in range(len(bow_stations(p)))}
    for side in ("left", "right"):
        layout = side_layout(p, side)
        rows |= {f"{layout.letter}{i + 1}": len(p.rib_rows) for i in range(len(layout.stations))}
    rows |= {name: len(own) for name, own in p.own_rows if name in rows}
    for member, row in p.missing_holes:
        if member not in rows:
            yield f"missing_holes names {member!r}; accepted are {', '.join(rows)}"
        elif row not in range(1, rows[member] + 1):
            yield f"missing_holes names row {row!r} of {member}; accepted is 1 to {rows[member]}"
