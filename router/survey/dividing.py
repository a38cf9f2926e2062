"""A body of ribs, bows and rails grown together, parted into single members by the strips that they cover of the skins.

Where a sill or a roof-edge rail crosses a rib the metal is the rail's; where a rail crosses a rib half-way up, the rib's. What
lies in no strip (a wheel arch) is told apart by what hangs together.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ribway.router.shell.parts import Mesh, Points
from ribway.router.survey.near_skins import NearSkin
from ribway.router.survey.strips import Lie, SheetName, Strips, inside_any, lie_of, strips_on
from ribway.router.survey.topology import Flags, Ints, Topology, labels, topology_of

FOOT_M = 0.05
"""A row that begins so near the edge of a skin is its edge's: the sill, the roof-edge rail."""
LEAST_COLUMNS = 2
EDGES, BOWS, RIBS, ROWS, LOOSE = (10, 11, 12, 13), 20, 200, 1000, 10_000
"""Numbers of members: sills and roof-edge rails by side, bows, ribs, other rails, pieces that lie in no strip."""
BESIDE_M = 0.012
"""How far a rail's slanting or rounded side goes on beyond its strip."""
ON_PLANE_M = 1e-4
SPLINTER_M = 0.005
"""What is thinner lay beside a cut and is no part of its own."""


@dataclass(frozen=True, eq=False)
class Divided:
    """A mesh of which a body was divided.

    Args:
        mesh: the same faces, those that lay over a border shrunk to one side of it, the rest of them behind all others.
        body: ``(m,)`` of each face.
        member_at: the body in whose strip a point lies, of ``(n, 3)`` points [m]; -1 for those in none.
    """

    mesh: Mesh
    body: Ints
    member_at: Callable[[Points], Ints]


@dataclass(frozen=True, eq=False)
class _Zone:
    """A skin with its strips: which rows are the sill's and the roof-edge rail's."""

    name: SheetName
    side: str
    lie: Lie
    strips: Strips
    reach_m: float


def divided(topology: Topology, body: Ints, number: int, skins: Mapping[str, Mesh]) -> Divided | None:
    """Part a body into members.

    Args:
        topology: a mended mesh in the van's axes [m].
        body: of each face.
        number: the body to part.
        skins: by name [m].

    Returns:
        None where no ribs are told apart.
    """
    mine = np.flatnonzero(body == number)
    zones = _zones(topology, mine, skins)
    if max((len(zone.strips.columns) for zone in zones), default=0) < LEAST_COLUMNS:
        return None
    everything = np.concatenate([mesh.vertices for mesh in skins.values()])
    middle = (everything.min(axis=0) + everything.max(axis=0)) / 2
    near = {name: NearSkin(mesh, middle) for name, mesh in skins.items() if name != "bulkhead"}
    mesh, origin = topology.mesh, np.arange(len(body))
    centres = mesh.vertices[mesh.faces[mine]].mean(axis=1)
    for zone, over in zip(zones, _over(centres, zones, near, middle), strict=True):
        cuts = [(np.array([1.0, 0.0, 0.0]), end) for column in zone.strips.columns for end in column]
        cuts += [zone.lie.plane(end) for row in zone.strips.rows for end in row]
        here = np.zeros(len(body), dtype=bool)
        here[mine[over]] = True
        for normal, offset in cuts:
            mesh, origin = _cut(mesh, origin, np.flatnonzero(here[origin]), normal, offset)
    own = np.flatnonzero(body[origin] == number)
    label = np.full(len(origin), -2, dtype=np.int64)
    label[own] = _labelled(mesh.vertices[mesh.faces[own]].mean(axis=1), zones, near, middle)
    label = _with_splinters(topology_of(mesh), label)
    fresh = int(body.max()) + 1
    kinds, of = np.unique(label[own], return_inverse=True)
    out = body[origin].copy()
    out[own] = np.where(of.reshape(-1) == 0, number, fresh - 1 + of.reshape(-1))
    numbers = {int(kind): number if k == 0 else fresh - 1 + k for k, kind in enumerate(kinds)}

    def member_at(points: Points) -> Ints:
        codes = _labelled(points, zones, near, middle)
        return np.array([numbers.get(code, -1) if code >= 0 else -1 for code in codes.tolist()], dtype=np.int64)

    return Divided(mesh, out, member_at)


def _with_splinters(cut: Topology, label: Ints) -> Ints:
    """Labels in which what lies in no strip has one for each piece, or that of its neighbours where it is a splinter."""
    rest = label == -1
    pair = cut.paired
    a, b = pair // 3, cut.twin[pair] // 3
    both = rest[a] & rest[b]
    piece = labels(len(label), a[both], b[both])
    out = label.copy()
    tri = cut.mesh.vertices[cut.mesh.faces]
    beside: dict[int, list[int]] = {}
    for one, other in ((a, b), (b, a)):
        edge = rest[one] & (label[other] >= 0)
        for which, code in zip(piece[one[edge]].tolist(), label[other[edge]].tolist(), strict=True):
            beside.setdefault(which, []).append(code)
    for number, which in enumerate(np.unique(piece[rest]).tolist()):
        faces = np.flatnonzero((piece == which) & rest)
        size = np.ptp(tri[faces].reshape(-1, 3), axis=0)
        codes = beside.get(which, [])
        is_splinter = float(np.sort(size)[0]) < SPLINTER_M or float(size.max()) < 10 * SPLINTER_M
        rails = [code for code in codes if code in EDGES or code >= ROWS]
        codes = rails or codes
        out[faces] = max(sorted(set(codes)), key=codes.count) if codes and is_splinter else LOOSE + number
    return out


def _zones(topology: Topology, mine: Ints, skins: Mapping[str, Mesh]) -> list[_Zone]:
    tri = topology.mesh.vertices[topology.mesh.faces[mine]]
    everything = np.concatenate([mesh.vertices for mesh in skins.values()])
    middle = (everything.min(axis=0) + everything.max(axis=0)) / 2
    near = {name: NearSkin(mesh, middle) for name, mesh in skins.items() if name != "bulkhead"}
    names = list(near)
    gaps = np.stack([np.abs(near[name].signed(tri.mean(axis=1))) for name in names])
    nearest = np.argmin(gaps, axis=0)
    out = []
    sheets: tuple[tuple[SheetName, str], ...] = (
        ("left", "left"), ("right", "right"), ("roof", "left"), ("roof", "right"), ("floor", "left"), ("floor", "right"),
    )  # fmt: skip
    for name, side in sheets:
        if name not in near:
            continue
        chosen = nearest == names.index(name)
        all_points = np.concatenate([skins[name].vertices, tri[chosen].reshape(-1, 3)])
        lie = lie_of(all_points, name, 1.0 if side == "left" else -1.0)
        reach = float(lie.across(all_points).max()) / (1 if lie.up == 2 else 2)
        strips = strips_on(
            skins[name], tri[chosen], topology.normals[mine[chosen]], topology.areas[mine[chosen]], lie, reach
        )
        if name == "floor":
            strips = Strips((), strips.rows)
        out.append(_Zone(name, side, lie, strips, reach))
    return out


def _over(centres: Points, zones: list[_Zone], near: Mapping[str, NearSkin], middle: Points) -> list[Flags]:
    """For each zone, which faces lie over its skin, on its side."""
    names = list(near)
    nearest = np.argmin(np.stack([np.abs(near[name].signed(centres)) for name in names]), axis=0)
    left = centres[:, 1] > middle[1]
    out = []
    for zone in zones:
        own = nearest == names.index(zone.name)
        out.append(np.asarray(own if zone.lie.up == 2 else own & (left if zone.side == "left" else ~left)))
    return out


def _labelled(centres: Points, zones: list[_Zone], near: Mapping[str, NearSkin], middle: Points) -> Ints:
    """``(n,)`` member of each face, by zone and strip; -1 for what lies in none."""
    out = np.full(len(centres), -1, dtype=np.int64)
    first_roof = next((zone.strips.columns for zone in zones if zone.name == "roof"), ())
    for zone, over in zip(zones, _over(centres, zones, near, middle), strict=True):
        here = np.flatnonzero(over)
        height = zone.lie.across(centres[here])
        row = inside_any(height, zone.strips.rows)
        column = inside_any(centres[here, 0], zone.strips.columns)
        if zone.name == "roof":
            column = _matched(centres[here, 0], first_roof, column)
            out[here] = np.where(column >= 0, BOWS + column, -1)
        else:
            column[_stands_off(np.abs(near[zone.name].signed(centres[here])), column, height / zone.reach_m)] = -1
            out[here] = np.where(column >= 0, (RIBS if zone.side == "left" else 2 * RIBS) + column, -1)
        side = 0 if zone.side == "left" else 1
        for number, (low, high) in enumerate(zone.strips.rows):
            edge = _edge_of(zone, low, high)
            code = {"sill": 10, "edge": 12}.get(edge, ROWS + 100 * zones.index(zone) + number) + (side if edge else 0)
            wins = bool(edge) and zone.name != "roof"
            out[here[(row == number) & ((column < 0) | wins)]] = code
            beside = (height > low - BESIDE_M) & (height < high + BESIDE_M)
            out[here[beside & (out[here] < 0)]] = code
    return out


def _stands_off(gap: NDArray[np.float64], column: Ints, share: NDArray[np.float64]) -> Flags:
    """What stands further off the wall than the ribs do half-way up: a wheel arch below a rib."""
    usual = gap[(column >= 0) & (share > 0.35) & (share < 0.75)]
    return np.asarray((column >= 0) & (gap > (float(usual.max()) if len(usual) else np.inf) + SPLINTER_M))


def _matched(x: Points, columns: tuple[tuple[float, float], ...], column: Ints) -> Ints:
    """Columns of the roof's other half by the numbers of the first half, where they lie over each other."""
    same = inside_any(np.asarray(x), columns)
    return np.where(column < 0, -1, np.where(same >= 0, same, column + 100))


def _edge_of(zone: _Zone, low: float, high: float) -> str:
    """``sill`` or ``edge`` for a row along the fold to the next skin; empty for others."""
    if zone.name == "floor":
        return "sill" if low < FOOT_M else ""
    if zone.name == "roof":
        return "edge" if low < FOOT_M else ""
    if low < FOOT_M:
        return "sill"
    return "edge" if high > zone.reach_m - FOOT_M else ""


def _cut(mesh: Mesh, origin: Ints, own: Ints, normal: Points, offset: float) -> tuple[Mesh, Ints]:
    """Some faces cut along a plane; corners on a shared edge are shared."""
    faces = mesh.faces[own].astype(np.int64)
    height = mesh.vertices @ normal - offset
    side = np.where(np.abs(height) < ON_PLANE_M, 0, np.sign(height)).astype(np.int64)
    over = side[faces]
    crossed = np.flatnonzero((over.min(axis=1) < 0) & (over.max(axis=1) > 0))
    if not len(crossed):
        return mesh, origin
    points: list[Points] = []
    made: dict[tuple[int, int], int] = {}

    def between(a: int, b: int) -> int:
        key = (min(a, b), max(a, b))
        if key not in made:
            share = height[key[0]] / (height[key[0]] - height[key[1]])
            made[key] = len(mesh.vertices) + len(points)
            points.append(mesh.vertices[key[0]] + share * (mesh.vertices[key[1]] - mesh.vertices[key[0]]))
        return made[key]

    changed = mesh.faces.astype(np.int64).copy()
    extra: list[list[int]] = []
    sources: list[int] = []
    for which in crossed.tolist():
        corners = faces[which].tolist()
        halves: dict[int, list[int]] = {-1: [], 1: []}
        for k in range(3):
            a, b = corners[k], corners[(k + 1) % 3]
            for sign in (-1, 1):
                if side[a] in (sign, 0):
                    halves[sign].append(a)
            if side[a] * side[b] < 0:
                cut = between(a, b)
                halves[-1].append(cut)
                halves[1].append(cut)
        pieces = [[half[0], half[k], half[k + 1]] for half in halves.values() for k in range(1, len(half) - 1)]
        changed[own[which]] = pieces[0]
        extra += pieces[1:]
        sources += [int(origin[own[which]])] * (len(pieces) - 1)
    vertices = np.concatenate([mesh.vertices, np.array(points).reshape(-1, 3)])
    whole = np.concatenate([changed, np.array(extra, dtype=np.int64).reshape(-1, 3)])
    return Mesh(vertices, whole.astype(np.int32)), np.concatenate([origin, np.array(sources, dtype=np.int64)])
