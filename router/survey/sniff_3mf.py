"""What a 3MF archive holds, read through once without unpacking it to memory: objects, how often each is placed, its unit.

Source of the format: 3MF Core Specification 1.3, sections 3 and 4: objects of triangles or of others, items that place them.
"""

from __future__ import annotations

import re
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import IO

from ribway.router.survey.errors import SurveyError
from ribway.router.survey.file_facts import MOST_BYTES, THIN, FileFacts

BLOCK = 1 << 20
_MODEL = "3d/3dmodel.model"
_UNITS = {"millimeter": "mm", "centimeter": "cm", "meter": "m", "inch": "in", "foot": "ft", "micron": "micron"}
_TRIANGLE = re.compile(rb"<(?:\w+:)?triangle\s")
_TAG = re.compile(rb"<(?:\w+:)?(object|component|item)\b([^>]*)>")
_ID = re.compile(rb"\bid\s*=\s*[\"']([^\"']*)")
_OF = re.compile(rb"\bobjectid\s*=\s*[\"']([^\"']*)")
_PATH = re.compile(rb"\bpath\s*=\s*[\"']")
_DAMAGED = (zipfile.BadZipFile, zlib.error, EOFError, OSError, NotImplementedError, RuntimeError)


@dataclass
class _Model:
    """A model as it is read through.

    Args:
        unit: what it states.
        own: triangles of each object itself.
        within: the objects that each object is made of.
        items: the objects that are placed.
        is_spread: whether parts of it are in other files of the archive.
    """

    unit: str = "mm"
    own: dict[bytes, int] = field(default_factory=dict)
    within: dict[bytes, list[bytes]] = field(default_factory=dict)
    items: list[bytes] = field(default_factory=list)
    is_spread: bool = False


def zip_facts(file: Path) -> FileFacts:
    """Look at a zip archive, which is a 3MF if it holds a model.

    Args:
        file: its path.

    Raises:
        SurveyError: it is damaged, any other archive, or unpacks to too much.
    """
    try:
        with zipfile.ZipFile(file) as archive:
            entries = archive.infolist()
            models = [entry for entry in entries if _MODEL in entry.filename.lower()]
            if not models:
                shown = ", ".join(entry.filename for entry in entries[:3]) or "nothing"
                raise SurveyError(f"{file}: this is a zip archive of {shown}; unpack it and name the mesh file in it")
            unpacked = sum(entry.file_size for entry in entries)
            if unpacked > MOST_BYTES:
                raise SurveyError(
                    f"{file}: unpacks to {unpacked / 1e9:.1f} GB; accepted is {MOST_BYTES / 1e9:.0f} GB: {THIN}"
                )
            with archive.open(models[0]) as stream:
                model = _read(stream)
    except _DAMAGED as error:
        raise SurveyError(f"{file}: is a damaged zip archive; export it again") from error
    if model.is_spread:
        raise SurveyError(
            f"{file}: keeps its parts in further files inside it, which is not read; export it as STL or OBJ"
        )
    if not model.items:
        raise SurveyError(f"{file}: places none of its objects (its build list is empty); export it again")
    try:
        placed = [_weight(name, model, {}, ()) for name in model.items]
    except RecursionError:
        raise SurveyError(f"{file}: is damaged: an object is made of itself; export it again") from None
    triangles = max(sum(count for count, _ in placed), sum(model.own.values()))
    return FileFacts("3mf", triangles, model.unit, sum(parts for _, parts in placed))


def _read(stream: IO[bytes]) -> _Model:
    model, now, first = _Model(), b"", True
    for text in _whole_tags(stream):
        if first:
            stated = re.search(rb"<(?:\w+:)?model[^>]*\bunit\s*=\s*[\"'](\w+)", text)
            model.unit = _UNITS.get(stated[1].decode() if stated else "millimeter", "mm")
            first = False
        at = 0
        for tag in _TAG.finditer(text):
            model.own[now] = model.own.get(now, 0) + len(_TRIANGLE.findall(text, at, tag.start()))
            at = tag.end()
            kind, rest = tag[1], tag[2]
            if kind == b"object":
                found = _ID.search(rest)
                now = found[1] if found else b""
                continue
            of = _OF.search(rest)
            model.is_spread |= _PATH.search(rest) is not None
            if of is not None and kind == b"item":
                model.items.append(of[1])
            elif of is not None:
                model.within.setdefault(now, []).append(of[1])
        model.own[now] = model.own.get(now, 0) + len(_TRIANGLE.findall(text, at))
    return model


def _whole_tags(stream: IO[bytes]) -> Iterator[bytes]:
    """The text in blocks that end behind a tag."""
    rest = b""
    while block := stream.read(BLOCK):
        text = rest + block
        end = text.rfind(b">") + 1
        rest = text[end:].lstrip()
        if len(rest) > BLOCK:
            raise zipfile.BadZipFile("a tag without end")
        if end:
            yield text[:end]


def _weight(
    name: bytes, model: _Model, known: dict[bytes, tuple[int, int]], within: tuple[bytes, ...]
) -> tuple[int, int]:
    """Triangles and parts of an object with all that it is made of."""
    if name in within:
        raise RecursionError
    if name not in known:
        own = model.own.get(name, 0)
        more = [_weight(one, model, known, (*within, name)) for one in model.within.get(name, [])]
        known[name] = (own + sum(count for count, _ in more), (own > 0) + sum(parts for _, parts in more))
    return known[name]
