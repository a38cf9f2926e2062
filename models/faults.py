"""Errors of the models room.

Tree::

    ValueError
    └── SpellingError    a field's text (or what stands in its place) cannot be read with certainty
"""

from __future__ import annotations


class SpellingError(ValueError):
    """A written quantity that cannot be read with certainty.

    Attributes:
        found: what stood in the field.
        accepted: what would have been accepted, as examples.
    """

    def __init__(self, message: str, found: str = "", accepted: str = "") -> None:
        """Keep the one sentence for people and its parts for programmes.

        Args:
            message: one sentence: which quantity, what was found, what is accepted.
            found: what stood in the field.
            accepted: what would have been accepted.
        """
        super().__init__(message)
        self.found = found
        self.accepted = accepted
