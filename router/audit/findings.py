"""How the audit says what it found."""

from __future__ import annotations

from typing import Final

from ribway.models.plan.results import Finding

DEFECT: Final = "do not build from this plan; plan again, and if it stays, report it with the project file and the plan"


def error(code: str, about: str, message: str, remedy: str = DEFECT) -> Finding:
    """A broken rule.

    Args:
        code: name of the rule.
        about: id of what breaks it.
        message: what was found, with the numbers.
        remedy: what to do.
    """
    return Finding(level="error", code=code, about=about, message=message, remedy=remedy)


def warning(code: str, about: str, message: str, remedy: str) -> Finding:
    """Something a person should look at; see `error`."""
    return Finding(level="warning", code=code, about=about, message=message, remedy=remedy)


def note(code: str, about: str, message: str, remedy: str) -> Finding:
    """Something the audit neither confirms nor refutes; see `error`."""
    return Finding(level="note", code=code, about=about, message=message, remedy=remedy)
