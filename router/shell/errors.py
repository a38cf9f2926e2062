"""The one error that shells raise."""

from __future__ import annotations


class ShellError(ValueError):
    """A shell cannot be made from what was given; each fault says what, where, which value and what is accepted.

    Attributes:
        sentences: one for each fault.
        place: where in the project's vehicle they stand, such as ``mesh``; empty if that is not known.
    """

    def __init__(self, *faults: str, place: str = "") -> None:
        """Keep the faults apart, for whoever prints them line by line.

        Args:
            faults: one sentence for each.
            place: where in the project's vehicle they stand.
        """
        super().__init__("; ".join(faults))
        self.sentences = faults
        self.place = place
