"""The worst a feeder, a bar or the main fuse carries over the states of the van, with stated diversity."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, get_args

from ribway.sizing.errors import BadNumberError, SizingError, check_number

State = Literal["parked", "driving", "shore", "inverter full"]
"""`parked`: on the battery alone. `driving`: charged by the engine. `shore`: charged from the shore. `inverter full`: parked,
with the inverter at its rated power."""
STATES: tuple[State, ...] = get_args(State)


@dataclass(frozen=True)
class Draw:
    """Something behind a feeder.

    Attributes:
        id: its name.
        amps: what it takes or gives by state [A]; a state that is left out counts as 0.
        gives: whether it feeds current in (charger, solar controller) and does not take it.
        share: diversity: the share of it that flows together with the rest, above 0 to 1; stated by the user.
        start_a: current while it starts [A]; None if starting is like running.
    """

    id: str
    amps: Mapping[State, float]
    gives: bool = False
    share: float = 1.0
    start_a: float | None = None

    def __post_init__(self) -> None:
        for state, amps in self.amps.items():
            if state not in STATES:
                raise BadNumberError(f"{self.id!r}: state {state!r} is not known; accepted: {', '.join(STATES)}")
            check_number(amps, f"{self.id!r}: current while {state} [A]")
        if not 0.0 < self.share <= 1.0:
            raise BadNumberError(f"{self.id!r}: diversity is {self.share!r}; give a share above 0, up to 1")
        if self.start_a is not None:
            check_number(self.start_a, f"{self.id!r}: starting current [A]")


@dataclass(frozen=True)
class StateLoad:
    """One state of a feeder.

    Attributes:
        state: which.
        taken_a: summed up of all that take, diversity applied [A].
        given_a: summed up of all that give, at full [A].
        start_a: taken while the worst starter starts and the rest runs [A].
    """

    state: State
    taken_a: float
    given_a: float
    start_a: float

    @property
    def amps(self) -> float:
        """What the conductor must carry [A].

        Takers and givers are not set off against each other: either may stop at any moment, and then the conductor between
        battery and bar carries all of the other.
        """
        return max(self.taken_a, self.given_a)


@dataclass(frozen=True)
class FeederLoad:
    """A feeder over all states.

    Attributes:
        states: in the order of `STATES`.
        worst: the state that asks most.
        start_a: the most in any state while something starts [A]; not below `worst.amps`.
    """

    states: tuple[StateLoad, ...]
    worst: StateLoad
    start_a: float

    @property
    def says(self) -> str:
        """One clause for people."""
        rest = ", ".join(f"{one.state} {one.amps:.4g} A" for one in self.states if one.state != self.worst.state)
        return f"{self.worst.amps:.4g} A while {self.worst.state} ({rest})"


def feeder_load(draws: Sequence[Draw]) -> FeederLoad:
    """What a feeder, a bar or a main fuse carries at worst.

    Args:
        draws: all behind it.

    Returns:
        Every state and the worst of them, the first of equals.

    Raises:
        SizingError: a name twice.
    """
    names = [one.id for one in draws]
    for name in names:
        if names.count(name) > 1:
            raise SizingError(f"{name!r} is behind the feeder twice; list each thing once")
    states = tuple(_in_state(draws, state) for state in STATES)
    worst = max(states, key=lambda one: one.amps)
    return FeederLoad(states, worst, max(worst.amps, *(one.start_a for one in states)))


def _in_state(draws: Sequence[Draw], state: State) -> StateLoad:
    taken = sum(one.share * one.amps.get(state, 0.0) for one in draws if not one.gives)
    given = sum(one.amps.get(state, 0.0) for one in draws if one.gives)
    # Whatever its diversity, the one that starts does so in full.
    starts = [
        taken - one.share * one.amps.get(state, 0.0) + one.start_a
        for one in draws
        if not one.gives and one.start_a is not None and one.amps.get(state, 0.0) > 0.0
    ]
    return StateLoad(state, taken, given, max([taken, *starts]))
