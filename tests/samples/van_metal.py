"""An invented van's shell for pictures: a box with hollow ribs, roof bows, roof rails and wheel arches, holes cut.

Frame as everywhere: x forward, y left, z up [m]; the cargo floor runs from x = 0 back to x = -LENGTH.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import shapely

from ribway.models.plan.shell import PlanPart
from samples.curves import Point
from samples.metal import Triangle, part

LENGTH = 3.6
WALL_Y = 0.89
ROOF_Z = 1.9
RAIL_Z = 1.80
DEPTH = 0.05
WIDTH = 0.06
OFF = 0.025
RIBS = (-0.6, -1.2, -1.8, -2.4, -3.0)
ROWS = {"a": 0.40, "b": 0.95, "c": 1.45}
BOW_ROWS = {"a": 0.6, "b": 0.3, "c": 0.0, "d": -0.3, "e": -0.6}
RAIL_X = (-0.3, -0.9, -1.5, -2.1, -2.7, -3.3)
BORE = 0.030
RIM_CORNERS = 24
Flat = tuple[float, float]


def rim(u: float, v: float, radius: float = BORE / 2) -> list[Flat]:
    """Corners of a round hole whose clear circle has the radius."""
    reach = radius / math.cos(math.pi / RIM_CORNERS)
    return [
        (u + reach * math.cos(2 * math.pi * k / RIM_CORNERS), v + reach * math.sin(2 * math.pi * k / RIM_CORNERS))
        for k in range(RIM_CORNERS)
    ]


def _sheet(outline: Sequence[Flat], holes: Sequence[Sequence[Flat]]) -> tuple[list[Flat], list[Triangle]]:
    """A flat sheet with holes as triangles."""
    points: list[Flat] = []
    faces: list[Triangle] = []
    for piece in shapely.constrained_delaunay_triangles(shapely.Polygon(outline, holes)).geoms:
        corners = shapely.get_coordinates(piece)[:3]
        faces.append((len(points), len(points) + 1, len(points) + 2))
        points.extend((float(u), float(v)) for u, v in corners)
    return points, faces


def _box(low: Point, high: Point) -> tuple[list[Point], list[Triangle]]:
    points: list[Point] = [(x, y, z) for x in (low[0], high[0]) for y in (low[1], high[1]) for z in (low[2], high[2])]
    quads = [(0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3)]
    return points, [t for a, b, c, d in quads for t in ((a, b, c), (a, c, d))]


def _rib(name: str, x: float, side: int) -> PlanPart:
    """Two webs with their rows of holes, and the cap between them."""
    near, far = sorted((side * WALL_Y, side * (WALL_Y - DEPTH)))
    outline = [(near, 0.0), (far, 0.0), (far, RAIL_Z), (near, RAIL_Z)]
    flat, web = _sheet(outline, [rim(side * (WALL_Y - OFF), z) for z in ROWS.values()])
    points: list[Point] = []
    faces: list[Triangle] = []
    for at in (x + WIDTH / 2, x - WIDTH / 2):
        faces += [(a + len(points), b + len(points), c + len(points)) for a, b, c in web]
        points += [(at, u, v) for u, v in flat]
    cap = side * (WALL_Y - DEPTH)
    start = len(points)
    points += [(x + s * WIDTH / 2, cap, z) for s, z in ((1, 0.0), (1, RAIL_Z), (-1, RAIL_Z), (-1, 0.0))]
    return part(name, "member", points, [*faces, (start, start + 1, start + 2), (start, start + 2, start + 3)])


def _bow(name: str, x: float) -> PlanPart:
    half = WALL_Y - 0.09
    outline = [(-half, ROOF_Z - DEPTH), (half, ROOF_Z - DEPTH), (half, ROOF_Z), (-half, ROOF_Z)]
    flat, web = _sheet(outline, [rim(y, ROOF_Z - OFF) for y in BOW_ROWS.values()])
    return part(name, "member", [(x, u, v) for u, v in flat], web)


def _rail(name: str, side: int) -> PlanPart:
    near, far = sorted((side * WALL_Y, side * (WALL_Y - DEPTH)))
    outline = [(0.0, near), (-LENGTH, near), (-LENGTH, far), (0.0, far)]
    flat, sheet = _sheet(outline, [rim(x, side * (WALL_Y - OFF)) for x in RAIL_X])
    return part(name, "member", [(u, v, RAIL_Z) for u, v in flat], sheet)


def _skins() -> list[PlanPart]:
    x, y, z = -LENGTH, WALL_Y, ROOF_Z
    quads: dict[str, list[Point]] = {
        "floor": [(0, -y, 0), (0, y, 0), (x, y, 0), (x, -y, 0)],
        "roof": [(0, -y, z), (x, -y, z), (x, y, z), (0, y, z)],
        "left": [(0, y, 0), (0, y, z), (x, y, z), (x, y, 0)],
        "right": [(0, -y, 0), (x, -y, 0), (x, -y, z), (0, -y, z)],
        "bulkhead": [(0, -y, 0), (0, -y, z), (0, y, z), (0, y, 0)],
    }
    return [part(name, "skin", corners, [(0, 1, 2), (0, 2, 3)]) for name, corners in quads.items()]


def parts() -> tuple[PlanPart, ...]:
    """All named parts of the invented van."""
    ribs = [_rib(f"{n}{i + 1}", x, side) for n, side in (("L", 1), ("R", -1)) for i, x in enumerate(RIBS)]
    bows = [_bow(f"B{i + 1}", x) for i, x in enumerate(RIBS)]
    rails = [_rail("LE", 1), _rail("RE", -1)]
    arches = [
        part(
            f"arch-{n}",
            "obstacle",
            *_box((-2.75, min(s * 0.66, s * WALL_Y), 0.0), (-2.05, max(s * 0.66, s * WALL_Y), 0.3)),
        )
        for n, s in (("left", 1), ("right", -1))
    ]
    return (*_skins(), *ribs, *bows, *rails, *arches)
