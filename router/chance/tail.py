"""The chance that independent errors, each within its stated bound, add up to more than a margin."""

from __future__ import annotations

import math
from collections.abc import Sequence

_DUST_M = 1e-9


def chance_over(margin_m: float, bounds_m: Sequence[float]) -> float:
    """Chance that a sum of independent errors is greater than a margin.

    A stated error says that a value lies within +/- its bound and no more, so each is taken as evenly spread between
    them, with a standard deviation of bound / sqrt(3). The two largest are summed exactly in this shape; all others
    together are a normal error whose variance is the sum of theirs (root sum of squares). With Q the upper tail of the
    normal distribution, s the rest's standard deviation, a >= b the two bounds and m the margin::

        P = [K(m+a+b) - K(m+a-b) - K(m-a+b) + K(m-a-b)] / (4 a b),
        K(t) = s^2 / 2 * ((1 + z^2) Q(z) - z phi(z)),  z = t / s,

    where K is Q(t/s) integrated twice from above.

    Args:
        margin_m: how much is to spare [m]; negative if the length is short already.
        bounds_m: bound of each error [m], none negative.

    Returns:
        The chance, 0 to 1. It is 0 where the bounds together do not reach the margin.

    Raises:
        ValueError: a bound is negative.

    Source: rectangular shape and variance, JCGM 100:2008 (GUM) 4.3.7; root sum of squares, 5.1.2; the formula follows
    by integrating the convolution with two rectangles.
    """
    if any(bound < 0.0 for bound in bounds_m):
        raise ValueError(f"errors are bounds to either side, none negative: {list(bounds_m)}")
    bounds = sorted((bound for bound in bounds_m if bound > _DUST_M), reverse=True)
    if sum(bounds) <= margin_m:
        return 0.0
    if sum(bounds) <= -margin_m:
        return 1.0
    spread_m = math.sqrt(sum(bound * bound for bound in bounds[2:]) / 3.0)
    widest, next_widest = bounds[0], bounds[1] if len(bounds) > 1 else 0.0
    if next_widest == 0.0:
        return (1.0 - margin_m / widest) / 2.0
    corners = (
        (1.0, margin_m + widest + next_widest),
        (-1.0, margin_m + widest - next_widest),
        (-1.0, margin_m - widest + next_widest),
        (1.0, margin_m - widest - next_widest),
    )
    total = math.fsum(sign * _twice_integrated(at_m, spread_m) for sign, at_m in corners)
    return min(1.0, max(0.0, total / (4.0 * widest * next_widest)))


def chance_of_any(chances: Sequence[float]) -> float:
    """Chance that at least one of several lengths is short.

    The lengths are counted as if they were independent. Where errors that they share push them the same way, this is
    more than the true chance (Slepian's inequality), which is the safe side; where a shared error makes one longer and
    another shorter it may be less, but the true chance is never more than the sum of the chances.

    Args:
        chances: one a length.

    Returns:
        The chance, 0 to 1.
    """
    return 1.0 - math.prod(1.0 - one for one in chances)


def _twice_integrated(at_m: float, spread_m: float) -> float:
    """K of `chance_over`; without a spread Q is a step, and K half the square of what lies below it."""
    if spread_m <= _DUST_M:
        return min(at_m, 0.0) ** 2 / 2.0
    z = at_m / spread_m
    tail = 0.5 * math.erfc(z / math.sqrt(2.0))
    density = math.exp(-z * z / 2.0) / math.sqrt(2.0 * math.pi)
    return spread_m * spread_m / 2.0 * ((1.0 + z * z) * tail - z * density)
