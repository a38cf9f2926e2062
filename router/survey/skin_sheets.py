"""Which faces are the skins: the open sheets round the room, parted into left, right, roof, floor and bulkhead.

A wall ends and the roof begins at the fold under the roof-edge rail, where the shop's own presets and most vans have
their seam; where there is no such rail, where the sheet lies more than it stands.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ribway.router.shell.parts import Mesh, Points
from ribway.router.survey.metal_tree import MetalTree
from ribway.router.survey.repair import body_boxes
from ribway.router.survey.topology import Flags, Ints, Topology, regions

LEAST_M2 = 0.15
FLAT_RAD = np.radians(1.0)
SPAN_SHARE = 0.25
EDGE_RAIL_UP = 0.6
EDGE_RAIL_M = 0.30
REAR_SHARE = 0.1
RAIL_OFF_M = 0.15
COVERED = 0.6
LOOKS = 24
STEEP = 0.9
SKIN_NAMES = ("left", "right", "roof", "floor", "bulkhead")


@dataclass(frozen=True, eq=False)
class SkinFaces:
    """The faces of each skin.

    Args:
        faces: by skin name.
        body: which bodies they were taken from.
        folds: by side, the height of the fold between wall and roof; the tilt decided where it is missing [m].
    """

    faces: dict[str, Ints]
    body: set[int]
    folds: dict[str, float]


def find_skins(topology: Topology, body: Ints, sheets: set[int] | None = None) -> SkinFaces:
    """The skins among all faces.

    Args:
        topology: the mended mesh in the van's axes [m].
        body: of each face.
        sheets: the bodies that are skins, where that is known.

    Returns:
        Faces by skin; a skin that is not there is left out.
    """
    count = int(body.max()) + 1
    low, high = body_boxes(topology, body)
    area = np.bincount(body, weights=topology.areas, minlength=count)
    is_open = np.bincount(body, weights=(topology.twin.reshape(-1, 3) == -1).any(axis=1), minlength=count) > 0
    room_low, room_high = low.min(axis=0), high.max(axis=0)
    spans = (high - low) > SPAN_SHARE * (room_high - room_low)
    chosen = sheets or set(np.flatnonzero((area > LEAST_M2) & (spans.sum(axis=1) >= 2) & is_open).tolist())
    if not chosen:
        # Sheets with a thickness: of the closed bodies those that span the van, their inner faces only.
        chosen = set(np.flatnonzero((area > 2 * LEAST_M2) & (spans.sum(axis=1) >= 2)).tolist())
    mine = np.isin(body, sorted(chosen))
    if not mine.any():
        return SkinFaces({}, set(), {})
    tri = topology.mesh.vertices[topology.mesh.faces]
    middle = (tri[mine].min(axis=(0, 1)) + tri[mine].max(axis=(0, 1))) / 2
    closed = mine & ~is_open[body]
    centres = tri.mean(axis=1)
    inward = np.einsum("ij,ij->i", topology.normals, middle - centres)
    mine &= ~closed | (inward > 0)
    normal = topology.normals * np.where(inward < 0, -1.0, 1.0)[:, None]
    folds = _folds(topology, mine, low, high, room_low, room_high, sorted(set(range(count)) - chosen))
    which = _sorted_faces(topology, mine, normal, centres, folds, room_low, room_high)
    faces = {
        name: np.flatnonzero(mine & (which == k))
        for k, name in enumerate(SKIN_NAMES)
        if topology.areas[mine & (which == k)].sum() > LEAST_M2
    }
    return SkinFaces(faces, chosen, folds)


def _folds(
    topology: Topology, mine: Flags, low: Points, high: Points, room_low: Points, room_high: Points, others: list[int]
) -> dict[str, float]:
    """Height of the fold under each side's roof-edge rail: the one nearest to the rail's middle."""
    size = room_high - room_low
    middle = (room_low + room_high) / 2
    pair = topology.paired
    a, b = pair // 3, topology.twin[pair] // 3
    start, end = topology.mesh.vertices[topology.starts[pair]], topology.mesh.vertices[topology.ends[pair]]
    along = np.abs(end - start)[:, 0] > 0.95 * np.linalg.norm(end - start, axis=1)
    bend = np.abs(np.einsum("ij,ij->i", topology.normals[a], topology.normals[b])) < np.cos(FLAT_RAD)
    folded = mine[a] & mine[b] & along & bend
    at, length = ((start + end) / 2)[folded], np.linalg.norm(end - start, axis=1)[folded]
    # Between two sheets that only touch there is no pair: their own upper and lower edges serve as well.
    lone = np.flatnonzero((topology.twin < 0) & np.repeat(mine, 3))
    p, q = topology.mesh.vertices[topology.starts[lone]], topology.mesh.vertices[topology.ends[lone]]
    level = np.abs(q - p)[:, 0] > 0.95 * np.linalg.norm(q - p, axis=1)
    at = np.concatenate([at, ((p + q) / 2)[level]])
    length = np.concatenate([length, np.linalg.norm(q - p, axis=1)[level]])
    out: dict[str, float] = {}
    for side, sign in (("left", 1.0), ("right", -1.0)):
        best: tuple[float, float] | None = None
        for one in others:
            box, centre = high[one] - low[one], (high[one] + low[one]) / 2
            is_rail = box[0] > SPAN_SHARE * size[0] and max(box[1], box[2]) < EDGE_RAIL_M
            up = centre[2] > room_low[2] + EDGE_RAIL_UP * size[2]
            if not (is_rail and up and sign * (centre[1] - middle[1]) > 0.25 * size[1]):
                continue
            near = (np.abs(at[:, 1:] - centre[1:]) < box[1:] / 2 + 0.005).all(axis=1)
            if length[near].sum() < 0.3 * box[0]:
                continue
            levels = at[near, 2]
            heights, index = np.unique(np.round(levels, 3), return_inverse=True)
            long = np.bincount(index.reshape(-1), weights=length[near])
            heights = heights[long > 0.3 * box[0]]
            if len(heights):
                height = float(heights[np.argmin(np.abs(heights - centre[2]))])
                exact = float(np.median(levels[np.abs(levels - height) < 0.002]))
                if best is None or centre[2] > best[0]:
                    best = (float(centre[2]), exact)
        if best is not None:
            out[side] = best[1]
        else:
            up = (at[:, 2] > room_low[2] + EDGE_RAIL_UP * size[2]) & (sign * (at[:, 1] - middle[1]) > 0)
            covered = _covered_fold(topology, start[folded], end[folded], at[: int(folded.sum())], up, mine, middle)
            if covered is not None:
                out[side] = covered
    return out


def _covered_fold(
    topology: Topology, start: Points, end: Points, at: Points, up: Flags, mine: Flags, middle: Points
) -> float | None:
    """Height of the fold that metal runs along, where that metal is no body of its own [m].

    Args:
        topology: the mesh [m].
        start, end, at: ends and middles of the folds' edges [m].
        up: which of all edges are high enough, on the side in question.
        mine: faces of skins.
        middle: ``(3,)`` of the room [m].

    Returns:
        None if none is covered for the most part: bows alone cross every fold.
    """
    body = np.where(mine, 0, 1).astype(np.int64)
    metal = MetalTree(topology)
    best: tuple[float, float] | None = None
    chosen = np.flatnonzero(up[: len(at)])
    levels = np.round(at[chosen, 2], 2)
    for level in np.unique(levels):
        edges = chosen[levels == level]
        looks = hits = 0
        for k in edges.tolist():
            for share in np.arange(0.5 / LOOKS, 1.0, 1.0 / LOOKS):
                spot = start[k] + share * (end[k] - start[k])
                inward = np.array([0.0, middle[1] - spot[1], middle[2] - spot[2]])
                inward = inward / np.linalg.norm(inward)
                looks += 1
                hits += not metal.is_free((spot + 0.002 * inward)[None], (spot + RAIL_OFF_M * inward)[None], body, 1)
        if looks and hits > COVERED * looks and (best is None or hits / looks > best[0]):
            best = (hits / looks, float(np.median(at[edges, 2])))
    return None if best is None else best[1]


def _sorted_faces(
    topology: Topology,
    mine: Flags,
    normal: Points,
    centres: Points,
    folds: dict[str, float],
    room_low: Points,
    room_high: Points,
) -> Ints:
    """Which skin each face is of, by position in ``SKIN_NAMES``; -1 for none. Flat pieces are kept whole."""
    piece = regions(topology, FLAT_RAD)
    pieces, own = np.unique(piece[mine], return_inverse=True)
    own = own.reshape(-1)
    weight = topology.areas[mine]
    total = np.maximum(np.bincount(own, weights=weight), 1e-300)

    def mean(values: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.stack([np.bincount(own, weights=column * weight) / total for column in values.T], axis=1)

    n, c = mean(normal[mine]), mean(centres[mine])
    size, middle = room_high - room_low, (room_low + room_high) / 2
    tri = topology.mesh.vertices[topology.mesh.faces[mine]]
    z_low = np.full(len(pieces), np.inf)
    np.minimum.at(z_low, own, tri[:, :, 2].min(axis=1))
    skin = np.full(len(pieces), -1, dtype=np.int64)
    front = (n[:, 0] < -STEEP) & (c[:, 0] > room_high[0] - REAR_SHARE * size[0])
    rear = np.abs(n[:, 0]) > STEEP
    floor = (n[:, 2] > 0.7) & (c[:, 2] < middle[2])
    skin[floor & ~rear] = 3
    skin[front] = 4
    rest = ~floor & ~rear & ~front
    for k, (side, sign) in enumerate((("left", 1.0), ("right", -1.0))):
        on_side = rest & (sign * (c[:, 1] - middle[1]) > 0)
        by_tilt = (n[:, 2] < -0.707) & (c[:, 2] > middle[2])
        is_roof = z_low > folds[side] - 0.004 if side in folds else by_tilt
        skin[on_side & ~is_roof] = k
        skin[on_side & is_roof] = 2
    skin[rest & (n[:, 2] < -0.9) & (c[:, 2] > middle[2])] = 2
    out = np.full(len(topology.areas), -1, dtype=np.int64)
    out[mine] = skin[own]
    return out


def sub_mesh(topology: Topology, faces: Ints) -> Mesh:
    """Some faces as a mesh of their own.

    Args:
        topology: of the whole.
        faces: which.
    """
    used, index = np.unique(topology.mesh.faces[faces], return_inverse=True)
    return Mesh(topology.mesh.vertices[used], index.reshape(-1, 3).astype(np.int32))
