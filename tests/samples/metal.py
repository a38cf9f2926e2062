"""The sample plan's shell: a plain box, 2 m long, with one rib on either wall and one hole through each rib."""

from __future__ import annotations

import base64
import math
import struct
from typing import Literal

from ribway.models.plan.shell import PlanPart
from samples.curves import Point

LENGTH = 2.0
WALL_Y = 0.9
ROOF_Z = 1.6
RIB_X = -1.0
RIB_DEPTH = 0.05
HOLE_Y = 0.875
HOLE_Z = 0.5
HOLE_RADIUS = 0.010
RIM_CORNERS = 16

Triangle = tuple[int, int, int]


def part(
    name: str, kind: Literal["skin", "member", "obstacle", "panel"], points: list[Point], faces: list[Triangle]
) -> PlanPart:
    """A named mesh with its arrays packed as the plan wants them."""
    vertices = b"".join(struct.pack("<3f", *point) for point in points)
    indices = b"".join(struct.pack("<3I", *face) for face in faces)
    return PlanPart(
        name=name,
        kind=kind,
        vertices_f32=base64.b64encode(vertices).decode("ascii"),
        faces_u32=base64.b64encode(indices).decode("ascii"),
    )


def rim(side: int) -> tuple[Point, ...]:
    """Corner points of the hole through the left (``side`` 1) or right (-1) rib; the round bore lies inside them."""
    reach = HOLE_RADIUS / math.cos(math.pi / RIM_CORNERS)
    angles = [2 * math.pi * (k + 0.5) / RIM_CORNERS for k in range(RIM_CORNERS)]
    return tuple((RIB_X, side * HOLE_Y + reach * math.cos(a), HOLE_Z + reach * math.sin(a)) for a in angles)


def _quad(name: str, corners: list[Point]) -> PlanPart:
    return part(name, "skin", corners, [(0, 1, 2), (0, 2, 3)])


def skins() -> list[PlanPart]:
    """Floor, roof, both walls and the bulkhead, wound so that normals look into the van."""
    x, y, z = -LENGTH, WALL_Y, ROOF_Z
    return [
        _quad("floor", [(0, -y, 0), (0, y, 0), (x, y, 0), (x, -y, 0)]),
        _quad("roof", [(0, -y, z), (x, -y, z), (x, y, z), (0, y, z)]),
        _quad("left", [(0, y, 0), (0, y, z), (x, y, z), (x, y, 0)]),
        _quad("right", [(0, -y, 0), (x, -y, 0), (x, -y, z), (0, -y, z)]),
        _quad("bulkhead", [(0, -y, 0), (0, -y, z), (0, y, z), (0, y, 0)]),
    ]


def rib(name: str, side: int) -> PlanPart:
    """A rib as one web of sheet metal across the wall, its hole really left open."""
    near, far = sorted((side * WALL_Y, side * (WALL_Y - RIB_DEPTH)))
    low, high = HOLE_Z - RIB_DEPTH / 2, HOLE_Z + RIB_DEPTH / 2
    points: list[Point] = [(RIB_X, y, z) for z in (0.0, low, high, ROOF_Z) for y in (near, far)]
    faces: list[Triangle] = [(0, 1, 3), (0, 3, 2), (4, 5, 7), (4, 7, 6)]
    hole = rim(side)
    start = len(points)
    points.extend(hole)
    centre_y = side * HOLE_Y
    for _, y, z in hole:
        dy, dz = y - centre_y, z - HOLE_Z
        stretch = RIB_DEPTH / 2 / max(abs(dy), abs(dz))
        points.append((RIB_X, centre_y + dy * stretch, HOLE_Z + dz * stretch))
    outer = start + RIM_CORNERS
    for k in range(RIM_CORNERS):
        after = (k + 1) % RIM_CORNERS
        faces.append((start + k, outer + k, outer + after))
        faces.append((start + k, outer + after, start + after))
    corner_of = {(False, False): 2, (True, False): 3, (False, True): 4, (True, True): 5}
    for k in range(RIM_CORNERS):
        a, b = points[outer + k], points[outer + (k + 1) % RIM_CORNERS]
        if math.isclose(a[1], b[1]) or math.isclose(a[2], b[2]):
            continue
        upper = max(a[2], b[2]) > HOLE_Z
        outward = max(a[1], b[1]) > centre_y
        faces.append((outer + k, corner_of[(outward, upper)], outer + (k + 1) % RIM_CORNERS))
    return part(name, "member", points, faces)


def parts() -> tuple[PlanPart, ...]:
    """All named parts of the sample shell."""
    return (*skins(), rib("L1", 1), rib("R1", -1))
