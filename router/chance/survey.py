"""Measurements with their stated errors, what they do to each run, and which of them is worth taking next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from ribway.router.chance.sway import Change, Moves, Stretch, Vector, change
from ribway.router.chance.tail import chance_over

_LEAST_M = 1e-4


@dataclass(frozen=True)
class Measurement:
    """One thing that a person reads off the van, or that was taken for granted.

    Args:
        id: its name.
        error_m: its stated error, to either side [m].
        after_m: the error that is left once it was read [m]; not more than ``error_m``.
        moves: independent parts of it (distance back and height of a device are two): how far things move together
            when the part is off by its bound.
    """

    id: str
    error_m: float
    after_m: float
    moves: tuple[Moves, ...]


@dataclass(frozen=True)
class Bound:
    """What one part of a measurement does to a run's length."""

    measurement: str
    change: Change


@dataclass(frozen=True)
class Short:
    """A run's margin and errors.

    Args:
        margin_m: what its cut length has to spare [m].
        bounds: the errors that bear on it.
    """

    margin_m: float
    bounds: tuple[Bound, ...]

    @property
    def chance(self) -> float:
        """Chance that its cut length is short."""
        return self.chance_if({})

    def chance_if(self, shares: Mapping[str, float]) -> float:
        """Chance that its cut length is short if errors were less.

        Args:
            shares: what is left of each measurement's error; all of it if not named.
        """
        scaled = [(shares.get(one.measurement, 1.0), one.change) for one in self.bounds]
        mean_m = sum(share * one.mean_m for share, one in scaled)
        return chance_over(self.margin_m - mean_m, [share * one.bound_m for share, one in scaled])


def bounds_of(stretches: Sequence[Stretch], measurements: Sequence[Measurement]) -> tuple[Bound, ...]:
    """The errors of a run's length.

    Args:
        stretches: of the run, in order.
        measurements: all there are.

    Returns:
        One for each part of a measurement that changes the length by 0.1 mm or more.
    """
    held = {name for stretch in stretches for name in (stretch.a, stretch.b)}
    own = tuple(stretches)
    bounds = (
        Bound(one.id, _change(own, tuple((name, moves[name]) for name in sorted(held & moves.keys()))))
        for one in measurements
        for moves in one.moves
        if not held.isdisjoint(moves)
    )
    return tuple(bound for bound in bounds if bound.change.bound_m >= _LEAST_M)


@lru_cache(maxsize=16384)
def _change(stretches: tuple[Stretch, ...], moves: tuple[tuple[str, Vector], ...]) -> Change:
    """As `change`, told only of the things that hold these stretches; most runs of a later plan are asked the same."""
    return change(stretches, dict(moves))


def gains(shorts: Mapping[str, Short], measurements: Sequence[Measurement]) -> dict[str, float]:
    """By how many the expected number of short runs falls if one measurement is taken.

    The expected number is the sum of the runs' chances, whatever errors they share. Each measurement is tried alone,
    all others left as they are.

    Args:
        shorts: margin and errors of each run.
        measurements: all there are.

    Returns:
        Runs, by id of the measurement; 0 where nothing is gained.
    """
    now = {name: short.chance for name, short in shorts.items()}
    resting: dict[str, list[str]] = {}
    for name, short in shorts.items():
        for measurement in {bound.measurement for bound in short.bounds}:
            resting.setdefault(measurement, []).append(name)
    found = {}
    for one in measurements:
        share = one.after_m / one.error_m if one.error_m > 0.0 else 1.0
        gain = 0.0
        for name in resting.get(one.id, ()) if share < 1.0 else ():
            gain += now[name] - shorts[name].chance_if({one.id: share})
        found[one.id] = max(0.0, gain)
    return found
