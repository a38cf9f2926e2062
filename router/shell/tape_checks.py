"""Tape lines that contradict one another, in the words of the tape: all of them at once."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from ribway.models.tape import TAPE_ERROR_M, Tape
from ribway.router.shell.check_body import LIMITS_M
from ribway.router.shell.dimensions import PORTAL_MARGIN_M, largest_bore_m
from ribway.router.shell.tape_faults import TapeFault, metres

PLACE = "vehicle / tape"


def body_faults(tape: Tape) -> Iterator[TapeFault]:
    """Lines that are out of range or cross each other.

    Args:
        tape: what was read; heights as they were read.
    """
    out_of_range = tuple(_ranges(tape))
    yield from out_of_range
    if not any(fault.place.endswith(("width", "height")) for fault in out_of_range):
        yield from _section(tape)
    yield from _stations(tape)
    yield from _door_and_arch(tape)


def early_hole_faults(tape: Tape) -> Iterator[TapeFault]:
    """Holes that no rib of this van can have, found before there is a body to place them in."""
    sheet_m = 0.0015 if tape.rib.sheet is None else tape.rib.sheet
    largest = largest_bore_m(tape.rib.depth, sheet_m)
    for line in tape.hole_lines:
        where = f"row {line.row} <{line.text}>"
        if line.hole is not None and line.hole.width_m > largest:
            found = (
                f"{where}: a hole {metres(line.hole.width_m)} wide is bigger than a rib {metres(tape.rib.depth)} deep"
            )
            yield TapeFault(f"{PLACE} / holes", found, f"accepted is up to {metres(largest)}")
        upright = all(one.stem in ("L", "R", "LP", "RP") for one in line.members)
        if upright and any(place > tape.roof_edge_height for place in line.places_m):
            found = f"{where}: {metres(max(line.places_m))} is above the wall"
            yield TapeFault(f"{PLACE} / holes", found, f"the wall ends at {metres(tape.roof_edge_height)}")


def _ranges(tape: Tape) -> Iterator[TapeFault]:
    given = {
        "length": (tape.length, "length_m"),
        "floor_width": (tape.floor_width, "floor_width_m"),
        "waist_width": (tape.waist_width, "waist_width_m"),
        "waist_height": (tape.waist_height, "waist_height_m"),
        "roof_edge_width": (tape.roof_edge_width, "roof_edge_width_m"),
        "roof_edge_height": (tape.roof_edge_height, "roof_edge_height_m"),
        "centre_height": (tape.centre_height, "centre_height_m"),
        "rib / depth": (tape.rib.depth, "rib_depth_m"),
        "rib / face_width": (tape.rib.face_width, "rib_width_m"),
    }
    for name, (value, limit) in given.items():
        low, high = LIMITS_M[limit]
        if not low <= value <= high:
            found = f"{metres(value)} is no such measure of a van"
            yield TapeFault(f"{PLACE} / {name}", found, f"accepted is {metres(low)} to {metres(high)}")


def _section(tape: Tape) -> Iterator[TapeFault]:
    rising = ("waist_height", "roof_edge_height", "centre_height")
    for below, above in pairwise(rising):
        low, high = getattr(tape, below), getattr(tape, above)
        if high <= low:
            found = f"{metres(high)} is not above {below} ({metres(low)})"
            yield TapeFault(f"{PLACE} / {above}", found, "heights rise from waist over roof edge to centre")
    wider = (
        ("roof_edge_width", "the walls would lean outwards"),
        ("rear_waist_width", "the van would widen rearwards"),
    )
    for name, why in wider:
        value = getattr(tape, name)
        if value is not None and value > tape.waist_width + 2 * TAPE_ERROR_M:
            found = f"{metres(value)} is wider than waist_width ({metres(tape.waist_width)}): {why}"
            yield TapeFault(f"{PLACE} / {name}", found, "the waist is the widest place; were the two swapped?")


def _stations(tape: Tape) -> Iterator[TapeFault]:
    least = tape.rib.face_width + 2 * PORTAL_MARGIN_M
    rows = [("ribs_left", tape.ribs_left), ("bows", tape.bows or ())]
    if not isinstance(tape.ribs_right, str):
        rows.append(("ribs_right", tape.ribs_right))
    for name, stations in rows:
        place = f"{PLACE} / {name}"
        for station in stations:
            if station > tape.length:
                found = f"{metres(station)} lies behind the rear sill"
                yield TapeFault(place, found, f"the van is {metres(tape.length)} long")
        for a, b in pairwise(stations):
            if b <= a:
                yield TapeFault(place, f"it goes from {metres(a)} back to {metres(b)}", "accepted are rising distances")
            elif b - a < least:
                found = (
                    f"{metres(a)} and {metres(b)} are too near each other for ribs {metres(tape.rib.face_width)} wide"
                )
                yield TapeFault(place, found, f"accepted are {metres(least)} or more apart")


def _door_and_arch(tape: Tape) -> Iterator[TapeFault]:
    door, arch = tape.side_door, tape.wheel_arch
    if door is not None and not door.front < door.rear <= tape.length:
        found = f"it is open from {metres(door.front)} to {metres(door.rear)}"
        accepted = f"a rear edge behind the front edge, up to the length {metres(tape.length)}"
        yield TapeFault(f"{PLACE} / side_door", found, accepted)
    if arch is not None and arch.front + arch.length > tape.length:
        found = f"it ends {metres(arch.front + arch.length)} back, behind the rear sill"
        yield TapeFault(f"{PLACE} / wheel_arch", found, f"the van is {metres(tape.length)} long")
    if arch is not None and arch.height >= tape.waist_height:
        found = f"its height {metres(arch.height)} reaches the waist ({metres(tape.waist_height)})"
        yield TapeFault(f"{PLACE} / wheel_arch / height", found, "accepted is below the waist")
