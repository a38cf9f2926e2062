"""Where a picture is taken from, and where each point of the van comes to lie in it. Plain arithmetic, no window."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]
Size = tuple[int, int]


@dataclass(frozen=True, eq=False)
class Camera:
    """A camera.

    Args:
        place: ``(3,)`` where it stands [m].
        target: ``(3,)`` what it looks at [m].
        up: ``(3,)`` which way is up in the picture.
        half_height_m: half of what is seen from top to bottom, without perspective [m]; 0 with perspective.
        angle_deg: how wide it sees from top to bottom [deg]; 0 without perspective.
    """

    place: Points
    target: Points
    up: Points
    half_height_m: float = 0.0
    angle_deg: float = 0.0

    def axes(self) -> tuple[Points, Points, Points]:
        """Right, up and forward as ``(3,)`` unit vectors."""
        return _axes(self.target - self.place, self.up)

    def pixels(self, points: Points, size: Size) -> Points:
        """Where points come to lie.

        Args:
            points: ``(n, 3)`` [m]; in front of the camera.
            size: the picture's width and height in pixels.

        Returns:
            ``(n, 2)`` x to the right and y downward, in pixels from the upper left corner.
        """
        right, up, forward = self.axes()
        away = points - self.place
        x, y, depth = away @ right, away @ up, away @ forward
        half = self.half_height_m or np.maximum(depth, 1e-6) * np.tan(np.radians(self.angle_deg) / 2.0)
        scale = size[1] / 2.0 / half
        return np.stack([size[0] / 2.0 + x * scale, size[1] / 2.0 - y * scale], axis=1)


def _axes(forward: Points, up: Points) -> tuple[Points, Points, Points]:
    forward = forward / np.linalg.norm(forward)
    right = np.cross(forward, up)
    right = right / np.linalg.norm(right)
    return right, np.cross(right, forward), forward


def flat_camera(points: Points, forward: Points, up: Points, size: Size, margin_px: tuple[float, float]) -> Camera:
    """A camera without perspective that sees all of some points.

    Args:
        points: ``(n, 3)`` what is to be seen [m].
        forward: ``(3,)`` which way it looks.
        up: ``(3,)`` which way is up in the picture.
        size: the picture's width and height in pixels.
        margin_px: what stays free at the left and right, and at the top and bottom, in pixels.

    Returns:
        The camera, with the points in the middle of the picture.
    """
    right, upward, ahead = _axes(forward, up)
    flat = np.stack([points @ right, points @ upward, points @ ahead], axis=1)
    low, high = flat.min(axis=0), flat.max(axis=0)
    middle = (low + high) / 2.0
    wide, tall = max(size[0] - 2.0 * margin_px[0], 1.0), max(size[1] - 2.0 * margin_px[1], 1.0)
    metres_per_pixel = max((high[0] - low[0]) / wide, (high[1] - low[1]) / tall, 1e-6)
    target = middle[0] * right + middle[1] * upward + middle[2] * ahead
    back = (high[2] - low[2]) / 2.0 + 1.0
    return Camera(target - back * ahead, target, up, half_height_m=metres_per_pixel * size[1] / 2.0)


def round_camera(
    points: Points, forward: Points, up: Points, size: Size, margin_px: tuple[float, float], angle_deg: float = 28.0
) -> Camera:
    """A camera with perspective that sees all of some points from as near as it can.

    Args:
        points: ``(n, 3)`` what is to be seen [m].
        forward: ``(3,)`` which way it looks.
        up: ``(3,)`` which way is up in the picture.
        size: the picture's width and height in pixels.
        margin_px: what stays free at the left and right, and at the top and bottom, in pixels.
        angle_deg: how wide it sees from top to bottom [deg].

    Returns:
        The camera. Each border of the free picture gives a plane through the camera that no point may pass; the widest
        pair says how far back it stands.
    """
    right, upward, ahead = _axes(forward, up)
    x, y, z = points @ right, points @ upward, points @ ahead
    spread = np.tan(np.radians(angle_deg) / 2.0)
    across = spread * max(size[0] - 2.0 * margin_px[0], 1.0) / size[1]
    down = spread * max(size[1] - 2.0 * margin_px[1], 1.0) / size[1]
    x_high, x_low = np.max(x - z * across), np.max(-x - z * across)
    y_high, y_low = np.max(y - z * down), np.max(-y - z * down)
    back = max((x_high + x_low) / (2.0 * across), (y_high + y_low) / (2.0 * down))
    middle_x, middle_y = (x_high - x_low) / 2.0, (y_high - y_low) / 2.0
    place = middle_x * right + middle_y * upward - back * ahead
    return Camera(place, place + ahead * float(z.mean() + back), up, angle_deg=angle_deg)
