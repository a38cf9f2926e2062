"""Words compared as people read them: blind to capitals, accents, spaces and dashes."""

from __future__ import annotations

import hashlib
import re
import unicodedata

MOST_SLUG = 28
"""Longest id made from a name: with a lead's name behind it, it still is an id of the project file."""

_LETTERS = str.maketrans({"ß": "ss", "æ": "ae", "ø": "o", "œ": "oe", "đ": "d", "ł": "l", "ı": "i"})


def folded(text: str) -> str:
    """A text without what people spell in different ways.

    Args:
        text: as written.

    Returns:
        Small letters without accents; what parts words is one space.
    """
    plain = unicodedata.normalize("NFKD", text.casefold().translate(_LETTERS))
    kept = "".join(sign for sign in plain if not unicodedata.combining(sign))
    return " ".join(re.sub(r"[\s_./()\-]+", " ", kept).split())


def slug(text: str, most: int = MOST_SLUG) -> str:
    """An id made from a name: the same name always gives the same id, and different names different ones.

    Args:
        text: the name.
        most: longest id.

    Returns:
        Small letters, digits and dashes, a letter first. Where that loses what tells names apart (a long name, or one
        in another script), a few letters computed from the whole name stand behind it.
    """
    plain = folded(text)
    body = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")
    start = body if re.match(r"[a-z]", body) else f"n-{body}".rstrip("-")
    if re.fullmatch(r"[a-z0-9 ]+", plain) and len(start) <= most:
        return start
    mark = hashlib.sha256(plain.encode("utf-8")).hexdigest()[:6]
    return f"{start[: most - 7].rstrip('-')}-{mark}"
