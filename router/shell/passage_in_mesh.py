"""The line of a passage through a hole that is really there in a member's mesh."""

from __future__ import annotations

import itertools

import numpy as np

from ribway.router.shell.dimensions import CLEAR_M
from ribway.router.shell.errors import ShellError
from ribway.router.shell.parts import Mesh, Points
from ribway.router.shell.solids import ring_at

REACH_M = 0.15
"""How far from a hole's centre metal is looked for along its axis."""

EDGE_M = 0.003
"""How far outside a hole's rim metal is looked for, and how far inside it none may be."""


def slot_grain(axis: Points) -> Points:
    """Direction in which a slot is long if nobody says: upright, or along the van where the axis is upright."""
    return np.array([1.0, 0.0, 0.0]) if abs(axis[2]) > 0.7 else np.array([0.0, 0.0, 1.0])


def line_through(
    name: str, metal: Mesh, centre: Points, axis: Points, ring: Points, grain: Points, path: Points | None
) -> tuple[Points, Points]:
    """The passage's polyline from mouth to mouth and where its first wall begins.

    Along the axis from the centre both ways, until clear of the metal round the hole; metal inside the hole is a fault.

    Args:
        name: of the opening, for messages.
        metal: the member's mesh.
        centre: ``(3,)`` on the hole's axis [m].
        axis: ``(3,)`` unit direction.
        ring: ``(r, 2)`` the hole's outline [m].
        grain: ``(3,)`` direction of the outline's u.
        path: ``(k, 3)`` the whole passage where it has corners, else None [m].

    Returns:
        ``(k, 3)`` line and ``(3,)`` centre of the hole in the first wall [m].

    Raises:
        ShellError: no metal round the hole, or metal in its way.
    """
    outer = _grown(ring, EDGE_M)
    inner = np.concatenate([np.zeros((1, 2)), _grown(ring, -min(EDGE_M, float(np.abs(ring[:, 1]).max()) / 4))])
    if path is not None:
        line = np.asarray(path, dtype=np.float64)
        if line.ndim != 2 or line.shape[1] != 3 or len(line) < 2 or not np.isfinite(line).all():
            raise ShellError(f"opening '{name}': its path is no list of two or more finite points")
        for a, b in itertools.pairwise(line):
            long = float(np.linalg.norm(b - a))
            if long < 1e-9:
                raise ShellError(f"opening '{name}': its path holds {a} twice; accepted are points apart")
            if len(hits(metal, a[None, :], (b - a) / long, long)):
                raise ShellError(f"opening '{name}': its path from {a} to {b} runs into the member's metal; correct it")
        first = (line[1] - line[0]) / np.linalg.norm(line[1] - line[0])
        found = hits(metal, ring_at(outer, line[0], first, grain), first, float(np.linalg.norm(line[1] - line[0])))
        start = float(found.min()) if len(found) else 0.0
        return line, np.asarray(line[0] + start * first, dtype=np.float64)
    back = np.asarray(centre, dtype=np.float64) - REACH_M * axis
    blocked = hits(metal, ring_at(inner, back, axis, grain), axis, 2 * REACH_M)
    round_it = hits(metal, ring_at(outer, back, axis, grain), axis, 2 * REACH_M)
    if len(round_it) == 0:
        raise ShellError(
            f"opening '{name}': there is no metal of its member round {np.round(centre, 4)} along {np.round(axis, 3)}; "
            "correct centre, axis or size"
        )
    low, high = float(round_it.min()), float(round_it.max())
    if ((blocked > low - CLEAR_M) & (blocked < high + CLEAR_M)).any():
        raise ShellError(
            f"opening '{name}': the mesh has metal where the hole at {np.round(centre, 4)} should be; correct centre, "
            "axis or size, or cut the hole into the mesh"
        )
    ends = np.stack([back + (low - CLEAR_M) * axis, back + (high + CLEAR_M) * axis])
    return ends, np.asarray(back + low * axis, dtype=np.float64)


def _grown(ring: Points, by_m: float) -> Points:
    """An outline about the origin with each corner moved outwards; slots keep their straight middle."""
    half = float(np.abs(ring[:, 1]).max())
    straight = float(np.abs(ring[:, 0]).max()) - half
    core = np.column_stack([np.clip(ring[:, 0], -max(straight, 0.0), max(straight, 0.0)), np.zeros(len(ring))])
    return np.asarray(core + (ring - core) * (half + by_m) / half, dtype=np.float64)


def hits(metal: Mesh, origins: Points, axis: Points, reach_m: float) -> Points:
    """Where parallel rays meet a mesh.

    Args:
        metal: the mesh.
        origins: ``(n, 3)`` [m].
        axis: ``(3,)`` unit direction of all rays.
        reach_m: length of the rays [m].

    Returns:
        ``(k,)`` distances from the origins of all hits of all rays [m].
    """
    side = np.cross(axis, np.eye(3)[int(np.argmin(np.abs(axis)))])
    side = side / np.linalg.norm(side)
    frame = np.stack([side, np.cross(axis, side), axis])
    corners, starts = metal.vertices @ frame.T, origins @ frame.T
    tri = corners[metal.faces]
    low, high = starts.min(axis=0), starts.max(axis=0) + np.array([0.0, 0.0, reach_m])
    tri = tri[(tri.min(axis=1) <= high).all(axis=1) & (tri.max(axis=1) >= low).all(axis=1)]
    a, b, c = tri[None, :, 0], tri[None, :, 1], tri[None, :, 2]
    p = starts[:, None, :]

    def turn(u: Points, v: Points, w: Points) -> Points:
        return np.asarray(
            (v[..., 0] - u[..., 0]) * (w[..., 1] - u[..., 1]) - (v[..., 1] - u[..., 1]) * (w[..., 0] - u[..., 0])
        )

    whole = turn(a, b, c)
    flat = np.abs(whole) > 1e-15
    safe = np.where(flat, whole, 1.0)
    wa, wb, wc = turn(p, b, c) / safe, turn(a, p, c) / safe, turn(a, b, p) / safe
    inside = flat & (wa >= -1e-9) & (wb >= -1e-9) & (wc >= -1e-9)
    depth = wa * a[..., 2] + wb * b[..., 2] + wc * c[..., 2] - p[..., 2]
    return np.asarray(depth[inside & (depth >= 0) & (depth <= reach_m)], dtype=np.float64)
