"""What is wrong inside a mesh file, in plain words: lines of an OBJ, blocks of a GLB, lists of a glTF.

Looked for before a library reads the file: trimesh leaves out lines that it cannot use, and what it says of damage is for
programmers.
"""

from __future__ import annotations

import json
import math
import struct
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any
from urllib.parse import unquote

MOST_SHOWN = 5
_COMPRESSED = ("KHR_draco_mesh_compression", "EXT_meshopt_compression")
# Bytes of a component and components of an element: glTF 2.0 (ISO/IEC 12113:2022), section 3.6.2.2.
_COMPONENT_BYTES = {5120: 1, 5121: 1, 5122: 2, 5123: 2, 5125: 4, 5126: 4}
_COMPONENTS = {"SCALAR": 1, "VEC2": 2, "VEC3": 3, "VEC4": 4, "MAT2": 4, "MAT3": 9, "MAT4": 16}


def obj_faults(data: bytes) -> list[str]:
    """What is wrong in the text of an OBJ file.

    Args:
        data: the file's bytes.

    Returns:
        A sentence for each line that cannot be right, with its number; no more than a handful. Empty if all is well.
    """
    if b"\0" in data:
        return ["is a binary file, not OBJ text; export it again as .obj"]
    found = []
    for fault in _obj_line_faults(data.decode("utf-8", errors="replace")):
        found.append(fault)
        if len(found) > MOST_SHOWN:
            return [
                *found[:MOST_SHOWN],
                f"has more faults after {found[MOST_SHOWN - 1].split(':')[0]}; export it again",
            ]
    return found


def _obj_line_faults(text: str) -> Iterator[str]:
    vertices = faces = 0
    faulty = False
    lines = text.splitlines()
    total = sum(1 for line in lines if line.split(None, 1)[:1] == ["v"])
    for number, line in enumerate(lines, start=1):
        word, *rest = line.split("#", 1)[0].split() or [""]
        if word == "v":
            vertices += 1
            if len(rest) < 3 or not all(_is_finite(value) for value in rest[:3]):
                faulty = True
                yield f"line {number}: <{_short(line)}> is no corner; accepted is v and three finite numbers"
        elif word == "f":
            faces += 1
            corners = [_corner(value, vertices) for value in rest]
            if len(corners) < 3 or None in corners:
                faulty = True
                yield f"line {number}: <{_short(line)}> is no face; accepted is f and three corners or more, each a number"
            elif any(corner is not None and not 1 <= corner <= total for corner in corners):
                faulty = True
                yield (f"line {number}: <{_short(line)}> has a corner that is not there; accepted are 1 to {total}")
    if not faces and not faulty:
        what = f"{vertices} corners and no face" if vertices else "no line begins with v or f"
        yield f"holds no mesh: {what}; export it again, each part as a named mesh"


def _is_finite(text: str) -> bool:
    try:
        return math.isfinite(float(text))
    except ValueError:
        return False


def _corner(text: str, vertices: int) -> int | None:
    """The number of a face's corner; one below zero counts back from the last corner above."""
    try:
        number = int(text.split("/", 1)[0])
    except ValueError:
        return None
    return number if number >= 0 else vertices + 1 + number


def _short(line: str) -> str:
    text = " ".join(line.split())
    return text if len(text) <= 40 else f"{text[:37]}..."


def glb_faults(data: bytes, folder: Path) -> list[str]:
    """What is wrong in a binary glTF file.

    Args:
        data: the file's bytes.
        folder: where it lies, for files that it names.

    Returns:
        A sentence for each fault; empty if none is found.

    Source: glTF 2.0 (ISO/IEC 12113:2022), section 4.4: twelve bytes of header, then blocks of length, kind and contents.
    """
    if data[:4] != b"glTF":
        return [f"is no binary glTF file: it begins with {_begins(data)} and not with glTF; export it again as .glb"]
    if len(data) < 20:
        return [f"holds {len(data)} bytes only; it was cut short, export it again"]
    version, stated = struct.unpack_from("<II", data, 4)
    if version != 2:
        return [f"is glTF of version {version}; accepted is 2, export it again"]
    if stated != len(data):
        return [f"holds {len(data)} bytes but states {stated}; it was cut short, export it again"]
    blocks: dict[bytes, bytes] = {}
    at = 12
    while at + 8 <= len(data):
        length, kind = struct.unpack_from("<I4s", data, at)
        if at + 8 + length > len(data):
            return [
                f"has a block of {length} bytes where {len(data) - at - 8} are left; it is damaged, export it again"
            ]
        blocks.setdefault(kind, data[at + 8 : at + 8 + length])
        at += 8 + length
    if b"JSON" not in blocks:
        return ["has no block that describes its parts; it is damaged, export it again"]
    return gltf_faults(blocks[b"JSON"], folder, blocks.get(b"BIN\0"))


def _begins(data: bytes) -> str:
    start = data[:4]
    return f"<{start.decode('ascii')}>" if start.isascii() and start.decode("ascii").isprintable() else start.hex(" ")


def gltf_faults(text: bytes, folder: Path, inside: bytes | None = None) -> list[str]:
    """What is wrong in the description of a glTF file.

    Args:
        text: the JSON text.
        folder: where the file lies, for files that it names.
        inside: the numbers that a GLB carries in itself; None for a .gltf file.

    Returns:
        A sentence for each fault; empty if none is found.
    """
    try:
        data = json.loads(text)
    except UnicodeDecodeError:
        return ["is no glTF text: it is not UTF-8; export it again"]
    except json.JSONDecodeError as error:
        return [f"is no glTF text: it breaks off or is damaged in line {error.lineno}; export it again"]
    except (ValueError, RecursionError):
        return ["is no glTF text: it is damaged; export it again"]
    asset = data.get("asset") if isinstance(data, dict) else None
    if not isinstance(asset, dict):
        return ["is no glTF text: it lacks its head, asset; export it again"]
    if not str(asset.get("version", "")).startswith("2."):
        return [f"is glTF of version {asset.get('version', 'unknown')}; accepted is 2.0, export it again"]
    needed = data.get("extensionsRequired")
    packed = [name for name in _COMPRESSED if isinstance(needed, list) and name in needed]
    if packed:
        return [f"is compressed ({', '.join(packed)}), which is not read; export it again without compression"]
    try:
        found = [*_buffer_faults(data, folder, inside), *_list_faults(data)]
    except (TypeError, ValueError, AttributeError):
        return ["is damaged: a list or number in its description is of the wrong kind; export it again"]
    more = [f"has {len(found) - MOST_SHOWN} more faults of this kind"] if len(found) > MOST_SHOWN else []
    return found[:MOST_SHOWN] + more


def _buffer_faults(data: Mapping[str, Any], folder: Path, inside: bytes | None) -> Iterator[str]:
    for index, buffer in enumerate(data.get("buffers", [])):
        length, uri = int(buffer["byteLength"]) if "byteLength" in buffer else 0, buffer.get("uri")
        if uri is None:
            have = len(inside) if inside is not None and index == 0 else 0
            if have < length:
                yield f"holds {have} bytes of numbers but describes {length}; it was cut short, export it again"
        elif not uri.startswith("data:"):
            beside = folder / unquote(uri)
            if not beside.is_file():
                yield f"needs the file {uri} beside it, which is not there; copy it there, or export one .glb file"
            elif beside.stat().st_size < length:
                yield f"needs {length} bytes of {uri}, which has {beside.stat().st_size}; export it again"


def _list_faults(data: Mapping[str, Any]) -> Iterator[str]:
    """Entries that name what is not there, or reach beyond what holds them."""
    buffers, views, accessors = data.get("buffers", []), data.get("bufferViews", []), data.get("accessors", [])
    for index, view in enumerate(views):
        one, length = view.get("buffer", -1), view.get("byteOffset", 0) + view.get("byteLength", 0)
        if not _in(one, buffers):
            yield f"is damaged: its block of numbers {index + 1} lies nowhere; export it again"
        elif length > buffers[one].get("byteLength", 0):
            yield f"is damaged: its block of numbers {index + 1} reaches beyond the end; export it again"
    for index, accessor in enumerate(accessors):
        one = accessor.get("bufferView")
        if one is not None and (not _in(one, views) or _bytes_of(accessor) > views[one].get("byteLength", 0)):
            yield f"is damaged: its list of numbers {index + 1} reaches beyond the end; export it again"
    for node in data.get("nodes", []):
        if "mesh" in node and not _in(node["mesh"], data.get("meshes", [])):
            yield f"is damaged: part '{node.get('name', 'without a name')}' has a mesh that is not there; export it again"
    for mesh in data.get("meshes", []):
        for primitive in mesh.get("primitives", []):
            named = [*primitive.get("attributes", {}).values(), primitive.get("indices", 0)]
            if not all(_in(one, accessors) for one in named):
                name = mesh.get("name", "without a name")
                yield f"is damaged: mesh '{name}' has corners that are not there; export it again"


def _in(index: object, things: list[Any]) -> bool:
    return type(index) is int and 0 <= index < len(things)


def _bytes_of(accessor: Mapping[str, Any]) -> int:
    """The least that a list of numbers takes [byte]."""
    each = _COMPONENT_BYTES.get(accessor.get("componentType", 0), 1) * _COMPONENTS.get(accessor.get("type", ""), 1)
    return int(accessor.get("byteOffset", 0)) + each * int(accessor.get("count", 0))
