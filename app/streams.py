"""Standard output and error made fit for any terminal: what it cannot show is shown plainly, and a closed one is silent."""

from __future__ import annotations

import codecs
import io
import os
import sys
import unicodedata
from contextlib import suppress

_HANDLER = "ribway.plain"
_PLAIN = {"°": "deg", "Ø": "dia. ", "×": "x", "−": "-", "–": "-", "—": "-", "·": ".", "→": "->", "≤": "<=", "≥": ">=", "ß": "ss",
          "‘": "'", "’": "'", "“": '"', "”": '"', "′": "'", "″": '"', "…": "..."}  # fmt: skip


def prepare_streams() -> None:
    """Give both streams an answer to signs that the terminal's encoding lacks, and open what is closed to nowhere."""
    codecs.register_error(_HANDLER, _plainly)
    # A closed stream is None.
    sys.stdout = sys.stdout or _nowhere()
    sys.stderr = sys.stderr or _nowhere()
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors=_HANDLER)


def drop_output() -> None:
    """Let what is left in standard output's buffer go nowhere, without a second complaint when the process ends."""
    with suppress(OSError, ValueError):  # a stream of a program that calls this one may have no file at all
        number = sys.stdout.fileno()
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, number)
        os.close(nowhere)


def _nowhere() -> io.TextIOWrapper:
    return open(os.devnull, "w", encoding="utf-8")


def _plainly(error: UnicodeError) -> tuple[str, int]:
    """The signs of ASCII that come nearest; a question mark where there are none."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return "".join(map(_plain_sign, error.object[error.start : error.end])), error.end


def _plain_sign(sign: str) -> str:
    if sign in _PLAIN:
        return _PLAIN[sign]
    parts = unicodedata.normalize("NFKD", sign).replace("\N{FRACTION SLASH}", "/")
    return "".join(part for part in parts if part.isascii()) or "?"
