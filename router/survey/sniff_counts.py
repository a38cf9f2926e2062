"""Files whose head states how much follows: PLY and OFF, with what they state held against their size."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from ribway.router.survey.errors import SurveyError
from ribway.router.survey.file_facts import MOST_TRIANGLES, FileFacts

MOST_HEAD = 4_000_000
# Bytes of a number: the PLY format's own words, and those with sizes in their names.
_BYTES = {
    "char": 1, "uchar": 1, "int8": 1, "uint8": 1, "short": 2, "ushort": 2, "int16": 2, "uint16": 2, "int": 4, "uint": 4,
    "int32": 4, "uint32": 4, "float": 4, "float32": 4, "double": 8, "float64": 8,
}  # fmt: skip
_TRIANGLE = 3


@dataclass
class _Element:
    """A list of a PLY file: its name, how many it states, the least bytes of one."""

    name: str
    count: int
    least: int = 0
    fields: tuple[str, ...] = ()


def ply_facts(file: Path, size: int) -> FileFacts:
    """Look at a PLY file.

    Args:
        file: its path.
        size: its bytes.

    Raises:
        SurveyError: what is wrong with its head, or that it is too short for what it states.
    """
    with file.open("rb") as stream:
        head = stream.read(MOST_HEAD)
    ended = re.search(rb"(?m)^\s*end_header[ \t]*\r?\n?", head)
    if ended is None:
        raise SurveyError(f"{file}: its PLY header has no end; it was cut short, export it again")
    elements = _elements(file, head[: ended.start()].decode("utf-8", "replace"))
    faces = next((one for one in elements if one.name == "face"), None)
    if faces is None:
        raise SurveyError(f"{file}: is a PLY file of points without faces; export it again as a mesh")
    if faces.count > MOST_TRIANGLES:
        return FileFacts("ply", faces.count)  # said as too much, however short the file
    corners = next((one for one in elements if one.name == "vertex"), None)
    if corners is None or not {"x", "y", "z"} <= set(corners.fields):
        raise SurveyError(f"{file}: its corners have no x, y and z; export it again")
    least = sum(one.count * one.least for one in elements)
    if least > size - ended.end():
        raise SurveyError(
            f"{file}: states {corners.count} corners and {faces.count} faces, for which its {size} bytes are too few; "
            "it was cut short, export it again"
        )
    return FileFacts("ply", faces.count)


def _elements(file: Path, head: str) -> list[_Element]:
    is_text = re.search(r"(?m)^\s*format\s+ascii\b", head) is not None
    out: list[_Element] = []
    for line in head.splitlines():
        word, *rest = line.split() or [""]
        if word == "element":
            if len(rest) != 2 or not rest[1].isdecimal():
                raise SurveyError(
                    f"{file}: its PLY header has <{line.strip()[:60]}>; accepted is element, a name, a count"
                )
            out.append(_Element(rest[0], int(rest[1])))
        elif word == "property" and out:
            kinds = rest[1:-1] if rest[:1] == ["list"] else rest[:-1]
            if not kinds or any(kind not in _BYTES for kind in kinds):
                raise SurveyError(f"{file}: its PLY header has <{line.strip()[:60]}>; that is no kind of number in PLY")
            many = _TRIANGLE if out[-1].name == "face" and len(kinds) == 2 else 0
            sizes = [2 if is_text else _BYTES[kind] for kind in kinds]  # as text a digit and a blank
            out[-1].least += sizes[0] if len(kinds) == 1 else sizes[0] + many * sizes[1]
            out[-1].fields += (rest[-1],)
    return out


def off_facts(file: Path, text: str, size: int) -> FileFacts:
    """Look at an OFF file.

    Args:
        file: its path.
        text: how it begins.
        size: its bytes.

    Raises:
        SurveyError: what is wrong with its head, or that it is too short for what it states.
    """
    plain = re.sub(r"#[^\n]*", "", text)
    if re.match(r"\S+\s+BINARY\b", plain):
        raise SurveyError(f"{file}: is OFF of the binary kind, which is not read; export it as text, or as PLY or STL")
    found = re.match(r"\S+\s+(\d+)\s+(\d+)", plain)
    if found is None:
        raise SurveyError(f"{file}: its OFF header gives no counts; export it again")
    corners, faces = int(found[1]), int(found[2])
    # The shortest lines are "0 0 0" and "3 0 1 2"; what is too much to be read is said as that, however short the file.
    if 6 * corners + 8 * faces > size + 2 and faces <= MOST_TRIANGLES:
        raise SurveyError(
            f"{file}: states {corners} corners and {faces} faces, for which its {size} bytes are too few; "
            "it was cut short, export it again"
        )
    return FileFacts("off", faces)
