"""How chances of being short are printed: rounded up, since a chance that errs must err to the careful side."""

from __future__ import annotations

import math

NOTHING = "–"

_LEAST = 0.01


def chance_text(chance: float, none: str = NOTHING) -> str:
    """A chance in percent.

    Args:
        chance: 0 to 1.
        none: what to print where the stated errors together do not use up the margin.

    Returns:
        ``13 %``, rounded up; ``under 1 %``; or what was asked for.
    """
    if chance <= 0.0:
        return none
    return "under 1 %" if chance < _LEAST else f"{math.ceil(round(100.0 * chance, 6))} %"


def runs_text(runs: float) -> str:
    """An expected number of runs, rounded up to a tenth; a dash for none."""
    return NOTHING if runs <= 0.0 else f"{math.ceil(round(10.0 * runs, 6)) / 10.0:.1f}"


def fewer_text(runs: float) -> str:
    """By how many an expected number of runs falls, rounded down to a tenth; a dash for none."""
    tenths = math.floor(round(10.0 * runs, 6))
    return NOTHING if runs <= 0.0 else "under 0.1" if tenths == 0 else f"{tenths / 10.0:.1f}"
