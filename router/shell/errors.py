"""The one error that shells raise."""

from __future__ import annotations


class ShellError(ValueError):
    """A shell cannot be made from what was given; the message says what, where, which value and what is accepted."""
