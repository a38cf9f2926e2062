"""The hole rows that are really cut in each member: its own where there are any, else the typical ones."""

from __future__ import annotations

from ribway.router.shell import dimensions as dim
from ribway.router.shell.layout import places
from ribway.router.shell.parameters import HoleRow, ShellParameters
from ribway.router.shell.parts import OpeningShape
from ribway.router.shell.row_members import RowMember, lowest_m, rail_taken


def rows_of(parameters: ShellParameters, member: RowMember) -> tuple[HoleRow, ...]:
    """Hole rows of a member in naming order.

    Args:
        parameters: what the fitter measured.
        member: the member.

    Returns:
        Rows, ``a`` first. A typical row that would run into the wheel arch is left out.
    """
    own = dict(parameters.own_rows).get(member.name)
    rows = own if own is not None else _usual(parameters, member)
    lowest = lowest_m(parameters, member)
    return tuple(
        row
        for number, row in enumerate(rows, start=1)
        if (member.name, number) not in parameters.missing_holes
        and (member.kind != "rib" or row.place_m - row.reach_m / 2 >= lowest)
    )


def _usual(p: ShellParameters, member: RowMember) -> tuple[HoleRow, ...]:
    if member.kind == "rib":
        return p.rib_rows
    if member.kind == "bow":
        return p.bow_rows
    if member.kind == "pillar":
        return (
            _fitted(p, 0.30 * p.waist_height_m, "round", 0.032, 0.032),
            _fitted(p, 0.75 * p.waist_height_m, "slot", 0.020, 0.045),
            _fitted(p, (p.waist_height_m + p.roof_edge_height_m) / 2, "round", 0.025, 0.025),
        )
    if member.kind == "header":
        flat = dim.CENTRE_FRACTION * (p.roof_edge_width_m / 2)
        return _fitted(p, 0.7 * flat, "slot", 0.020, 0.045), _fitted(p, -0.7 * flat, "round", 0.032, 0.032)
    return _along_rail(p, member)


def _along_rail(p: ShellParameters, member: RowMember) -> tuple[HoleRow, ...]:
    """One or two passages a bay; sill holes are wide and stay off the wheel arch."""
    round_hole, slot = _fitted(p, 0.0, "round", 0.025, 0.025), _fitted(p, 0.0, "slot", 0.020, 0.045)
    holes: tuple[HoleRow, ...] = (_fitted(p, 0.0, "round", 0.032, 0.032),)
    if member.kind != "sill":
        holes = (round_hole, slot) if member.kind == "waist" else (slot, round_hole)
    centres = places(member.span_m, rail_taken(p, member), slot.length_m, len(holes))
    return tuple(
        HoleRow(back, hole.bore_m, hole.shape, hole.length_m)
        for back, hole in zip(centres, holes[: len(centres)], strict=True)
    )


def _fitted(p: ShellParameters, place_m: float, shape: OpeningShape, bore_m: float, length_m: float) -> HoleRow:
    """A hole of our own choosing, made smaller where the members are shallow."""
    bore = min(bore_m, dim.largest_bore_m(p.rib_depth_m, p.sheet_m))
    return HoleRow(place_m, bore, shape, length_m if shape == "slot" else 0.0)
