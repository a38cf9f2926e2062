"""Rings: closed loops in which a surface ends round a hole, as it does at a hole's rim.

A loop of a region's border whose area vector looks against the region's own normals beside it runs round a hole in that
region; the outer border's area vector looks along them.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from ribway.router.shell.parts import Points
from ribway.router.survey.calming import evened
from ribway.router.survey.slivers import calmed
from ribway.router.survey.topology import Flags, Ints, Loops, Topology, border_loops, in_order, regions

CREASES_RAD = (np.radians(8.0), np.radians(35.0))
"""Flat plates first, so that rounded rims end them; then gentle curves, so that bent sheets have rims too."""
AGAINST = -0.6
"""Cosine between area vector and normals below which a loop faces against its own side."""
LEAST_ROUNDNESS = 0.05
SMALLEST_M = 0.003
LARGEST_M = 6.0


@dataclass(frozen=True, eq=False)
class Ring:
    """One rim.

    Args:
        edges: half-edges in order; their faces lie on the plate's side.
        points: ``(k, 3)`` corners in order [m].
        centre: ``(3,)`` area centroid [m].
        normal: ``(3,)`` unit, of the plate round it, out of the metal.
        area_m2: that it encloses.
        plate_m2: area of the plate's own region round it; how much land there is.
        kind: ``rim`` where the surface turns into the hole, ``edge`` where an open sheet just ends.
    """

    edges: Ints
    points: Points
    centre: Points
    normal: Points
    area_m2: float
    plate_m2: float
    kind: Literal["rim", "edge"]


def find_rings(topology: Topology, wavers: bool = False) -> list[Ring]:
    """All rims of holes in plates, hollow sections and open sheets.

    Args:
        topology: a mended mesh [m].
        wavers: whether its vertices are noisy, so that its normals have to be evened out first.

    Returns:
        Rims; no two share a half-edge.
    """
    out: list[Ring] = []
    topology = evened(topology) if wavers else calmed(topology)
    taken = np.zeros(len(topology.twin), dtype=bool)
    for crease in CREASES_RAD:
        region = regions(topology, crease)
        across = np.where(topology.twin >= 0, region[topology.twin // 3], -1)
        border = across != np.repeat(region, 3)
        border |= topology.turned
        loops = border_loops(topology, border)
        land = np.asarray(np.bincount(region, weights=topology.areas), dtype=np.float64)
        for ring in _rings_of(topology, loops, taken, land[region], "rim"):
            taken[ring.edges] = True
            out.append(replace(ring, normal=_own_normal(ring)) if wavers else ring)
    loops = border_loops(topology, topology.twin < 0)
    land = np.full(len(topology.areas), float(topology.areas.sum()))
    return out + _rings_of(topology, loops, taken, land, "edge")


def _own_normal(ring: Ring) -> Points:
    """The normal of the plane that the rim itself lies in: truer than its plate's where faces were evened out."""
    a = ring.points - ring.centre
    vector = np.cross(a, np.roll(a, -1, axis=0)).sum(axis=0)
    return np.asarray(-vector / np.linalg.norm(vector))


def _rings_of(
    topology: Topology, loops: Loops, taken: Flags, land_m2: NDArray[np.float64], kind: Literal["rim", "edge"]
) -> list[Ring]:
    if loops.count == 0:
        return []
    a = topology.mesh.vertices[topology.starts[loops.edges]]
    b = topology.mesh.vertices[topology.ends[loops.edges]]
    long = np.linalg.norm(b - a, axis=1)

    def per_loop(values: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.stack([np.bincount(loops.loop, weights=column, minlength=loops.count) for column in values.T], axis=1)

    around = per_loop(long[:, None])[:, 0]
    middle = per_loop((a + b) / 2 * long[:, None]) / np.maximum(around, 1e-300)[:, None]
    vector = per_loop(np.cross(a - middle[loops.loop], b - middle[loops.loop])) / 2
    beside = per_loop(topology.normals[loops.edges // 3] * long[:, None]) / np.maximum(around, 1e-300)[:, None]
    area, firm = np.linalg.norm(vector, axis=1), np.linalg.norm(beside, axis=1)
    with np.errstate(divide="ignore", invalid="ignore"):
        cosine = np.einsum("ij,ij->i", vector, beside) / (area * firm)
        roundness = 4 * np.pi * area / around**2
        thick = 2 * area / around  # half the width of a long slot, a quarter of a round hole's
    count = np.bincount(loops.loop, minlength=loops.count)
    used = np.bincount(loops.loop, weights=taken[loops.edges], minlength=loops.count) > 0
    good = (cosine < AGAINST) & (roundness > LEAST_ROUNDNESS) & (count >= 3) & ~used & (firm > 0.5)
    good &= (thick > SMALLEST_M / 4) & (around < np.pi * LARGEST_M)
    if kind == "rim":
        # Where the sheet itself ends it is an edge, and found as one.
        good &= np.bincount(loops.loop, weights=topology.twin[loops.edges] < 0, minlength=loops.count) == 0
    chosen = np.flatnonzero(good)
    out = []
    for which, edges in zip(chosen.tolist(), in_order(loops, chosen), strict=True):
        points = topology.mesh.vertices[topology.starts[edges]]
        normal = beside[which] / firm[which]
        centre = _centroid(points, middle[which], vector[which])
        out.append(Ring(edges, points, centre, normal, float(area[which]), float(land_m2[edges[0] // 3]), kind))
    return out


def _centroid(points: Points, middle: Points, vector: Points) -> Points:
    """Area centroid of a loop that is about flat."""
    a, b = points - middle, np.roll(points, -1, axis=0) - middle
    weight = np.cross(a, b) @ vector / 2
    total = float(weight.sum())
    return np.asarray(middle + ((a + b) / 3 * weight[:, None]).sum(axis=0) / total)
