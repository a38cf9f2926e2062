"""Turned frames in the plane: into a frame whose x axis has a chosen direction, and back."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

__all__ = ["from_frame", "quarter", "to_frame", "turn_matrix"]


def turn_matrix(x_axis: Array) -> Array:
    """Rotation whose rows are the axes of the frame that has the given x axis.

    Args:
        x_axis: `(2,)` direction of the frame's x axis, any length but zero.

    Returns:
        `(2, 2)` proper rotation; `matrix @ p` are the coordinates of `p` in the frame.

    Raises:
        ValueError: the direction is zero or not finite.
    """
    direction = np.asarray(x_axis, dtype=np.float64)
    size = float(np.hypot(direction[0], direction[1]))
    if not np.isfinite(size) or size == 0.0:
        raise ValueError(f"frame: x axis {direction.tolist()} has no direction; give a finite vector that is not zero")
    c, s = direction / size
    return np.array([[c, s], [-s, c]])


def to_frame(points: Array, x_axis: Array, origin: Array | None = None) -> Array:
    """Coordinates of points in a turned frame.

    Args:
        points: `(..., 2)` points [m]; with `origin` left out also directions, since nothing is shifted then.
        x_axis: `(2,)` direction of the frame's x axis.
        origin: `(2,)` origin of the frame [m]; None for the plane's own origin.

    Returns:
        `(..., 2)` coordinates in the frame [m].
    """
    shifted = np.asarray(points, dtype=np.float64)
    if origin is not None:
        shifted = shifted - origin
    turned: Array = shifted @ turn_matrix(x_axis).T
    return turned


def from_frame(points: Array, x_axis: Array, origin: Array | None = None) -> Array:
    """Inverse of `to_frame`.

    Args:
        points: `(..., 2)` coordinates in the frame [m].
        x_axis: `(2,)` direction of the frame's x axis.
        origin: `(2,)` origin of the frame [m]; None for the plane's own origin.

    Returns:
        `(..., 2)` points in the plane's own axes [m].
    """
    turned: Array = np.asarray(points, dtype=np.float64) @ turn_matrix(x_axis)
    return turned if origin is None else turned + origin


def quarter(directions: Array) -> NDArray[np.int64]:
    """Nearest axis direction of each vector: 0 for +x, 1 for +y, 2 for -x, 3 for -y, and -1 for a vector of nan.

    Args:
        directions: `(n, 2)` vectors of any length.

    Returns:
        `(n,)` axis codes; exactly between two axes, the even one (x) is taken.
    """
    vectors = np.asarray(directions, dtype=np.float64).reshape(-1, 2)
    none: NDArray[np.bool_] = np.isnan(vectors).any(axis=1) | ~(vectors != 0.0).any(axis=1)
    x, y = np.where(none[:, None], 0.0, vectors).T
    along_x = np.abs(x) >= np.abs(y) * (1.0 - 1e-12)
    code = np.where(along_x, np.where(x >= 0.0, 0, 2), np.where(y >= 0.0, 1, 3))
    return np.where(none, -1, code).astype(np.int64)
