"""Whether cables are shown to fit a bore or a slot: by a theorem where that is enough, else by a packing that is found."""

from __future__ import annotations

import math
from functools import lru_cache

from ribway.router.geometry.packing import Outline, built_m, pack
from ribway.router.geometry.packing_bounds import radius_bound

EPS = 1e-9
PROVEN_FILL = 0.5
Outlines = tuple[Outline, ...]


@lru_cache(maxsize=65536)
def fit_circle(outlines: Outlines, bore_m: float) -> bool:
    """Whether cables are shown to fit into a round bore.

    Circles of at most half the bore's area always fit (Fekete, Keldenich, Scheffer 2019). A flat cable lies inside the
    circle of its width; two flats laid on each other lie inside a smaller one than both circles need. Rows on shelves in
    an inscribed rectangle prove it too. Where nothing of this settles it, a packing has to be found.

    Args:
        outlines: cross-sections, sorted (so that equal bundles are looked at once) [m].
        bore_m: clear diameter [m].
    """
    if not outlines:
        return True
    round_ = [outline.width_m for outline in outlines if outline.is_round]
    flat = sorted((outline for outline in outlines if not outline.is_round), reverse=True)
    stacked = [_stack_m(*flat[i : i + 2]) for i in range(0, len(flat), 2)]
    allowed = PROVEN_FILL * bore_m**2
    if sum(d * d for d in (*round_, *stacked)) <= allowed or sum(o.width_m**2 for o in outlines) <= allowed:
        return True
    widest = max(outline.width_m for outline in outlines)
    for across in range(1, 5):
        side = across * widest
        if side < bore_m and _shelved(outlines, side, math.sqrt(bore_m**2 - side**2)):
            return True
    if 2.0 * radius_bound([(outline.width_m, outline.thickness_m) for outline in outlines]) > bore_m + EPS:
        return False
    return built_m(outlines) <= bore_m + EPS or pack(outlines, quick=True).diameter_m <= bore_m + EPS


def _stack_m(first: Outline, second: Outline | None = None) -> float:
    """Diameter of a circle round one flat, or round two laid on each other, centred where they touch [m]."""
    if second is None:
        return first.width_m
    reach = [
        math.hypot((o.width_m - o.thickness_m) / 2.0, o.thickness_m / 2.0) + o.thickness_m / 2.0
        for o in (first, second)
    ]
    return 2.0 * max(reach)


def _shelved(outlines: Outlines, width_m: float, height_m: float) -> bool:
    """Whether bounding boxes go side by side in rows, thickest first, into a rectangle."""
    left, top, shelf = width_m, 0.0, 0.0
    for outline in sorted(outlines, key=lambda o: (-o.thickness_m, -o.width_m)):
        if outline.width_m > width_m + EPS:
            return False
        if shelf == 0.0 or outline.width_m > left + EPS:
            top += shelf
            left, shelf = width_m, outline.thickness_m
        left -= outline.width_m
    return top + shelf <= height_m + EPS


@lru_cache(maxsize=65536)
def fit_slot(outlines: Outlines, width_m: float, length_m: float) -> bool:
    """Whether cables are shown to fit into a slot or gap: in a row, on shelves between its round ends, or in circles of
    its width set along it.

    Args:
        outlines: cross-sections, sorted [m].
        width_m, length_m: clear [m].
    """
    if not outlines:
        return True
    if max(outline.thickness_m for outline in outlines) > width_m + EPS:
        return False
    if sum(outline.width_m for outline in outlines) <= length_m + EPS:
        return True
    if length_m > width_m and _shelved(outlines, length_m - width_m, width_m):
        return True
    places = int((length_m + EPS) / width_m)
    groups: list[Outlines] = []
    for outline in sorted(outlines, reverse=True):
        for number, group in enumerate(groups):
            larger = tuple(sorted((*group, outline)))
            if fit_circle(larger, width_m):
                groups[number] = larger
                break
        else:
            if outline.width_m > width_m + EPS or len(groups) == places:
                return False
            groups.append((outline,))
    return True
