"""Text and elements as HTML, with everything escaped."""

from __future__ import annotations

import json
from html import escape
from typing import Any

VOID = frozenset({"input", "meta", "br", "hr"})


def text(words: str) -> str:
    """Words as HTML; line feeds become line breaks."""
    return "<br>".join(escape(line) for line in words.split("\n"))


def element(name: str, *inside: str, **attributes: str | bool) -> str:
    """An element.

    Args:
        name: its tag.
        inside: HTML, already escaped.
        attributes: values as plain text; ``_`` in a name stands for ``-``, a trailing one is dropped (``class_``).
            True is an attribute without a value, False is none.

    Returns:
        HTML.
    """
    parts = [name]
    for key, value in attributes.items():
        written = key.rstrip("_").replace("_", "-")
        if value is True:
            parts.append(written)
        elif value is not False:
            parts.append(f'{written}="{escape(value)}"')
    opening = f"<{' '.join(parts)}>"
    return opening if name in VOID else f"{opening}{''.join(inside)}</{name}>"


def json_block(data: Any) -> str:
    """Data as JSON that may stand inside a script element, whatever texts are in it.

    Args:
        data: fit for JSON.

    Returns:
        JSON without ``<``, ``>`` and ``&``, and without the two separators that older scripts take for line ends.
    """
    written = json.dumps(data, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    for letter in "<>&\u2028\u2029":
        written = written.replace(letter, f"\\u{ord(letter):04x}")
    return written


def chip(colour: str, form: str = "", banded: bool = False) -> str:
    """A spot of colour.

    Args:
        colour: ``#rrggbb``.
        form: any text for a round one.
        banded: with the white bands of a loom whose colour another had first.
    """
    mark = element("rect", x="1", y="1", width="18", height="18", rx="10" if form else "3", fill=colour)
    bands = [element("rect", x=x, y="1", width="3", height="18", fill="#ffffff") for x in ("5", "12")] if banded else []
    return element("svg", mark, *bands, class_="chip", viewBox="0 0 20 20", aria_hidden="true")
