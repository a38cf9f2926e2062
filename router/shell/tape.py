"""A shell from a tape: the ten lines and the hole rows over the nearest preset."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from ribway.models.place import Place
from ribway.models.tape import RIB_ERROR_M, TAPE_ERROR_M, Tape, assumed_lines
from ribway.models.vehicle import KeepOutEntry, OpeningEntry
from ribway.router.shell import dimensions as dim
from ribway.router.shell.check_features import window_faults
from ribway.router.shell.errors import ShellError
from ribway.router.shell.hole_rows import lay_hole_rows
from ribway.router.shell.parameters import HoleRow, ShellParameters, SideDoor, WheelArch, WindowBox
from ribway.router.shell.presets import PRESETS
from ribway.router.shell.profile import make_profile
from ribway.router.shell.row_members import RowMember, rooms
from ribway.router.shell.tape_checks import PLACE, body_faults, early_hole_faults
from ribway.router.shell.tape_faults import TapeError, TapeFault

AIRBAG_DEPTH_M = 0.15  # common practice, no source: a curtain bag's module lies in this strip below the roof edge
SECTION_LINES = 6  # widths and heights that bear on a route: floor, waist (two), roof edge (two), centre


@dataclass(frozen=True)
class TapeShell:
    """What a tape says of a van.

    Args:
        parameters: for `build`.
        openings: what is known of single holes, by name.
        keep_outs: regions that the tape's answers close.
        assumed: what was not read but taken from the preset, in words.
    """

    parameters: ShellParameters
    openings: tuple[OpeningEntry, ...]
    keep_outs: tuple[KeepOutEntry, ...]
    assumed: tuple[str, ...]


def nearest_preset(length_m: float) -> ShellParameters:
    """The preset whose length comes nearest; the shorter one of two equally near."""
    return min(PRESETS.values(), key=lambda one: (abs(one.length_m - length_m), one.length_m))


def tape_error_m(members: int, lines: int = SECTION_LINES) -> float:
    """How far a route's length may be off because of the tape.

    A reading moves a point of the route by no more than its own error, and the two stretches that meet there change by
    no more than that each. All are added up (not their squares), since nothing says that they cancel. It holds as long
    as the van really has the holes that are taken for granted, and devices stand beside members, not in front of them.

    Args:
        members: ribs, bows, pillars and rails that it passes, each placed by a reading along the tape.
        lines: widths and heights that it depends on.

    Returns:
        Error of the length, to either side [m].
    """
    return 2.0 * (TAPE_ERROR_M * lines + RIB_ERROR_M * members)


def tape_shell(tape: Tape) -> TapeShell:
    """Shell parameters, opening facts and keep-outs of a van by tape.

    Args:
        tape: what was read.

    Returns:
        What was read over the nearest preset by length. Typical holes and windows of the preset that have no room in
        the measured van are left out.

    Raises:
        TapeError: lines and rows that make no van, all of them.
    """
    faults = list(body_faults(tape))
    if faults:
        raise TapeError([*faults, *early_hole_faults(tape)])
    base = nearest_preset(tape.length)
    try:
        parameters = _typical(_bare(tape, base), base, tape)
    except ShellError as fault:
        raise TapeError([*_spoken(fault), *early_hole_faults(tape)]) from fault
    rows = lay_hole_rows(parameters, tape.hole_lines, tape.floor_m)
    if rows.faults:
        raise TapeError(rows.faults)
    try:
        parameters = replace(parameters, own_rows=rows.own_rows)
    except ShellError as fault:
        raise TapeError(_spoken(fault)) from fault
    return TapeShell(parameters, rows.openings, airbag_keep_outs(tape), assumed_lines(tape))


def _bare(tape: Tape, base: ShellParameters) -> ShellParameters:
    """The measured body without typical holes and windows; heights from the bare floor."""
    up, door, arch = tape.floor_m, tape.side_door, tape.wheel_arch
    usual = base.wheel_arch or WheelArch(0.0, 0.0, 0.0, 0.24)
    taper = base.taper
    if tape.rear_waist_width is not None:
        taper = max(0.0, (tape.waist_width - tape.rear_waist_width) / 2 / tape.length)
    return ShellParameters(
        name="van by tape",
        length_m=tape.length,
        floor_width_m=tape.floor_width,
        waist_width_m=tape.waist_width,
        waist_height_m=tape.waist_height + up,
        roof_edge_width_m=tape.roof_edge_width,
        roof_edge_height_m=tape.roof_edge_height + up,
        centre_height_m=tape.centre_height + up,
        taper=taper,
        rib_stations_left=tape.ribs_left,
        rib_stations_right=tape.rib_stations_right,
        bow_stations=tape.bows,
        rib_depth_m=tape.rib.depth,
        rib_width_m=tape.rib.face_width,
        sheet_m=base.sheet_m if tape.rib.sheet is None else tape.rib.sheet,
        side_door=None if door is None else SideDoor(door.side, door.front, door.rear),
        wheel_arch=None
        if arch is None
        else WheelArch(arch.front, arch.length, arch.height + up, usual.width_m if arch.width is None else arch.width),
        windows=(),
        rib_rows=(),
        bow_rows=(),
        bulkhead=tape.front != "pillar edge",
    )


def _typical(bare: ShellParameters, base: ShellParameters, tape: Tape) -> ShellParameters:
    """The body with the preset's typical holes and windows, as far as there is room for them."""
    profile = make_profile(bare)
    largest = dim.largest_bore_m(bare.rib_depth_m, bare.sheet_m)
    kinds = (RowMember("", "rib", "left", -9.0), base.rib_rows), (RowMember("", "bow", "roof"), base.bow_rows)
    fitting: list[tuple[HoleRow, ...]] = []
    for member, rows in kinds:
        smaller = [replace(row, bore_m=min(row.bore_m, largest)) for row in rows]
        fitting.append(
            tuple(
                row
                for row in smaller
                if any(low <= row.place_m <= high for low, high in rooms(bare, profile, member, row.reach_m))
            )
        )
    if tape.windows is None:
        windows = tuple(one for one in base.windows if not any(window_faults(bare, profile, one)))
    else:
        up = tape.floor_m
        windows = tuple(WindowBox(w.side, w.front, w.rear, w.bottom + up, w.top + up) for w in tape.windows)
    return replace(bare, rib_rows=fitting[0], bow_rows=fitting[1], windows=windows)


def airbag_keep_outs(tape: Tape) -> tuple[KeepOutEntry, ...]:
    """A strip below both roof edges unless there are known to be no curtain airbags; heights from the bare floor."""
    if tape.curtain_airbags == "no":
        return ()
    why = "curtain airbag" if tape.curtain_airbags == "yes" else "curtain airbag, unknown: keep out until it is known"
    high = tape.roof_edge_height + tape.floor_m
    found = []
    for side in ("left", "right"):
        corners = [
            Place.model_validate({"wall": side, "back": back, "up": up}, context={"si": True})
            for back, up in ((0.0, high - AIRBAG_DEPTH_M), (tape.length, high + dim.SEAM_M))
        ]
        name = f"roof edge {side}"
        found.append(
            KeepOutEntry.model_construct(name=name, why=why, corner=corners[0], opposite=corners[1], margin=0.0)
        )
    return tuple(found)


def _spoken(fault: ShellError) -> list[TapeFault]:
    """Faults of the shell builder in the words of the tape."""
    text = str(fault).removeprefix("shell 'van by tape': ")
    text = text.replace("rib_stations_", "ribs_").replace("bow_stations", "bows").replace("rib_depth_m", "rib / depth")
    text = text.replace("rib_width_m", "rib / face_width").replace("sheet_m", "rib / sheet")
    text = (
        re.sub(r"(?<=[a-z])_m\b", "", text)
        .replace("side_door.", "side_door / ")
        .replace("wheel_arch.", "wheel_arch / ")
    )
    found: list[TapeFault] = []
    for sentence in text.split("; "):
        if sentence.startswith("accepted") and found:
            found[-1] = TapeFault(PLACE, found[-1].found, sentence)
        else:
            found.append(TapeFault(PLACE, sentence, "all in metres from the bare floor"))
    return found
