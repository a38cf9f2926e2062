"""What the runs of a circuit are called: by the circuit and a number, unless the project names them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import count

from ribway.models.circuits import RunEntry
from ribway.models.run_numbers import Ends, RunNumber, counting, identities
from ribway.router.errors import NameFault


class Naming:
    """Names for the runs of a project, circuit after circuit; none is given twice, and none that another run ever had.

    Args:
        numbers: those that were given before. A run that joins the same two ends in the same circuit keeps its own.
        stated: names that the project gives.
    """

    def __init__(self, numbers: Sequence[RunNumber] = (), stated: Iterable[str] = ()) -> None:
        self._numbers = numbers
        self._given = {one.identity: one.run for one in numbers}
        self._owner = {name: one for one in numbers for name in one.names}
        self._begun = {one.circuit for one in numbers}
        self._used = {*self._owner, *stated}

    def of(
        self, called: str, ends: Sequence[Ends], stated: Sequence[str | None], zones: Sequence[str] = ()
    ) -> list[str]:
        """The names of a circuit's runs.

        As long as no run of it had a number before, a run is numbered by its place in the circuit, and one that is alone has
        the circuit's own name. Where that name is taken, and once numbers were given, a new run counts on.

        Args:
            called: id of the circuit, or what else its runs are called by.
            ends: of each run, in order.
            stated: the name that the project gives to each; None where it gives none.
            zones: of spares, the zone that each leads to. One that joins two other ends now, since its zone has another furthest
                device, keeps the number of the spare that led there and leads nowhere else.

        Returns:
            The names, in order.
        """
        names, found = [], identities(ends)
        own = {self._given[one] for one in found if one in self._given}
        for place, (said, one) in enumerate(zip(stated, found, strict=True), start=1):
            name = said or self._given.get(one)
            if name is None and zones:
                name = self._of_zone(zones[place - 1], own)
                own |= {name} if name else set()
            if name is None:
                circuit = one[0][0]
                usual = called if len(ends) == 1 and called == circuit else f"{called}-{place}"
                begun = circuit in self._begun
                name = self._next(called, begun, len(ends)) if begun or usual in self._used else usual
            self._used.add(name)
            names.append(name)
        return names

    def _of_zone(self, zone: str, others: set[str]) -> str | None:
        """The first spare that led to a zone and is none of the others; None where there is none."""
        led = [one.run for one in self._numbers if not one.circuit and one.zone == zone != "" and one.run not in others]
        return min(led, key=counting, default=None)

    def taken(self, ends: Sequence[Ends], stated: Sequence[str | None]) -> Iterator[NameFault]:
        """Names that the project gives to runs, and that were another run's before: a fault for each."""
        for one, name in zip(ends, stated, strict=True):
            owner = self._owner.get(name or "")
            if owner is not None and owner.identity[0] != one:
                of = f"of {owner.circuit}" if owner.circuit else "a spare"
                yield NameFault(
                    f"runs / {name}",
                    f"{name} was given to another run before, from {owner.from_} to {owner.to}, {of}",
                    "another name; or, if no cable is marked with it, take its line out of the register of run numbers",
                )

    def _next(self, called: str, begun: bool, runs: int) -> str:
        """A name behind all that there ever were; behind the places of the circuit where none were given."""
        first = max((_number(name, called) for name in self._used), default=0) if begun else runs
        return next(free for n in count(first + 1) if (free := f"{called}-{n}") not in self._used)


def _number(name: str, called: str) -> int:
    """The number in a name, 1 if the circuit's own name is all of it, 0 if it is called by something else."""
    if name == called:
        return 1
    rest = name.removeprefix(f"{called}-")
    return int(rest) if rest != name and rest.isdecimal() and len(rest) < 7 else 0


def stated_names(entries: Iterable[RunEntry]) -> Iterator[str]:
    """Names that a project gives to runs, those of the pieces of parted ones among them."""
    for entry in entries:
        if entry.id and not entry.through:
            yield entry.id
        elif entry.id:
            yield from (f"{entry.id}-{piece}" for piece in range(1, len(entry.through) + 2))
