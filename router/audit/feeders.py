"""What a device passes on to its circuits, state by state of the van: the most in any of them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from ribway.models.plan.results import Finding, PlanCircuit, PlanDevice
from ribway.router.audit.book import Book
from ribway.router.audit.findings import error
from ribway.router.audit.wiring import NEGATIVES

STATES: Final = ("parked", "driving", "shore", "inverter full")
MAKES_ITS_OWN: Final = ("source", "inverter", "charger")
"""Devices that feed their circuits by themselves; any other one only passes on what reaches it."""


PLAY_A: Final = 0.006


@dataclass
class Sums:
    """What flows in each of `STATES` [A]: taken, given, and the greatest step of one that starts."""

    taken: list[float]
    given: list[float]
    step: list[float]

    @property
    def run(self) -> float:
        """The most that flows in any state: takers and givers are not set off, either may stop [A]."""
        return max(*self.taken, *self.given)

    @property
    def start(self) -> float:
        """The most while one starts [A]."""
        return max(self.run, *(taken + step for taken, step in zip(self.taken, self.step, strict=True)))

    def draw(self, amps: list[float], start: float, share: float) -> None:
        """Add something that takes."""
        for at, value in enumerate(amps):
            self.taken[at] += share * value
            if value > 0.0:
                # Whatever its diversity, the one that starts does so in full; what never starts is no step.
                self.step[at] = max(self.step[at], start - share * value if start > value else 0.0)


def nothing() -> Sums:
    """No current in any state."""
    return Sums([0.0] * 4, [0.0] * 4, [0.0] * 4)


Sets = dict[str, list[Sums]]
"""By the name of a set of circuits that are never loaded together: what each of them carries alone."""


def passed_on(book: Book, device: PlanDevice, kind: str, above: tuple[str, ...] = ()) -> Sums:
    """All that hangs on a device in circuits of one kind, further boards looked through.

    Args:
        book: the plan.
        device: what feeds them.
        kind: dc or ac.
        above: devices that lead here, so that a ring ends.
    """
    total, sets = nothing(), Sets()
    _gather(book, device, kind, above, total, sets)
    return _with_worst(total, sets)


def _gather(book: Book, device: PlanDevice, kind: str, above: tuple[str, ...], total: Sums, sets: Sets) -> None:
    """Add what hangs on a device to the total or, of circuits in a set, to the sets."""
    if device.kind in MAKES_ITS_OWN or device.id in above:
        return
    for circuit in book.plan.circuits:
        if circuit.source != device.id or circuit.kind != kind or circuit.pattern in NEGATIVES:
            continue
        if circuit.never_with:
            alone, inner = nothing(), Sets()
            _add(book, circuit, (*above, device.id), alone, inner)
            sets.setdefault(circuit.never_with, []).append(_with_worst(alone, inner))
        else:
            _add(book, circuit, (*above, device.id), total, sets)


def _with_worst(total: Sums, sets: Sets) -> Sums:
    """With the worst circuit of each set, whatever board it hangs on."""
    for group in sets.values():
        amps = [max(max(one.taken[at], one.given[at]) for one in group) for at in range(4)]
        total.draw(amps, max(max(one.start for one in group), *amps), 1.0)
    return total


def _add(book: Book, circuit: PlanCircuit, above: tuple[str, ...], total: Sums, sets: Sets) -> None:
    for name in circuit.loads:
        if circuit.pattern == "control":
            total.draw([circuit.control_a] * 4, circuit.control_a, 1.0)
            continue
        load = book.devices[name]
        drawn = [load.amps if not load.states or state in load.states else 0.0 for state in STATES]
        if load.kind in ("charger", "source") and circuit.load_can_feed:
            most = load.amps if load.gives_a is None else load.gives_a
            for at, state in enumerate(STATES):
                total.given[at] += most if not load.states or state in load.states else 0.0
        else:
            total.draw(drawn, max(load.start_amps, load.amps), load.share)
        if load.kind != "board" or load.amps <= 0.0:  # a board that states its own current keeps it
            _gather(book, load, circuit.kind, above, total, sets)


def check_states(book: Book) -> Iterator[Finding]:
    """What a feeder is said to carry in each state of the van."""
    for circuit in book.plan.circuits:
        if not circuit.states:
            continue
        sums = passed_on(book, book.devices[circuit.loads[0]], circuit.kind)
        said = [(one.state, one.takes_a, one.gives_a) for one in circuit.states]
        found = list(zip(STATES, sums.taken, sums.given, strict=True))
        alike = len(said) == len(found) and all(
            a[0] == b[0] and abs(a[1] - b[1]) <= PLAY_A and abs(a[2] - b[2]) <= PLAY_A
            for a, b in zip(said, found, strict=False)
        )
        if not alike:
            words = ", ".join(f"{state} {taken:.2f} A taken, {given:.2f} A given" for state, taken, given in found)
            yield error("feeder-states", circuit.id, f"said to carry {said}; by its devices it is {words}")
