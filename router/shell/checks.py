"""Which shell parameters make no van: every fault named with its value and what is accepted."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ribway.router.shell.check_body import body_faults, number_faults
from ribway.router.shell.check_features import feature_faults

if TYPE_CHECKING:
    from ribway.router.shell.parameters import ShellParameters


def find_faults(parameters: ShellParameters) -> tuple[str, ...]:
    """The faults of a set of parameters.

    Args:
        parameters: what the fitter measured.

    Returns:
        One sentence a fault; empty when a shell can be built. What is set into a body is checked once the body is
        sound, and the body once its numbers are.
    """
    return number_faults(parameters) or body_faults(parameters) or feature_faults(parameters)
