"""The known word that a misspelt one was probably meant to be."""

from __future__ import annotations

import difflib
from collections.abc import Iterable

_LEAST_LIKENESS = 0.6  # share of letters in common, difflib's own default


def nearest_word(word: str, choices: Iterable[str]) -> str | None:
    """Find the most similar of the known words, blind to capitals, spaces, dashes and underscores.

    Args:
        word: as it was written.
        choices: the known words.

    Returns:
        One of the choices, the first in alphabetical order among equals, or None if none is alike.
    """
    wanted = _folded(word)
    likeness = {
        choice: difflib.SequenceMatcher(None, _folded(choice), wanted, autojunk=False).ratio() for choice in choices
    }
    alike = [choice for choice, share in likeness.items() if share >= _LEAST_LIKENESS]
    return min(alike, key=lambda choice: (-likeness[choice], choice), default=None)


def _folded(word: str) -> str:
    return " ".join(word.casefold().replace("_", " ").replace("-", " ").split())
