"""What is not done, in words."""

from __future__ import annotations


class RefusedError(Exception):
    """What was asked for is not done; nothing changed.

    Args:
        words: why, one sentence a line.
        stale: whether it was asked on an older state.
    """

    def __init__(self, words: str, stale: bool = False) -> None:
        self.words, self.stale = words, stale
        super().__init__(words)
