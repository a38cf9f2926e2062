"""Wheel arches, and panels that are only drawn: doors and window frames."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from shapely import Polygon, box

from ribway.router.shell import dimensions as dim
from ribway.router.shell.members import section_frame
from ribway.router.shell.parts import Mesh, Points
from ribway.router.shell.profile import Profile
from ribway.router.shell.skins import door_outline, window_outline
from ribway.router.shell.solids import Placed, Solid, extrude, join, meet, one_polygon, to_mesh

if TYPE_CHECKING:
    from ribway.router.shell.parameters import ShellParameters

ARCH_FACETS = 12
ARCH_BLUNTNESS = 0.55
BELOW_FLOOR_M = 0.05
PANEL_SHEET_M = 0.002
FRAME_WIDTH_M = 0.045
FRAME_DEPTH_M = 0.025
DOOR_GAP_M = 0.006
GLASS_SIDE_M = 0.15
GLASS_CORNER_M = 0.04
SEAL_M = 0.012


def arch_solids(parameters: ShellParameters, profile: Profile) -> tuple[Solid, ...]:
    """Left and right wheel arch, standing on floor and wall; empty where the van has none."""
    inside = one_polygon(Polygon(profile.corners[1:-1]).buffer(-dim.SEAM_M, join_style="mitre"), "the section")
    room = extrude(inside, -parameters.length_m, 0.0, section_frame(profile))
    return tuple(meet(block, room) for block in arch_cutters(parameters, profile))


def arch_cutters(parameters: ShellParameters, profile: Profile) -> tuple[Solid, ...]:
    """The wheel arches' blocks, reaching through floor and wall, to cut away the members they cover."""
    arch = parameters.wheel_arch
    if arch is None:
        return ()
    angles = np.linspace(0.0, np.pi, ARCH_FACETS + 1)
    across = np.sign(np.cos(angles)) * np.abs(np.cos(angles)) ** ARCH_BLUNTNESS
    up = np.abs(np.sin(angles)) ** ARCH_BLUNTNESS
    middle, reach = -(arch.front_m + arch.length_m / 2), arch.length_m / 2
    curve = np.stack([middle + reach * across, arch.height_m * up], axis=1)
    heels = np.array([[middle - reach, -BELOW_FLOOR_M], [middle + reach, -BELOW_FLOOR_M]])
    block = Polygon(np.concatenate([curve, heels]))
    inner, outer = profile.corners[1, 0] - arch.width_m, profile.corners[1, 0] + 1.0
    place = _across_frame(profile)
    return extrude(block, -outer, -inner, place), extrude(block, inner, outer, place)


def _across_frame(profile: Profile) -> Placed:
    """Maps (x, z, -y) of an outline extruded across the van to the tapered van."""

    def place(points: Points) -> Points:
        return profile.shear(np.column_stack([points[:, 0], -points[:, 2], points[:, 1]]))

    return place


def build_panels(parameters: ShellParameters, profile: Profile) -> tuple[tuple[str, Mesh], ...]:
    """Side door, rear doors and window frames, for drawing only.

    Args:
        parameters: what the fitter measured.
        profile: its section.

    Returns:
        Named meshes.
    """
    panels: list[tuple[str, Mesh]] = []
    door = door_outline(parameters, profile)
    if door is not None and parameters.side_door is not None:
        panels.append(("side-door", to_mesh(_side_door(profile, door, parameters.side_door.side))))
    panels += [(f"rear-door-{side}", to_mesh(_rear_door(parameters, profile, side))) for side in ("left", "right")]
    numbers = {"left": 0, "right": 0}
    for window in parameters.windows:
        numbers[window.side] += 1
        hole = window_outline(window)
        wide, narrow = (hole.buffer(by, join_style="mitre") for by in (SEAL_M, -SEAL_M))
        ring = one_polygon(wide.difference(narrow), "a window's frame")
        frame = _on_wall(profile, ring, window.side, -SEAL_M / 3, SEAL_M / 2)
        panels.append((f"window-{window.side}-{numbers[window.side]}", to_mesh(frame)))
    return tuple(panels)


def _on_wall(profile: Profile, over: Polygon, side: str, off_from: float, off_to: float) -> Solid:
    """The layer of a wall between two distances off its skin that lies under an outline in (x, z)."""
    floor, edge = (float(profile.girth[profile.corner_index(place, side)]) for place in ("floor", "edge"))
    layer = profile.band(min(floor, edge), max(floor, edge), off_from, off_to)
    low, _, high, _ = over.bounds
    slab = extrude(layer, low - 0.01, high + 0.01, section_frame(profile))
    reach = (-2.0, 0.0) if side == "left" else (0.0, 2.0)
    return meet(slab, extrude(over, *reach, _across_frame(profile)))


def _leaf(leaf: Polygon, waist_m: float, top_m: float) -> tuple[Polygon, Polygon]:
    """A door leaf's sheet and frame, its glass left open, in (across or along, z)."""
    left, _, right, _ = leaf.bounds
    pane = box(left + GLASS_SIDE_M, waist_m + GLASS_SIDE_M / 2, right - GLASS_SIDE_M, top_m - GLASS_SIDE_M / 2)
    pane = pane.buffer(-GLASS_CORNER_M).buffer(GLASS_CORNER_M, quad_segs=2)
    inner = leaf.buffer(-FRAME_WIDTH_M, join_style="mitre")
    bar = box(left, waist_m - FRAME_WIDTH_M / 2, right, waist_m + FRAME_WIDTH_M / 2).intersection(leaf)
    sheet = leaf.difference(pane.intersection(inner))
    frame = leaf.difference(inner).union(bar)
    return one_polygon(sheet, "a door's sheet"), one_polygon(frame, "a door's frame")


def _side_door(profile: Profile, opening: Polygon, side: str) -> Solid:
    leaf = one_polygon(opening.buffer(-DOOR_GAP_M, join_style="mitre"), "the side door")
    sheet, frame = _leaf(leaf, float(profile.corners[2, 1]), leaf.bounds[3])
    skin = _on_wall(profile, sheet, side, -DOOR_GAP_M, PANEL_SHEET_M - DOOR_GAP_M)
    return join([skin, _on_wall(profile, frame, side, -DOOR_GAP_M, FRAME_DEPTH_M)])


def _rear_door(parameters: ShellParameters, profile: Profile, side: str) -> Solid:
    whole = Polygon(profile.corners[1:-1]).buffer(-DOOR_GAP_M, join_style="mitre")
    gap = DOOR_GAP_M / 2
    half = box(gap, 0.0, 3.0, 4.0) if side == "left" else box(-3.0, 0.0, -gap, 4.0)
    leaf = one_polygon(whole.intersection(half), "a rear door")
    sheet, frame = _leaf(leaf, float(profile.corners[2, 1]), float(profile.corners[3, 1]))
    back = -parameters.length_m - DOOR_GAP_M - FRAME_DEPTH_M
    place = section_frame(profile)
    return join([extrude(sheet, back, back + PANEL_SHEET_M, place), extrude(frame, back, back + FRAME_DEPTH_M, place)])
