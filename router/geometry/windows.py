"""Windows: fans of straight lines over a chain of unfolded faces, and how they pass from edge to edge.

A window lies on a half edge h and goes on into the face of h. Its fan comes from a root (the source, or a vertex where
paths may turn) whose unfolded image lies below the x axis in the frame of h, and crosses the edge between `low` and
`high`. The distance to a point x of the window is the root's own distance plus that from the image to x.

Source: Mitchell, Mount, Papadimitriou 1987, The discrete geodesic problem, SIAM J. Comput. 16:647-668; Chen and Han
1990, Shortest paths on a polyhedron (one angle, one split); Xin and Wang 2009, Improving Chen and Han's algorithm on
the discrete geodesic problem, ACM Trans. Graph. 28:104 (windows dropped by distances at vertices).
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np

from ribway.router.geometry.surfaces import Flags, Floats, Ints, Surface


@dataclass(frozen=True, eq=False)
class Windows:
    """Some windows, one a row."""

    half: Ints  # (n,) half edge of the face they go on into
    low: Floats  # (n,) interval on the edge [m]
    high: Floats  # (n,)
    image_x: Floats  # (n,) unfolded root in the frame of the half edge [m]
    image_y: Floats  # (n,) below 0
    root_distance: Floats  # (n,) [m]
    root: Ints  # (n,) number of the root
    parent: Ints  # (n,) window they came through, -1 straight from the root
    side: Ints  # (n,) where they entered the face behind: -1 by the edge at the start, 1 at the end, 0 from its apex

    def __len__(self) -> int:
        return len(self.half)

    def taken(self, rows: Ints | Flags) -> Windows:
        """Some of the rows."""
        return Windows(*(getattr(self, field.name)[rows] for field in fields(self)))


def joined(parts: list[Windows]) -> Windows:
    """All rows of several sets."""
    return Windows(*(np.concatenate([getattr(part, field.name) for part in parts]) for field in fields(Windows)))


def no_windows() -> Windows:
    """A set without rows."""
    whole, real = np.zeros(0, dtype=np.int64), np.zeros(0)
    return Windows(whole, real, real, real, real, real, whole, whole, whole)


def first_windows(surface: Surface, at: Floats, seen: Ints, root: int, root_distance: float) -> Windows:
    """Windows straight from a root over the edges of its own faces that it does not lie on.

    Args:
        surface: the surface.
        at: (3,) the root [m].
        seen: half edges of the root's faces that it faces.
        root: its number.
        root_distance: its distance from the source [m].

    Returns:
        Windows over whole edges; none where the edge is a border.
    """
    half = seen[surface.twin[seen] >= 0]
    reach = at[None, :] - surface.vertices[surface.start[half]]
    x, y = (reach * surface.along[half]).sum(axis=1), (reach * surface.inward[half]).sum(axis=1)
    half, x, y = half[y > 0.0], x[y > 0.0], y[y > 0.0]
    zero, count = np.zeros(len(half)), np.zeros(len(half), dtype=np.int64)
    length = surface.length[half]
    return Windows(
        surface.twin[half], zero, length, length - x, -y, zero + root_distance, count + root, count - 1, count
    )


def children(surface: Surface, windows: Windows, numbers: Ints, apex_cut: Floats, left: Flags, right: Flags) -> Windows:
    """Windows on the two far edges of the faces that windows go on into.

    Args:
        surface: the surface.
        windows: the windows.
        numbers: (n,) their numbers, to name them as parents.
        apex_cut: (n,) where the line from the image to the apex crosses the edge [m].
        left: (n,) whether to make the child between start and apex.
        right: (n,) whether to make the child between apex and end.

    Returns:
        The children that have a width and whose edge is no border.
    """
    half, x0, y0 = windows.half, windows.image_x, windows.image_y
    ax, ay, length = surface.apex_x[half], surface.apex_y[half], surface.length[half]
    face, corner = half - half % 3, half % 3
    made = []
    for on_left, wanted in ((True, left), (False, right)):
        over = surface.twin[face + (corner + (2 if on_left else 1)) % 3]
        low = windows.low if on_left else np.maximum(windows.low, apex_cut)
        high = np.minimum(windows.high, apex_cut) if on_left else windows.high
        rows = np.flatnonzero(wanted & (over >= 0) & (high > low))
        over, low, high = over[rows], low[rows], high[rows]
        x, y, fx, fy = x0[rows], y0[rows], ax[rows], ay[rows]
        far = surface.length[over]
        if on_left:
            ux, uy, bx, by = fx / far, fy / far, 0.0 * fx, 0.0 * fy
        else:
            ux, uy, bx, by = (length[rows] - fx) / far, -fy / far, fx, fy
        # Where the line from the image through (t, 0) meets the far line (bx, by) + s (ux, uy).
        ends = []
        for t in (low, high):
            across = (t - x) * uy + y * ux
            s = ((t - x) * (y - by) + y * (x - bx)) / np.where(across != 0.0, across, 1.0)
            ends.append(np.clip(np.where(across != 0.0, s, 0.0), 0.0, far))
        if on_left:
            ends[1] = np.where(apex_cut[rows] <= windows.high[rows], far, ends[1])
            ends[0] = np.where(low <= 0.0, 0.0, ends[0])
        else:
            ends[0] = np.where(apex_cut[rows] >= windows.low[rows], 0.0, ends[0])
            ends[1] = np.where(high >= length[rows], far, ends[1])
        image_x = (x - bx) * ux + (y - by) * uy
        image_y = (y - by) * ux - (x - bx) * uy
        keep = np.flatnonzero((ends[1] - ends[0] > 1e-12 * far) & (image_y < 0.0))
        rows = rows[keep]
        made.append(
            Windows(
                over[keep],
                ends[0][keep],
                ends[1][keep],
                image_x[keep],
                image_y[keep],
                windows.root_distance[rows],
                windows.root[rows],
                numbers[rows],
                np.full(len(rows), -1 if on_left else 1),
            )
        )
    return joined(made)


def not_beaten(surface: Surface, windows: Windows, bound: Floats, tol: float) -> Flags:
    """Whether a window may still hold a shortest path, judged by distances already reached at vertices.

    When going over a vertex of the edge to the far end of the window is shorter than the window's own line, it is
    shorter for the whole window (both lines cross); likewise for the apex behind the edge.

    Args:
        surface: the surface.
        windows: the windows.
        bound: (v,) length of some path to each vertex [m].
        tol: shorter by less than this does not count [m].

    Returns:
        (n,) flags.
    """
    half = windows.half
    to_low = windows.root_distance + np.hypot(windows.low - windows.image_x, windows.image_y)
    to_high = windows.root_distance + np.hypot(windows.high - windows.image_x, windows.image_y)
    length = surface.length[half]
    keep: Flags = to_high <= bound[surface.start[half]] + windows.high + tol
    keep &= to_low <= bound[surface.end[half]] + (length - windows.low) + tol
    behind = surface.twin[half]
    x, y = length - surface.apex_x[behind], surface.apex_y[behind]
    over_apex = bound[surface.apex[behind]]
    near_low, near_high = np.hypot(windows.low - x, y), np.hypot(windows.high - x, y)
    keep &= (windows.side >= 0) | (to_low <= over_apex + near_low + tol)
    keep &= (windows.side <= 0) | (to_high <= over_apex + near_high + tol)
    return keep


def apex_distances(surface: Surface, windows: Windows) -> tuple[Floats, Floats, Flags]:
    """Distance of the apex in front of each window, by the straight line or bent at the window's nearer end.

    Args:
        surface: the surface.
        windows: the windows.

    Returns:
        (n,) distances [m], (n,) where the line to the apex crosses the edge [m], (n,) whether that is in the window.
    """
    x, y = surface.apex_x[windows.half], surface.apex_y[windows.half]
    distance, cut = distances_to(windows, x, y)
    seen: Flags = (cut >= windows.low) & (cut <= windows.high)
    return distance, cut, seen


def distances_to(windows: Windows, x: Floats, y: Floats) -> tuple[Floats, Floats]:
    """Distance of a point in front of each window: straight, or bent at the end of the window nearer to the line.

    Seen the other way, for a point at height y over the edge's line in any plane, it is the least distance over the
    window, for the sum of both parts is convex along the edge.

    Args:
        windows: the windows.
        x: (n,) the point in the frame of the half edge [m].
        y: (n,) its height over the edge [m], 0 or more.

    Returns:
        (n,) distances [m] and (n,) where the straight line crosses the edge [m], inside the window or not.
    """
    cut = windows.image_x + (x - windows.image_x) * (-windows.image_y) / (y - windows.image_y)
    through = np.minimum(np.maximum(cut, windows.low), windows.high)
    first = np.hypot(through - windows.image_x, windows.image_y)
    return windows.root_distance + first + np.hypot(x - through, y), cut
