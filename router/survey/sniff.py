"""What kind of mesh file this is, by its content and not by its ending, and how many triangles it states."""

from __future__ import annotations

import json
import re
import struct
import zipfile
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from ribway.router.survey.errors import SurveyError

FileKind = Literal["glb", "gltf", "obj", "ply", "stl", "stl_ascii", "3mf", "off", "dae"]

MOST_TRIANGLES = 2_000_000
MOST_BYTES = 4_000_000_000
HEAD_BYTES = 65_536
_ACCEPTED = "GLB, glTF, OBJ, PLY, STL, 3MF, OFF or DAE"
_THIN = "thin it out first (a mesh programme calls it decimate or simplify; 500000 are plenty for a van)"
_ARCHIVES = {
    b"\x1f\x8b": "gzip", b"7z\xbc\xaf": "7z", b"Rar!": "rar", b"BZh": "bzip2", b"\xfd7zXZ": "xz",
}  # fmt: skip


@dataclass(frozen=True)
class FileFacts:
    """What is known of a file before it is loaded.

    Args:
        kind: its format.
        triangles: how many it states, at least; None where the format does not say without being read.
        unit: the unit that the format or the file states, ``m``, ``mm`` and so on; None if it states none.
    """

    kind: FileKind
    triangles: int | None
    unit: str | None = None


def sniff(file: Path) -> FileFacts:
    """Look at a file without loading it.

    Args:
        file: the path; its ending is not trusted.

    Returns:
        What kind of file it is.

    Raises:
        SurveyError: no such file, empty, cut short, an archive, no mesh, or more than ``MOST_TRIANGLES``.
    """
    if file.is_dir():
        raise SurveyError(f"{file}: this is a folder; name the mesh file in it")
    if not file.is_file():
        raise SurveyError(f"{file}: there is no such file; check the path")
    size = file.stat().st_size
    if size == 0:
        raise SurveyError(f"{file}: the file is empty; export it again")
    if size > MOST_BYTES:
        raise SurveyError(f"{file}: {size / 1e9:.1f} GB is more than is read ({MOST_BYTES / 1e9:.0f} GB); {_THIN}")
    with file.open("rb") as stream:
        head = stream.read(HEAD_BYTES)
    facts = _facts(file, head, size)
    if facts.triangles == 0:
        raise SurveyError(f"{file}: holds no triangles at all; export it again as a mesh, not as points or curves")
    if facts.triangles is not None and facts.triangles > MOST_TRIANGLES:
        raise SurveyError(f"{file}: holds {facts.triangles} triangles; accepted are {MOST_TRIANGLES}: {_THIN}")
    return facts


def _facts(file: Path, head: bytes, size: int) -> FileFacts:
    for magic, name in _ARCHIVES.items():
        if head.startswith(magic):
            raise SurveyError(f"{file}: this is a {name} archive; unpack it and name the mesh file in it")
    if head.startswith(b"glTF"):
        return _glb(file, head, size)
    if head.startswith(b"PK\x03\x04") or head.startswith(b"PK\x05\x06"):
        return _zip(file)
    text = head.decode("utf-8", "replace").lstrip("\ufeff \t\r\n")
    if re.match(r"ply\s", text):
        return _ply(file, text)
    if re.match(r"(ST)?(C|N)*OFF\b", text):
        return _off(file, text)
    if text.startswith("{"):
        return _gltf(file)
    if text.startswith("<"):
        if "<COLLADA" in text:
            metre = re.search(r"<unit[^>]*\bmeter\s*=\s*[\"']([0-9.eE+-]+)", text)
            return FileFacts("dae", None, _unit_of(float(metre[1])) if metre else None)
        raise SurveyError(f"{file}: this is XML but no COLLADA mesh; accepted are {_ACCEPTED}")
    states = struct.unpack("<I", head[80:84])[0] if size >= 84 else -1
    if size == 84 + 50 * states:
        return FileFacts("stl", states)
    if b"\x00" not in head[:2048]:
        return _text(file, text, size)
    if file.suffix.lower() == ".stl" and size >= 84:
        there = (size - 84) / 50
        raise SurveyError(
            f"{file}: states {states} triangles but its size is that of {there:.10g}; it was cut short or is damaged, "
            "export it again"
        )
    raise SurveyError(f"{file}: is no mesh that can be read; accepted are {_ACCEPTED}")


def _text(file: Path, text: str, size: int) -> FileFacts:
    if re.match(r"solid\b", text) and re.search(r"\bfacet\s+normal\b", text):
        tail = _tail(file, 4096).rstrip()
        if not tail.endswith("endsolid") and not re.search(r"endsolid[^\n]*$", tail):
            raise SurveyError(f"{file}: has no 'endsolid' at its end; it was cut short, export it again")
        return FileFacts("stl_ascii", _count(file, rb"\bendfacet\b"))
    faces = _count(file, rb"(?m)^[ \t]*f[ \t]")
    if re.search(r"(?m)^\s*v\s+[-+0-9.naif]", text) or faces:
        if faces == 0:
            raise SurveyError(f"{file}: has points but no faces; export it again as a mesh")
        return FileFacts("obj", faces)
    what = "text that is no mesh" if size > 3 else "too short for a mesh"
    raise SurveyError(f"{file}: is {what}; accepted are {_ACCEPTED}")


def _glb(file: Path, head: bytes, size: int) -> FileFacts:
    if size < 20 or len(head) < 20:
        raise SurveyError(f"{file}: is a GLB file of {size} bytes; it was cut short, export it again")
    stated, chunk = struct.unpack("<I", head[8:12])[0], struct.unpack("<I", head[12:16])[0]
    if stated != size:
        raise SurveyError(f"{file}: holds {size} bytes but states {stated}; it was cut short, export it again")
    with file.open("rb") as stream:
        stream.seek(20)
        return FileFacts("glb", _gltf_count(file, stream.read(chunk)), "m")


def _gltf(file: Path) -> FileFacts:
    data = file.read_bytes()
    return FileFacts("gltf", _gltf_count(file, data), "m")


def _gltf_count(file: Path, data: bytes) -> int | None:
    """Triangles of all meshes, as the accessors state them; nodes that repeat a mesh are not counted twice."""
    try:
        tree = json.loads(data)
    except ValueError as error:
        raise SurveyError(f"{file}: its glTF part is no readable JSON; export it again") from error
    if not isinstance(tree, dict) or "asset" not in tree:
        raise SurveyError(f"{file}: is JSON but no glTF mesh; accepted are {_ACCEPTED}")
    count = 0
    try:
        accessors = tree.get("accessors", [])
        for mesh in tree.get("meshes", []):
            for part in mesh["primitives"]:
                if part.get("mode", 4) != 4:
                    continue
                counted = part["indices"] if "indices" in part else part["attributes"]["POSITION"]
                count += int(accessors[counted]["count"]) // 3
    except (LookupError, TypeError, ValueError) as error:
        raise SurveyError(f"{file}: its list of meshes is damaged; export it again") from error
    return count


def _zip(file: Path) -> FileFacts:
    try:
        with zipfile.ZipFile(file) as archive:
            entries = archive.infolist()
            names = [entry.filename for entry in entries]
            models = [entry for entry in entries if entry.filename.lower().endswith(".model")]
            if not models:
                shown = ", ".join(names[:3]) or "nothing"
                raise SurveyError(f"{file}: this is a zip archive of {shown}; unpack it and name the mesh file in it")
            if sum(entry.file_size for entry in models) > MOST_BYTES:
                raise SurveyError(f"{file}: unpacks to more than {MOST_BYTES / 1e9:.0f} GB; {_THIN}")
            count, unit = 0, "mm"
            for entry in models:
                with archive.open(entry) as stream:
                    first, rest = stream.read(HEAD_BYTES), b""
                    stated = re.search(rb"<model[^>]*\bunit\s*=\s*[\"'](\w+)", first)
                    unit = _UNIT_WORDS.get(stated[1].decode() if stated else "millimeter", unit)
                    while first:
                        block = rest + first
                        count += len(re.findall(rb"<(?:\w+:)?triangle\s", block))
                        rest = block[-16:] if not re.search(rb"<(?:\w+:)?triangle\s", block[-16:]) else b""
                        first = stream.read(1 << 20)
    except (zipfile.BadZipFile, EOFError, OSError, NotImplementedError, RuntimeError) as error:
        raise SurveyError(f"{file}: is a damaged zip archive; export it again") from error
    return FileFacts("3mf", count, unit)


_UNIT_WORDS = {"millimeter": "mm", "centimeter": "cm", "meter": "m", "inch": "in", "foot": "ft", "micron": "micron"}


def _unit_of(metre: float) -> str | None:
    known = {"m": 1.0, "cm": 0.01, "mm": 0.001, "in": 0.0254, "ft": 0.3048}
    return next((name for name, size in known.items() if abs(metre / size - 1) < 1e-6), None)


def _ply(file: Path, text: str) -> FileFacts:
    header, end, _ = text.partition("end_header")
    if not end:
        raise SurveyError(f"{file}: its PLY header has no end; it was cut short, export it again")
    found = re.search(r"(?m)^element\s+face\s+(\d+)", header)
    if found is None:
        raise SurveyError(f"{file}: is a PLY file of points without faces; export it again as a mesh")
    return FileFacts("ply", int(found[1]))


def _off(file: Path, text: str) -> FileFacts:
    plain = re.sub(r"#[^\n]*", "", text)
    found = re.match(r"\S+\s+(\d+)\s+(\d+)", plain)
    if found is None:
        raise SurveyError(f"{file}: its OFF header gives no counts; export it again")
    return FileFacts("off", int(found[2]))


def _tail(file: Path, count: int) -> str:
    with file.open("rb") as stream:
        stream.seek(max(0, file.stat().st_size - count))
        return stream.read().decode("utf-8", "replace")


def _count(file: Path, pattern: bytes) -> int:
    """How often a word stands in a text file, read line by line in blocks."""
    total = 0
    wanted = re.compile(pattern)
    with file.open("rb") as stream:
        while lines := stream.readlines(1 << 22):
            total += len(wanted.findall(b"".join(lines)))
    return total
