"""The typeface of the papers: Bitstream Vera, which comes with reportlab and may be used freely.

It has what the trade needs (Ω, ², ×, °, ≤) and the letters of western Europe. A letter that it lacks is printed without
its accent, or as a question mark; the CSV files have every letter.
"""

from __future__ import annotations

import unicodedata
from functools import lru_cache
from pathlib import Path

import reportlab
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from ribway.sheets.marks import Face
from ribway.sheets.words import GLUE

REGULAR, BOLD = "ribway-regular", "ribway-bold"
UNKNOWN = "?"

_FILES = {REGULAR: "Vera.ttf", BOLD: "VeraBd.ttf"}
_INSTEAD = {
    "→": "->", "←": "<-", "′": "'", "″": '"', "‐": "-", "‑": "-", "‒": "–", "―": "–", "⁄": "/", "∅": "Ø",
    "\N{GREEK CAPITAL LETTER OMEGA}": "\N{OHM SIGN}", "\N{OHM SIGN}": "\N{GREEK CAPITAL LETTER OMEGA}",
    "㎡": "m²", "㎟": "mm²", "☐": "", "✓": "x", "\t": " ", "\r": " ",
}  # fmt: skip


def face() -> Face:
    """The typeface, made known to reportlab."""
    _fonts()
    return Face(measure, printable)


def font_name(bold: bool) -> str:
    """The name by which reportlab knows the typeface."""
    return BOLD if bold else REGULAR


def font_of(bold: bool) -> TTFont:
    """The typeface itself."""
    return _fonts()[int(bold)]


@lru_cache(maxsize=20_000)
def measure(text: str, size: float, bold: bool) -> float:
    """Width of a text.

    Args:
        text: the text.
        size: size of its letters [pt].
        bold: whether they are bold.

    Returns:
        Its width [pt].
    """
    _fonts()
    return float(pdfmetrics.stringWidth(text, font_name(bold), size))


@lru_cache(maxsize=20_000)
def printable(text: str) -> str:
    """A text with nothing left in it that the typeface lacks.

    Args:
        text: the text; its line feeds and its glue stay.

    Returns:
        What can be printed.
    """
    known = _known()
    return "".join(sign if sign in ("\n", GLUE) or sign in known else _replaced(sign, known) for sign in text)


@lru_cache(maxsize=1)
def _fonts() -> tuple[TTFont, ...]:
    folder = Path(reportlab.__file__).parent / "fonts"
    fonts = tuple(TTFont(name, str(folder / file)) for name, file in _FILES.items())
    for font in fonts:
        pdfmetrics.registerFont(font)
    return fonts


@lru_cache(maxsize=1)
def _known() -> frozenset[str]:
    """The signs that both weights have, but for those that print nothing."""
    tables = [{code for code, glyph in font.face.charToGlyph.items() if glyph} for font in _fonts()]
    signs = (chr(code) for code in set.intersection(*tables))
    return frozenset(sign for sign in signs if sign == " " or unicodedata.category(sign)[0] not in "CZ")


def _replaced(sign: str, known: frozenset[str]) -> str:
    instead = _INSTEAD.get(sign)
    if instead is not None and known.issuperset(instead):
        return instead
    if unicodedata.category(sign)[0] == "Z":
        return " "
    if unicodedata.category(sign) in ("Cc", "Cf", "Mn"):
        return ""
    plain = "".join(part for part in unicodedata.normalize("NFKD", sign) if part in known)
    return plain or UNKNOWN
