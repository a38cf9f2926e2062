"""No cable in a keep-out: legs are looked at from the skin that the keep-out lies on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ribway.models.plan.results import Finding, PlanLeg
from ribway.models.plan.shell import PlanKeepOut, Point
from ribway.router.audit.book import Book
from ribway.router.audit.findings import error
from ribway.router.audit.given import is_sketch
from ribway.router.audit.meshes import triangles_of
from ribway.router.audit.polylines import as_line

Array = NDArray[np.float64]
PLAY_M: Final = 0.001
STEP_M: Final = 0.004
NEAR_SKIN_M: Final = 0.15
"""A duct or crossing further off the skin than this is not on it."""


def check_keep_outs(book: Book) -> Iterator[Finding]:
    """Every leg on a wall against every keep-out on that wall, whose outline already holds its margin."""
    skins = {part.name: part for part in book.plan.parts if part.kind == "skin"}
    for keep_out in book.plan.keep_outs:
        if len(keep_out.outline) < 3:
            continue
        part = skins.get(keep_out.wall) or skins.get(f"{keep_out.wall} skin")
        skin = triangles_of(part) if part is not None else None
        users: dict[tuple[str, tuple[Point, ...]], list[tuple[str, PlanLeg]]] = {}
        for run in book.plan.runs:
            for leg in run.legs:
                if _on(book, leg, keep_out):
                    users.setdefault((leg.name, leg.points), []).append((run.id, leg))
        lines = [as_line(points) for _, points in users]
        for depth, owners in zip(_depths_m(lines, as_line(keep_out.outline), skin), users.values(), strict=True):
            for run_id, leg in owners if depth > PLAY_M else ():
                yield error(
                    "in-keep-out", run_id,
                    f"its {leg.kind} {leg.name} lies {depth * 1000:.1f} mm inside keep-out {keep_out.id} "
                    f"({keep_out.why}), margin of {keep_out.margin_mm:g} mm included",
                )  # fmt: skip


def _view(outline: Array) -> NDArray[np.int64]:
    """The two axes that remain when the outline is looked at along the axis its plane faces most (Newell's normal)."""
    after = np.roll(outline, -1, axis=0)
    normal = np.cross(outline - outline.mean(axis=0), after - outline.mean(axis=0)).sum(axis=0)
    return np.delete(np.arange(3), int(np.abs(normal).argmax()))


def _on(book: Book, leg: PlanLeg, keep_out: PlanKeepOut) -> bool:
    """Whether a leg is on the keep-out's wall; of ducts and crossings the plan does not say, so their place decides."""
    if is_sketch(leg):
        return False  # its ends are those of the legs beside it
    if leg.kind == "bay":
        return book.bay_walls[leg.name] == keep_out.wall
    if leg.kind == "stub":
        return leg.name in book.devices and book.devices[leg.name].wall == keep_out.wall
    passage = book.passages.get(leg.name)
    return passage is not None and passage.wall in ("", keep_out.wall)


def _depths_m(lines: Sequence[Array], outline: Array, skin: Array | None) -> list[float]:
    """How deep each line lies inside an outline [m], 0 if it stays out: both seen as they lie on the skin."""
    low, high = outline.min(axis=0) - NEAR_SKIN_M, outline.max(axis=0) + NEAR_SKIN_M
    pieces = [_dense(line, low, high) for line in lines]
    owner = np.repeat(np.arange(len(pieces)), [len(piece) for piece in pieces])
    depths = np.zeros(len(lines))
    if not len(owner):
        return depths.tolist()
    dense = np.vstack(pieces)
    if skin is not None and len(skin):
        foot = _foot(dense, skin)
        near = np.linalg.norm(dense - foot, axis=1) <= NEAR_SKIN_M
        dense, owner = foot[near], owner[near]
    kept = _view(outline)
    flat, ring = dense[:, kept], outline[:, kept]
    boxed = ((flat >= ring.min(axis=0)) & (flat <= ring.max(axis=0))).all(axis=1)
    flat, dense, owner = flat[boxed], dense[boxed], owner[boxed]
    within = _inside(flat, ring)
    np.maximum.at(depths, owner[within], _to_edges(dense[within], outline))
    return depths.tolist()


def _dense(line: Array, low: Array, high: Array) -> Array:
    """Points every few millimetres along the straights that touch a box, `(n, 3)` [m]."""
    points = [np.zeros((0, 3))]
    for start, end in pairwise(line):
        if (np.maximum(start, end) >= low).all() and (np.minimum(start, end) <= high).all():
            count = max(1, int(np.ceil(np.linalg.norm(end - start) / STEP_M)))
            points.append(start + (np.arange(count + 1) / count)[:, None] * (end - start))
    dense = np.vstack(points)
    return dense[((dense >= low) & (dense <= high)).all(axis=1)]


def _inside(points: Array, ring: Array) -> NDArray[np.bool_]:
    """Even-odd rule."""
    a, b = ring, np.roll(ring, -1, axis=0)
    x, y = points[:, None, 0], points[:, None, 1]
    straddles = (a[:, 1] > y) != (b[:, 1] > y)
    rise = np.where(a[:, 1] == b[:, 1], 1.0, b[:, 1] - a[:, 1])
    return np.asarray((straddles & (x < a[:, 0] + (y - a[:, 1]) / rise * (b[:, 0] - a[:, 0]))).sum(axis=1) % 2 == 1)


def _to_edges(points: Array, ring: Array) -> Array:
    """Distance to the nearest edge of a ring [m]."""
    a, along = ring, np.roll(ring, -1, axis=0) - ring
    square = np.maximum((along**2).sum(axis=1), 1e-30)
    share = np.clip(((points[:, None] - a) * along).sum(axis=2) / square, 0.0, 1.0)
    return np.asarray(np.linalg.norm(points[:, None] - (a + share[:, :, None] * along), axis=2).min(axis=1))


def _foot(points: Array, triangles: Array) -> Array:
    """Nearest point of a skin to each point, `(n, 3)` [m]: the foot in a triangle's plane, or on one of its edges."""
    best = np.full(len(points), np.inf)
    foot = points.copy()
    for corner in triangles:
        sides = np.roll(corner, -1, axis=0) - corner
        normal = np.cross(sides[0], sides[1])
        square = float(normal @ normal)
        if square < 1e-24:
            continue
        to_corners = points[:, None] - corner
        within = ((to_corners * np.cross(normal, sides)).sum(axis=2) >= 0.0).all(axis=1)
        share = np.clip((to_corners * sides).sum(axis=2) / np.maximum((sides**2).sum(axis=1), 1e-30), 0.0, 1.0)
        edge = corner + share[:, :, None] * sides
        nearest = np.linalg.norm(points[:, None] - edge, axis=2).argmin(axis=1)
        flat = points - (to_corners[:, 0] @ normal / square)[:, None] * normal
        found = np.where(within[:, None], flat, edge[np.arange(len(points)), nearest])
        distance = np.linalg.norm(points - found, axis=1)
        closer = distance < best
        best = np.where(closer, distance, best)
        foot[closer] = found[closer]
    return foot
