"""How deep bays are, measured on the drawn metal: what stands round a bay bears the lining, and no bundle may be thicker."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ribway.models.plan.results import Finding
from ribway.models.plan.shell import PlanBay
from ribway.router.audit.book import Book
from ribway.router.audit.findings import error
from ribway.router.audit.meshes import meetings, triangles_of
from ribway.router.audit.polylines import as_line

Array = NDArray[np.float64]

PLAY_M: Final = 0.006
"""Where a member stands on a fold of its skin, one side of it is so much lower than the other."""
STEP_M: Final = 0.1
LOW_M: Final = 0.004
"""A member that is met so high over the skin stands beside the bay."""
BEFORE_M: Final = 0.005
BEYOND_M: Final = 0.06
"""From before a bay's edge to so far beyond it a member is looked for: its flange may be wide."""
_MIDDLE_M: Final = 0.8
_MIDDLE_SHARE: Final = 0.3
_SAME_M: Final = 1e-6


@dataclass(frozen=True)
class Members:
    """The triangles of all members in one, each with its box and whose it is.

    Args:
        names: of the members.
        whose: `(t,)` places in ``names``.
        corners: `(t, 3, 3)` [m].
        low, high: `(3, t)` [m].
    """

    names: tuple[str, ...]
    whose: NDArray[np.int64]
    corners: Array
    low: Array
    high: Array


def check_depths(book: Book) -> Iterator[Finding]:
    """The stated depth of every bay that a bundle lies in against the lowest member round it."""
    used = {leg.name for run in book.plan.runs for leg in run.legs if leg.kind == "bay" and run.loom}
    skins, members = _metal(book, "skin"), joined(_metal(book, "member"))
    for bay in book.plan.bays:
        skin = skins.get(bay.wall, skins.get(f"{bay.wall} skin"))
        if bay.depth_m is None or bay.id not in used or skin is None:
            continue
        for name in lower_than(bay, bay.depth_m - PLAY_M, skin, members):
            yield error(
                "bay-deep", bay.id,
                f"is said to be {1000 * bay.depth_m:.0f} mm deep, and {name} beside it does not stand so far into the van",
            )  # fmt: skip


def _metal(book: Book, kind: str) -> dict[str, Array]:
    found = {part.name: triangles_of(part) for part in book.plan.parts if part.kind == kind}
    return {name: corners for name, corners in found.items() if corners is not None and len(corners)}


def joined(members: Mapping[str, Array]) -> Members:
    """Members by name, each with its triangles `(t, 3, 3)` [m], in one."""
    corners = np.concatenate([np.zeros((0, 3, 3)), *members.values()])
    whose = np.repeat(np.arange(len(members)), [len(one) for one in members.values()])
    low, high = np.ascontiguousarray(corners.min(axis=1).T), np.ascontiguousarray(corners.max(axis=1).T)
    return Members(tuple(members), whose, corners, low, high)


def lower_than(bay: PlanBay, height_m: float, skin: Array, members: Members) -> tuple[str, ...]:
    """Members beside a bay that nowhere along it reach a height over the skin.

    Lines run along the skin from the bay's edge outwards, square to it: just over the metal they show what stands beside the
    bay, at the height what reaches it. So ribs of one sheet are seen as well as closed ones, and a low flange hides no top.

    Args:
        bay: the bay.
        height_m: over the skin [m].
        skin: triangles of its skin, `(t, 3, 3)` [m].
        members: all of the van.
    """
    foot, beyond, up = _edge(as_line(bay.outline), skin)
    start, end = foot - BEFORE_M * beyond, foot + BEYOND_M * beyond
    room = BEYOND_M + max(height_m, 0.0)
    low, high = foot.min(axis=0) - room, foot.max(axis=0) + room
    near = np.flatnonzero(((members.low <= high[:, None]) & (members.high >= low[:, None])).all(axis=0))
    heights = np.repeat((LOW_M, max(height_m, LOW_M)), len(foot))[:, None]
    off = heights * np.tile(up, (2, 1))
    line, triangle, _ = meetings(np.tile(start, (2, 1)) + off, np.tile(end, (2, 1)) + off, members.corners[near])
    whose = members.whose[near[triangle]]
    beside, reaching = whose[line < len(foot)], whose[line >= len(foot)]
    return tuple(members.names[one] for one in np.setdiff1d(beside, reaching))


def _edge(outline: Array, skin: Array) -> tuple[Array, Array, Array]:
    """Places along a bay's edge, which way the bay ends there, and which way the van's inside is; `(n, 3)` each."""
    step = np.roll(outline, -1, axis=0) - outline
    long = np.linalg.norm(step, axis=1)
    start, step, long = outline[long > _SAME_M], step[long > _SAME_M], long[long > _SAME_M]
    count = np.maximum(1, (long / STEP_M).astype(int))
    side = np.repeat(np.arange(len(long)), count)
    share = np.concatenate([(np.arange(one) + 0.5) / one for one in count])
    spot, along = start[side] + share[:, None] * step[side], step[side] / long[side, None]
    up = _square_to(skin, spot)
    inwards = np.stack((spot[:, 0], np.zeros(len(spot)), np.full(len(spot), _MIDDLE_M)), axis=1) - spot
    up = np.where((inwards * up).sum(axis=1, keepdims=True) >= 0.0, up, -up)
    end = np.cross(along, up)
    outwards = ((outline.mean(axis=0) - spot) * end).sum(axis=1, keepdims=True) < 0.0
    return spot, np.where(outwards, end, -end), up


def _square_to(skin: Array, spot: Array) -> Array:
    """Direction square to the triangle of a skin on which each place lies: the one whose plane and middle are nearest."""
    normal = np.cross(skin[:, 1] - skin[:, 0], skin[:, 2] - skin[:, 0])
    size = np.linalg.norm(normal, axis=1)
    skin, normal = skin[size > 0.0], normal[size > 0.0] / size[size > 0.0, None]
    off = np.abs(spot @ normal.T - (skin[:, 0] * normal).sum(axis=1))
    middle = np.linalg.norm(spot[:, None, :] - skin.mean(axis=1)[None, :, :], axis=2)
    nearest: Array = normal[np.argmin(off + _MIDDLE_SHARE * middle, axis=1)]
    return nearest
