"""What was made before, found again by all that it was made from.

A stage of planning that depends on nothing but its inputs asks here first. A key holds everything that the answer depends
on, so that an answer found is the answer that would be made; objects that are never changed stand for themselves.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import Any, TypeVar, cast

T = TypeVar("T")

KEPT_TURNS = 4


class Same:
    """A thing that stands for itself in a key, however much like another it is; it is kept as long as the key."""

    __slots__ = ("_thing",)

    def __init__(self, thing: object) -> None:
        self._thing = thing

    def __hash__(self) -> int:
        return id(self._thing)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Same) and other._thing is self._thing


class Memory:
    """Answers by kind and key; those not asked for over some turns are let go, so that a long sitting does not fill up.

    One plan at a time may use it: it is no place where threads meet.
    """

    def __init__(self) -> None:
        self._shelves: dict[str, dict[Hashable, list[Any]]] = {}
        self._turn = 0

    def of(self, kind: str, key: Hashable, make: Callable[[], T]) -> T:
        """The answer for a key; made now if it is not there. What raises is not kept.

        Args:
            kind: what is asked for.
            key: all that the answer depends on.
            make: makes it.
        """
        shelf = self._shelves.setdefault(kind, {})
        found = shelf.get(key)
        if found is None:
            found = shelf[key] = [make(), self._turn]
        found[1] = self._turn
        return cast(T, found[0])

    def has(self, kind: str, key: Hashable) -> bool:
        """Whether an answer is there."""
        return key in self._shelves.get(kind, {})

    def turn(self) -> None:
        """Begin another plan, and let go of what none of the last ones asked for."""
        self._turn += 1
        for shelf in self._shelves.values():
            for key in [key for key, found in shelf.items() if found[1] < self._turn - KEPT_TURNS]:
                del shelf[key]

    def __len__(self) -> int:
        """How many answers are kept."""
        return sum(len(shelf) for shelf in self._shelves.values())
