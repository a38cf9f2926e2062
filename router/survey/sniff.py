"""What kind of mesh file this is, by its content and not by its ending, and how many triangles it states."""

from __future__ import annotations

import re
import stat
import struct
from pathlib import Path

from ribway.models.disk_words import disk_reason
from ribway.router.shell.mesh_faults import obj_faults
from ribway.router.survey.errors import SurveyError
from ribway.router.survey.file_facts import ACCEPTED, MOST_BYTES, MOST_PARTS, MOST_TRIANGLES, THIN, FileFacts
from ribway.router.survey.sniff_3mf import zip_facts
from ribway.router.survey.sniff_counts import off_facts, ply_facts
from ribway.router.survey.sniff_gltf import gltf_facts

HEAD_BYTES = 65_536
BLOCK = 1 << 22
_ARCHIVES = {
    b"\x1f\x8b": "gzip", b"7z\xbc\xaf": "7z", b"Rar!": "rar", b"BZh": "bzip2", b"\xfd7zXZ": "xz",
}  # fmt: skip
_NO_CORNER = rb"(?m)^[ \t]*f[ \t](?:[^\n#]*[ \t])?0+[/ \t\r\n]"
"""A face with corner 0: OBJ counts from 1, and a library takes 0 for the last."""
_TAR = (257, b"ustar")
_NO_TRIANGLES = "holds no triangles at all; export it again as a mesh, not as points or curves"


def sniff(file: Path) -> FileFacts:
    """Look at a file without loading it.

    Args:
        file: the path; its ending is not trusted.

    Returns:
        What kind of file it is.

    Raises:
        SurveyError: no such file, empty, cut short, an archive, no mesh, or more than ``MOST_TRIANGLES``.
    """
    size = _size(file)
    with file.open("rb") as stream:
        head = stream.read(HEAD_BYTES)
    facts = _facts(file, head, size)
    if facts.triangles == 0:
        raise SurveyError(f"{file}: {_NO_TRIANGLES}")
    if facts.triangles is not None and facts.triangles > MOST_TRIANGLES:
        raise SurveyError(f"{file}: holds {facts.triangles} triangles; accepted are {MOST_TRIANGLES}: {THIN}")
    if facts.parts > MOST_PARTS:
        raise SurveyError(
            f"{file}: holds {facts.parts} parts; accepted are {MOST_PARTS}: join parts that belong together"
        )
    return facts


def _size(file: Path) -> int:
    """Bytes of a file that can be read [byte]."""
    try:
        about = file.stat()
    except FileNotFoundError:
        if file.is_symlink():
            raise SurveyError(f"{file}: is a link to a file that is not there; name the mesh file itself") from None
        raise SurveyError(f"{file}: there is no such file; check the path") from None
    except OSError as error:
        raise SurveyError(f"{file}: cannot be read: {disk_reason(error)}") from error
    if stat.S_ISDIR(about.st_mode):
        raise SurveyError(f"{file}: this is a folder; name the mesh file in it")
    if not stat.S_ISREG(about.st_mode):
        raise SurveyError(f"{file}: is no file on a disk but a pipe or a device; name the mesh file itself")
    if about.st_size == 0:
        raise SurveyError(f"{file}: the file is empty; export it again")
    if about.st_size > MOST_BYTES:
        raise SurveyError(
            f"{file}: {about.st_size / 1e9:.1f} GB is more than is read ({MOST_BYTES / 1e9:.0f} GB): {THIN}"
        )
    return about.st_size


def _facts(file: Path, head: bytes, size: int) -> FileFacts:
    packed = next((name for magic, name in _ARCHIVES.items() if head.startswith(magic)), None)
    if packed is None and head[_TAR[0] :].startswith(_TAR[1]):
        packed = "tar"
    if packed is not None:
        raise SurveyError(f"{file}: this is a {packed} archive; unpack it and name the mesh file in it")
    if head.startswith(b"glTF"):
        return gltf_facts(file, file.read_bytes(), True)
    if head.startswith(b"PK\x03\x04") or head.startswith(b"PK\x05\x06"):
        return zip_facts(file)
    text = head.decode("utf-8", "replace").lstrip("\ufeff \t\r\n")
    if re.match(r"ply\s", text):
        return ply_facts(file, size)
    if re.match(r"(ST)?(C|N)*OFF\b", text):
        return off_facts(file, text, size)
    if text.startswith("{"):
        return gltf_facts(file, file.read_bytes(), False)
    if text.startswith("<"):
        if "<COLLADA" in text:
            return _dae(file, text)
        raise SurveyError(f"{file}: this is XML but no COLLADA mesh; accepted are {ACCEPTED}")
    states = struct.unpack("<I", head[80:84])[0] if size >= 84 else None
    if states is not None and size == 84 + 50 * states:
        return FileFacts("stl", states)
    if b"\x00" not in head[:2048]:
        return _text(file, text, size)
    is_named_so = file.suffix.lower() == ".stl" or head.startswith(b"solid")
    if states is not None and is_named_so and head[:1].isascii():
        there = (size - 84) / 50
        raise SurveyError(
            f"{file}: states {states} triangles but its size is that of {there:.10g}; it was cut short or is damaged, "
            "export it again"
        )
    raise SurveyError(f"{file}: is no mesh that can be read; accepted are {ACCEPTED}")


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
        if not _count(file, rb"(?m)^[ \t]*v[ \t]"):
            raise SurveyError(f"{file}: has no points, so it is no mesh; accepted are {ACCEPTED}")
        if _count(file, _NO_CORNER):
            raise SurveyError(f"{file}: {next(iter(obj_faults(file.read_bytes())), _NO_TRIANGLES)}")
        return FileFacts("obj", faces)
    what = "text that is no mesh" if size > 3 else "too short for a mesh"
    raise SurveyError(f"{file}: is {what}; accepted are {ACCEPTED}")


def _tail(file: Path, count: int) -> str:
    with file.open("rb") as stream:
        stream.seek(max(0, file.stat().st_size - count))
        return stream.read().decode("utf-8", "replace")


def _count(file: Path, pattern: bytes) -> int:
    """How often a word stands in a text file, read in blocks of whole lines.

    Raises:
        SurveyError: a line is longer than a block.
    """
    total = 0
    wanted = re.compile(pattern)
    rest = b""
    with file.open("rb") as stream:
        while block := stream.read(BLOCK):
            text = rest + block
            end = text.rfind(b"\n") + 1
            rest = text[end:]
            if len(rest) >= BLOCK:
                raise SurveyError(
                    f"{file}: has a line of more than {BLOCK >> 20} MB, so it is no mesh that can be read"
                )
            total += len(wanted.findall(text[:end]))
    return total + len(wanted.findall(rest))


def _dae(file: Path, text: str) -> FileFacts:
    """COLLADA states the triangles of each list, and quads and more in lists of polygons."""
    metre = re.search(r"<unit[^>]*\bmeter\s*=\s*[\"']([0-9.eE+-]+)", text)
    counted = re.compile(rb"<(?:triangles|tristrips|trifans|polylist|polygons)\b[^>]*\bcount\s*=\s*[\"'](\d+)")
    total = sum(int(one) for one in counted.findall(file.read_bytes()))
    return FileFacts("dae", total, _unit_of(float(metre[1])) if metre else None)


def _unit_of(metre: float) -> str | None:
    known = {"m": 1.0, "cm": 0.01, "mm": 0.001, "in": 0.0254, "ft": 0.3048}
    return next((name for name, size in known.items() if abs(metre / size - 1) < 1e-6), None)
