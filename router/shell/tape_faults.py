"""What is wrong with a van by tape, in words for the person with the tape."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from ribway.router.shell.errors import ShellError


@dataclass(frozen=True)
class TapeFault:
    """One fault.

    Args:
        place: key path in the project file, as a person reads it.
        found: what stands there.
        accepted: what would be accepted.
    """

    place: str
    found: str
    accepted: str

    def __str__(self) -> str:
        """The whole sentence."""
        return f"{self.place}: {self.found}; {self.accepted}"


class TapeError(ShellError):
    """A tape from which no shell can be made, with all its faults.

    Args:
        faults: every one of them.
    """

    def __init__(self, faults: Iterable[TapeFault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(str(fault) for fault in self.faults))


def metres(value_m: float) -> str:
    """A length for a sentence: ``1.840 m``."""
    return f"{value_m:.3f} m"
