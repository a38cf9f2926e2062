"""Grouping overruled by hand: what each run is asked to share its loom with, and what not; contradictions are refused."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Literal, Protocol

from ribway.models.loom_wishes import LoomWishes


@dataclass(frozen=True)
class Wish:
    """Places of one run in the lists of a project.

    Args:
        together: numbers of the lists that it stands in.
        apart: numbers of the lists, and its place in each: runs at one place are of one circuit and may go together.
    """

    together: frozenset[int] = frozenset()
    apart: frozenset[tuple[int, int]] = frozenset()

    def joins(self, other: Wish) -> bool:
        """Whether the two are asked to go together."""
        return not self.together.isdisjoint(other.together)

    def parts(self, other: Wish) -> bool:
        """Whether the two are asked to go apart."""
        return any(
            list_ == other_list and place != other_place
            for list_, place in self.apart
            for other_list, other_place in other.apart
        )


NO_WISH = Wish()


class Named(Protocol):
    """What of a run a wish is about."""

    @property
    def id(self) -> str: ...
    @property
    def circuit(self) -> str: ...
    @property
    def kind(self) -> Literal["dc", "ac", "data"]: ...
    @property
    def wish(self) -> Wish: ...


def wish_of(wanted: LoomWishes, run: str, circuit: str) -> Wish:
    """What is wanted of a run.

    Args:
        wanted: of the project.
        run: its id.
        circuit: its circuit; empty for a spare.
    """
    if wanted.empty:
        return NO_WISH
    names = {run, circuit} - {""}
    together = frozenset(number for number, names_of in enumerate(wanted.together) if names & set(names_of))
    apart = frozenset(
        (number, place)
        for number, names_of in enumerate(wanted.apart)
        for place, name in enumerate(names_of)
        if name in names
    )
    return Wish(together, apart) if together or apart else NO_WISH


@dataclass(frozen=True)
class Contradiction:
    """A wish that cannot be held: where it stands, what is wrong, what is accepted."""

    place: str
    found: str
    accepted: str


def contradictions(wanted: LoomWishes, runs: Sequence[Named], data_apart: bool) -> Iterator[Contradiction]:
    """Wishes that name nothing, that rules of separation forbid, or that contradict one another.

    Args:
        wanted: of the project.
        runs: all runs, each with its wish.
        data_apart: whether data is kept apart from power.
    """
    known = {run.id for run in runs} | {run.circuit for run in runs if run.circuit}
    for key, lists in (("together", wanted.together), ("apart", wanted.apart)):
        for number, names in enumerate(lists, start=1):
            place = f"looms / {key} / item {number}"
            for name in names:
                if name not in known:
                    yield Contradiction(place, f"{name} is no run and no circuit of this project", _near(name, known))
            if len(set(names)) < len(names):
                yield Contradiction(place, "a name stands twice", "each run or circuit once")
    for number in range(1, len(wanted.together) + 1):
        own = [run for run in runs if number - 1 in run.wish.together]
        yield from _kept_apart(f"looms / together / item {number}", own, data_apart)
    yield from _both_ways(wanted, runs)


def _near(name: str, known: Iterable[str]) -> str:
    from ribway.models.nearest import nearest_word

    names = sorted(known)
    meant = nearest_word(name, names)
    return f"did you mean {meant}?" if meant else f"one of {', '.join(names[:12])}{' ...' if len(names) > 12 else ''}"


def _kept_apart(place: str, own: Sequence[Named], data_apart: bool) -> Iterator[Contradiction]:
    """Kinds in one list that may not lie in one bundle."""
    first = {kind: next((run.id for run in own if run.kind == kind), "") for kind in ("ac", "dc", "data")}
    low = first["dc"] or first["data"]
    if first["ac"] and low:
        yield Contradiction(
            place,
            f"{first['ac']} is mains voltage and {low} is not: they are never in one loom",
            "runs of mains voltage together, and all others together",
        )
    if data_apart and first["dc"] and first["data"]:
        yield Contradiction(
            place,
            f"{first['data']} is data and {first['dc']} is power: shop: data_power keeps them apart",
            "runs of one kind, or data_power: together",
        )


def _both_ways(wanted: LoomWishes, runs: Sequence[Named]) -> Iterator[Contradiction]:
    """Runs that one list puts together, straight or through others, and another apart."""
    group = {run.id: run.id for run in runs}

    def root(name: str) -> str:
        while group[name] != name:
            name = group[name]
        return name

    for number in range(len(wanted.together)):
        own = [run.id for run in runs if number in run.wish.together]
        for one in own[1:]:
            group[root(one)] = root(own[0])
    found: set[int] = set()
    for first, second in combinations(range(len(runs)), 2):
        a, b = runs[first], runs[second]
        if a.wish.parts(b.wish) and root(a.id) == root(b.id):
            number = min(list_ for list_, _ in _places_beside(a.wish, b.wish))
            if number not in found:
                found.add(number)
                yield Contradiction(
                    f"looms / apart / item {number + 1}",
                    f"{a.id} and {b.id} go apart here, and together by looms / together",
                    "one of the two",
                )


def _places_beside(one: Wish, other: Wish) -> frozenset[tuple[int, int]]:
    """Places of the first in lists that the second stands in elsewhere."""
    return frozenset(
        (list_, place)
        for list_, place in one.apart
        for other_list, other_place in other.apart
        if list_ == other_list and place != other_place
    )
