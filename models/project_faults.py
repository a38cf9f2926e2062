"""Faults of an input file: every one of them at once, each with its place.

Tree::

    Exception
    └── InputFaults          an input file cannot be used; nothing was written
        ├── ProjectFaults    the project file, or what it asks of its shell
        └── PlanFaults       a saved plan
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

_LONGEST_WORD = 300
IndexPath = tuple[str | int, ...]
"""Keys and list positions from the top of a file down to a value."""


@dataclass(frozen=True)
class Problem:
    """What is wrong at one value, before file and line are known.

    Args:
        path: where the value stands.
        found: what was found there, as written; empty if nothing.
        accepted: what would have been accepted.
        message: one sentence that says both, without the place.
    """

    path: IndexPath
    found: str
    accepted: str
    message: str


@dataclass(frozen=True)
class Fault:
    """One fault of an input file.

    Args:
        file: the file's path as the user gave it.
        place: key path with line number, ``devices / fridge / at / back, line 41``; empty if it is the whole file.
        found: what was found; empty if nothing.
        accepted: what would have been accepted.
        message: one sentence that says both, without the place.
        line: line number, counted from 1; 0 if there is none.
    """

    file: str
    place: str
    found: str
    accepted: str
    message: str
    line: int = 0

    def __str__(self) -> str:
        """The whole sentence: file, place, what was found and what is accepted."""
        said = (self.file, _cut(self.place), _cut(self.message))
        return ": ".join(part for part in said if part)


def _cut(text: str) -> str:
    """A sentence without words that are longer than any line: such a word is damage, and nobody reads it to the end."""
    return re.sub(rf"\S{{{_LONGEST_WORD},}}", lambda found: f"{found[0][:60]}...", text)


class InputFaults(Exception):
    """An input file that cannot be used, with all its faults."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        """Keep the faults in the order of their lines.

        Args:
            faults: one or more faults.
        """
        self.faults = tuple(sorted(faults, key=lambda fault: fault.line))
        super().__init__("\n".join(str(fault) for fault in self.faults))


class ProjectFaults(InputFaults):
    """A project file that cannot be planned."""


class PlanFaults(InputFaults):
    """A file that is no plan this version can read."""


def whole_file(file: str, message: str, *, found: str = "", accepted: str = "", line: int = 0) -> Fault:
    """A fault of the file as a whole, or of one line whose keys are not known.

    Args:
        file: the file's path as the user gave it.
        message: one sentence.
        found: what was found.
        accepted: what would have been accepted.
        line: line number, counted from 1; 0 if there is none.

    Returns:
        The fault.
    """
    return Fault(file, f"line {line}" if line else "", found, accepted, message, line)
