"""Finding all faults first, then speaking once."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TypeVar

from ribway.models.nearest import nearest_word
from ribway.router.errors import RouterError

T = TypeVar("T")


class RouterFaults(ValueError):
    """All places and names of a project that do not fit its shell.

    Args:
        faults: every one of them.
    """

    def __init__(self, faults: tuple[RouterError, ...]) -> None:
        self.faults = faults
        super().__init__("\n".join(str(fault) for fault in faults))


class Collector:
    """Gathers faults so that the user gets them all at once."""

    def __init__(self) -> None:
        self._faults: list[RouterError] = []

    def add(self, fault: RouterError) -> None:
        """Keep a fault for later."""
        self._faults.append(fault)

    def take(self, make: Callable[[], T]) -> T | None:
        """What ``make`` returns, or None if it finds a fault."""
        try:
            return make()
        except RouterError as fault:
            self.add(fault)
            return None

    def raise_all(self) -> None:
        """Raise `RouterFaults` if anything was found."""
        if self._faults:
            raise RouterFaults(tuple(self._faults))

    @staticmethod
    def near(name: str, known: Iterable[str]) -> str:
        """Words that name the nearest known name."""
        names = sorted(known)
        nearest = nearest_word(name, names)
        if nearest is not None:
            return f"did you mean {nearest}?"
        return f"one of {', '.join(names[:12])}{' ...' if len(names) > 12 else ''}"
