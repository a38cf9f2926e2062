"""A drawing's scale, and where its points fall on the page."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from ribway.sheets.marks import Frame

PT_PER_M = 72.0 / 0.0254
SCALES = (
    1.0,
    2.0,
    2.5,
    4.0,
    5.0,
    6.0,
    8.0,
    10.0,
    12.0,
    15.0,
    20.0,
    25.0,
    30.0,
    40.0,
    50.0,
    75.0,
    100.0,
    150.0,
    200.0,
    500.0,
)
"""How many times smaller than the van a drawing is: few and round, so that a ruler helps."""

Flat = tuple[float, float]


@dataclass(frozen=True)
class Extent:
    """A rectangle in the plane that is drawn [m]."""

    left: float
    right: float
    bottom: float
    top: float

    @property
    def width(self) -> float:
        """From left to right [m]."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """From bottom to top [m]."""
        return self.top - self.bottom

    def holds(self, point: Flat, slack: float = 1e-6) -> bool:
        """Whether a point lies inside."""
        return (
            self.left - slack <= point[0] <= self.right + slack and self.bottom - slack <= point[1] <= self.top + slack
        )


def extent_of(points: Iterable[Flat]) -> Extent:
    """The rectangle round points; one metre square about the origin if there are none.

    Args:
        points: in the plane [m].
    """
    listed = list(points) or [(-0.5, -0.5), (0.5, 0.5)]
    across, up = zip(*listed, strict=True)
    return Extent(min(across), max(across), min(up), max(up))


@dataclass(frozen=True)
class Scaled:
    """A drawing on the page.

    Attributes:
        ratio: how many times smaller it is than the van.
        x, y: where the plane's origin falls on the page [pt].
    """

    ratio: float
    x: float
    y: float

    @property
    def pt_per_m(self) -> float:
        """Points on the page for a metre of the van."""
        return PT_PER_M / self.ratio

    def at(self, point: Flat) -> Flat:
        """Where a point falls on the page.

        Args:
            point: in the plane [m].

        Returns:
            On the page [pt].
        """
        return self.x + point[0] * self.pt_per_m, self.y + point[1] * self.pt_per_m


def fit_scale(extent: Extent, frame: Frame) -> Scaled:
    """The largest round scale at which a rectangle fits a frame, in the middle of it.

    Args:
        extent: what is drawn [m].
        frame: the room on the page [pt].

    Returns:
        The scale; the smallest there is if none fits.
    """
    need = max(extent.width * PT_PER_M / frame.width, extent.height * PT_PER_M / frame.height)
    ratio = next((one for one in SCALES if one >= need - 1e-9), SCALES[-1])
    per_m = PT_PER_M / ratio
    x = (frame.left + frame.right) / 2 - per_m * (extent.left + extent.right) / 2
    y = (frame.bottom + frame.top) / 2 - per_m * (extent.bottom + extent.top) / 2
    return Scaled(ratio, x, y)


def scale_words(ratio: float) -> str:
    """A scale in words: ``drawn 1 : 15``, ``drawn in full size``."""
    return "drawn in full size" if ratio == 1.0 else f"drawn 1 : {ratio:g}"
