"""Lower bounds on the circle round a bundle, and the closed forms for one, two and three round cables."""

from __future__ import annotations

import math

# Least radius of a circle that holds n circles of radius 1, n = 0, 1, 2 ... Proved values only.
# Source: Graham, Lubachevsky, Nurmela, Ostergard 1998, Dense packings of congruent circles in a circle, Discrete
# Math. 181:139-154 and the proofs it names (Kravitz 1967, Graham 1968, Pirl 1969), Melissen 1994 (11), Fodor 2000,
# 2003 and 1999 (12, 13, 19), Ekanayake and LaFountain 2024 (14). Six-digit values are cut so that they stay below.
PROVED_RATIOS = {
    1: 1.0,
    2: 2.0,
    3: 1.0 + 2.0 / math.sqrt(3.0),
    4: 1.0 + math.sqrt(2.0),
    5: 1.0 + 1.0 / math.sin(math.pi / 5.0),
    6: 3.0,
    7: 3.0,
    8: 1.0 + 1.0 / math.sin(math.pi / 7.0),
    9: 1.0 + 1.0 / math.sin(math.pi / 8.0),
    10: 3.8130255,
    11: 1.0 + 1.0 / math.sin(math.pi / 9.0),
    12: 4.0296015,
    13: 2.0 + math.sqrt(5.0),
    14: 4.3284285,
    19: 1.0 + math.sqrt(2.0) + math.sqrt(6.0),
}
# Rounding down of the tables' six digits is at most a quarter of this part of a radius.
PROOF_TOL = 1e-6


def equal_ratio_bound(count: int) -> float:
    """Radius no circle that holds `count` circles of radius 1 can be below.

    Where no proof of the exact value is at hand, the largest proved value of fewer circles or the inequality of Groemer
    (1960, Math. Z. 73:285-294): n points at least 2 apart in a convex set of area A and girth P satisfy
    n <= A / (2 sqrt 3) + P / 4 + 1; here the set is the circle of radius R - 1 that holds the centres.

    Args:
        count: number of circles.

    Returns:
        Ratio of the radii; 0 for no circles.
    """
    if count <= 0:
        return 0.0
    fewer = max(ratio for number, ratio in PROVED_RATIOS.items() if number <= count)
    if count in PROVED_RATIOS:
        return fewer
    square, linear = math.pi / (2.0 * math.sqrt(3.0)), math.pi / 2.0
    inner = (math.sqrt(linear * linear + 4.0 * square * (count - 1)) - linear) / (2.0 * square)
    return max(fewer, 1.0 + inner)


def two_or_three_radius(first: float, second: float, third: float = 0.0) -> float:
    """Least radius of a circle that holds two or three circles.

    The third either lies in the gap beside the two in line, or all three touch each other and the circle round them
    (Descartes' theorem: k4 = k1 + k2 + k3 - 2 sqrt(k1 k2 + k2 k3 + k3 k1), k the curvatures, the outer one negative).

    Args:
        first: largest radius.
        second: next radius.
        third: smallest radius; 0 for none.

    Returns:
        Radius in the same unit.
    """
    line = first + second
    if third <= 0.0:
        return line
    k1, k2, k3 = 1.0 / first, 1.0 / second, 1.0 / third
    if k3 >= k1 + k2 - 1.0 / line:
        return line
    return 1.0 / (2.0 * math.sqrt(k1 * k2 + k2 * k3 + k3 * k1) - k1 - k2 - k3)


def flat_beside_radius(half: float, radius: float, other: float) -> float:
    """Radius no circle that holds a flat outline and a circle beside it can be below.

    A line parts the two. The circle needs a cap 2 r high, so the line is at most R - 2 r from the middle; the segment
    of the flat one then lies in what is left of the circle of radius R - (its edge radius), whose widest chord must be
    as long as the segment. Equality holds for the circle over the middle of the flat side.

    Args:
        half: half length of the flat outline's segment, 0 for a round one.
        radius: its edge radius, half its thickness.
        other: radius r of the circle, or of a circle inside the other outline.

    Returns:
        Radius in the same unit.
    """
    below = (4.0 * other * other - half * half) / (4.0 * other)
    return radius + half if below <= 0.0 else radius + 2.0 * other - below


def radius_bound(sizes: list[tuple[float, float]]) -> float:
    """Radius that no circle round these outlines can be below.

    The largest of: half the widest outline; the total area; the closed form of the three largest circles inside the
    outlines; each outline beside the largest circle in another; and for each k the bound on k equal circles as large
    as the k-th largest circle (a flat cable of width w and thickness t holds floor(w / t) circles of diameter t).

    Args:
        sizes: width and thickness of each outline, any one unit.

    Returns:
        Radius in the same unit; 0 for no outlines.
    """
    if not sizes:
        return 0.0
    area = sum((width - thick) * thick + math.pi / 4.0 * thick * thick for width, thick in sizes)
    circles = [thick / 2.0 for width, thick in sizes for _ in range(math.floor(width / thick + 1e-12))]
    circles.sort(reverse=True)
    bounds = [max(width for width, _ in sizes) / 2.0, math.sqrt(area / math.pi)]
    bounds += [equal_ratio_bound(count) * radius for count, radius in enumerate(circles, start=1)]
    if len(sizes) >= 2:
        thickest = sorted((thick / 2.0 for _, thick in sizes), reverse=True)
        bounds.append(two_or_three_radius(*thickest[:3]))
        for width, thick in sizes:
            beside = thickest[1] if thick / 2.0 == thickest[0] else thickest[0]
            bounds.append(flat_beside_radius((width - thick) / 2.0, thick / 2.0, beside))
    return max(bounds)
