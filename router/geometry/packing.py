"""The smallest circle round a bundle of round and flat cables: the diameter of a loom, and whether it fits a bore."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import numpy as np

from ribway.router.geometry.packing_bounds import PROOF_TOL, PROVED_RATIOS, radius_bound
from ribway.router.geometry.packing_contacts import Bodies, bodies_of
from ribway.router.geometry.packing_descent import Placing, descended, polished, settled
from ribway.router.geometry.packing_start import built_up, scattered, three_circles

STARTS_A_ROUND = 8
MOST_ROUNDS = 2
MOST_ROUNDS_KNOWN = 10  # equal round cables, whose proved optimum tells when to stop
MANY = 40  # cables; scattered starts of more end 5 to 20 % above what is built up, rolled down and polished
STEPS_OF_MANY = 30  # linear programs; each of 60 cables takes about 10 ms
POLISHED_A_ROUND = 3
SAME_SIZE = 1e-5  # two soft descents this near are taken for the same placing
POLISH_GAIN = 0.01  # a polish seldom gains more


@dataclass(frozen=True, order=True)
class Outline:
    """Cross-section of a cable: round when width and thickness are equal, else flat with half-round edges."""

    width_m: float
    thickness_m: float

    def __post_init__(self) -> None:
        if not (math.isfinite(self.width_m) and 0.0 < self.thickness_m <= self.width_m):
            raise ValueError(
                f"outline {self.width_m} x {self.thickness_m} m: a thickness above 0 and not above the width is needed"
            )

    @property
    def is_round(self) -> bool:
        """Whether the cable is round."""
        return self.width_m == self.thickness_m

    @property
    def area_m2(self) -> float:
        """Area of the cross-section [m2]."""
        return (self.width_m - self.thickness_m) * self.thickness_m + math.pi / 4.0 * self.thickness_m**2


@dataclass(frozen=True)
class Packing:
    """Cables laid side by side in a circle round the origin, free of overlaps; in the order they were given."""

    diameter_m: float  # of a circle that holds this very placing
    centres_m: tuple[tuple[float, float], ...]
    angles_rad: tuple[float, ...]  # of the long side; 0 for round cables
    lower_bound_m: float  # no circle below this holds them
    proven: bool  # the diameter is the least possible, to one part in a million


@dataclass(frozen=True)
class Fit:
    """Whether cables fit a bore."""

    fits: bool
    why: Literal["empty", "area", "packing", "impossible", "not found"]
    needed_m: float  # diameter of the packing found; for "area" the bore, when none was looked for


def _scaled(outlines: tuple[Outline, ...]) -> tuple[Bodies, float]:
    """The outlines as bodies of mean radius 1, and the scale [m] to go back."""
    width = np.array([outline.width_m for outline in outlines])
    thick = np.array([outline.thickness_m for outline in outlines])
    scale = float(thick.mean()) / 2.0
    return bodies_of((width - thick) / 2.0 / scale, thick / 2.0 / scale), scale


def _first(bodies: Bodies) -> Placing:
    """A placing built piece by piece, largest first; the closed form for one to three round bodies."""
    order = np.lexsort((-bodies.half, -bodies.radius - bodies.half)).tolist()
    angles = np.zeros(bodies.count)
    if bodies.count == 3 and not bodies.half.any():
        centres = np.zeros((3, 2))
        r1, r2, r3 = bodies.radius[order].tolist()
        centres[order] = three_circles((r1, r2, r3))
    elif bodies.count == 2 and not bodies.half.any():
        centres = np.array([[-bodies.radius[1], 0.0], [bodies.radius[0], 0.0]])
    else:
        centres = built_up(bodies.half, bodies.radius, order)
    placing = settled(bodies, centres, angles)
    if placing is None:
        raise RuntimeError(f"packing of {bodies.count} cables: the first placing has crossing axes; please report it")
    return placing


def _best(bodies: Bodies, best: Placing, bound: float, seed: int, quick: bool) -> Placing:
    """The best placing found from a first one; the search stops on counts, or when the lower bound is met."""
    if bodies.count <= 1 or (bodies.count <= 3 and not bodies.half.any()):
        return best
    if quick:
        placing = descended(bodies, best.centres, best.angles, steps=10, weight=0.1)
        return placing if placing is not None and placing.radius < best.radius else best
    if bodies.count > MANY:
        rolled = descended(bodies, best.centres, best.angles, weight=0.1)
        return polished(bodies, best if rolled is None or rolled.radius > best.radius else rolled, STEPS_OF_MANY)
    best = polished(bodies, best)
    random = np.random.default_rng(seed)
    equal = not bodies.half.any() and float(np.ptp(bodies.radius)) == 0.0
    known = equal and bodies.count in PROVED_RATIOS
    for _ in range(MOST_ROUNDS_KNOWN if known else MOST_ROUNDS):
        if best.radius <= bound * (1.0 + PROOF_TOL):
            break
        found = [
            descended(bodies, *scattered(bodies.half, bodies.radius, random), weight=(1.0, 0.25)[start % 2])
            for start in range(STARTS_A_ROUND)
        ]
        for placing in _different([placing for placing in found if placing is not None], best.radius):
            placing = polished(bodies, placing)
            if placing.radius < best.radius:
                best = placing
    return best


def _different(placings: list[Placing], best_radius: float) -> list[Placing]:
    """The few smallest soft placings that are worth a polish: of those as large as one another only one."""
    kept: list[Placing] = []
    for placing in sorted(placings, key=lambda placing: placing.radius):
        if len(kept) == POLISHED_A_ROUND or placing.radius > best_radius * (1.0 + POLISH_GAIN):
            break
        if not kept or placing.radius > kept[-1].radius * (1.0 + SAME_SIZE):
            kept.append(placing)
    return kept


@lru_cache(maxsize=4096)
def _built(outlines: tuple[Outline, ...]) -> tuple[Bodies, float, Placing]:
    """Sorted outlines as bodies, their scale [m], and a first placing of them."""
    bodies, scale = _scaled(outlines)
    return bodies, scale, _first(bodies)


def built_m(outlines: tuple[Outline, ...]) -> float:
    """Diameter of a placing built piece by piece [m]: quickly had, and never below that of `pack`.

    Args:
        outlines: cross-sections of the cables [m].
    """
    _, scale, placing = _built(tuple(sorted(outlines, reverse=True)))
    return 2.0 * scale * placing.radius * (1.0 + 1e-14)


@lru_cache(maxsize=4096)
def _packed(outlines: tuple[Outline, ...], seed: int, quick: bool) -> Packing:
    """`pack` of sorted outlines; many looms of one van hold the same cables."""
    if not outlines:
        return Packing(0.0, (), (), 0.0, True)
    bodies, scale, first = _built(outlines)
    bound = radius_bound([(outline.width_m / scale, outline.thickness_m / scale) for outline in outlines])
    placing = _best(bodies, first, bound, seed, quick)
    return Packing(
        2.0 * scale * placing.radius * (1.0 + 1e-14),
        tuple((scale * x, scale * y) for x, y in placing.centres.tolist()),
        tuple(float(angle) for angle in placing.angles),
        2.0 * scale * bound,
        placing.radius <= bound * (1.0 + PROOF_TOL),
    )


def pack(outlines: tuple[Outline, ...], seed: int = 0, quick: bool = False) -> Packing:
    """Pack cables into a circle as small as can be found.

    One to three round cables: closed form, proven. Else many starts, each rolled down and polished to a local optimum.
    The diameter always belongs to a real placing of these cables, so that it is never below the true least one.

    Args:
        outlines: cross-sections of the cables [m].
        seed: of the scattered starts; the same seed gives the same packing.
        quick: one start built piece by piece and a short descent instead: some per cent larger, some milliseconds.

    Returns:
        The packing, in the order of the outlines.
    """
    order = sorted(range(len(outlines)), key=lambda index: outlines[index], reverse=True)
    found = _packed(tuple(outlines[index] for index in order), seed, quick)
    back = sorted(range(len(order)), key=lambda index: order[index])
    return Packing(
        found.diameter_m,
        tuple(found.centres_m[index] for index in back),
        tuple(found.angles_rad[index] for index in back),
        found.lower_bound_m,
        found.proven,
    )


def fits(outlines: tuple[Outline, ...], bore_m: float, seed: int = 0) -> Fit:
    """Whether cables fit through a round bore, and what proves it.

    Round cables with at most half the bore's area always fit (Fekete, Keldenich, Scheffer 2019, Packing disks into
    disks with optimal worst-case density, Discrete Comput. Geom.); flat ones need not. Otherwise only a placing proves
    it.

    Args:
        outlines: cross-sections of the cables [m].
        bore_m: clear diameter of the bore [m].
        seed: of the search for a placing.

    Returns:
        fits is True with why "empty", "area" or "packing"; False with "impossible" (a bound forbids it) or "not found".
    """
    if not outlines:
        return Fit(True, "empty", 0.0)
    area = sum(outline.area_m2 for outline in outlines)
    if all(outline.is_round for outline in outlines) and area <= math.pi / 8.0 * bore_m * bore_m:
        return Fit(True, "area", bore_m)
    for quick in (True, False):
        found = pack(outlines, seed, quick)
        if found.diameter_m <= bore_m * (1.0 + 1e-9):
            return Fit(True, "packing", found.diameter_m)
        if found.lower_bound_m > bore_m * (1.0 + 1e-9):
            return Fit(False, "impossible", found.diameter_m)
    return Fit(False, "not found", found.diameter_m)
