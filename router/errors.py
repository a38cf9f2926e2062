"""What the router refuses, in words for the person who has to mend it.

RouterError
├── PlaceFault     a place that is not on the shell, or where no cable may be
├── NameFault      a member, opening or way that the shell does not have
└── SizeFault      no stocked cable is good enough

AuditError, a RuntimeError, is no fault of the input: a defect of this programme.
"""

from __future__ import annotations


class RouterError(ValueError):
    """Input that is well formed but does not fit this shell.

    Args:
        place: key path in the project file, as a person reads it.
        found: what stands there.
        accepted: what would be accepted; empty if ``found`` says it already.
    """

    def __init__(self, place: str, found: str, accepted: str) -> None:
        self.place = place
        self.found = found
        self.accepted = accepted
        self.sentence = f"{found}; {accepted}" if accepted else found
        super().__init__(f"{place}: {self.sentence}")


class PlaceFault(RouterError):
    """A place that is not on the shell, or where no cable may be."""


class NameFault(RouterError):
    """A member, opening or way that the shell does not have."""


class SizeFault(RouterError):
    """No stocked cable is good enough."""


class AuditError(RuntimeError):
    """The finished plan does not pass its own audit; nothing may be built from it."""
