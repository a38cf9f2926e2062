"""What a glTF or GLB file holds, from its description alone: faults in plain words, triangles and parts as they are placed."""

from __future__ import annotations

import json
import struct
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from ribway.router.shell.mesh_faults import glb_faults, gltf_faults
from ribway.router.survey.errors import SurveyError
from ribway.router.survey.file_facts import ACCEPTED, FileFacts

MOST_VALUES = 5_000_000
"""Of a description; each takes up to a hundred bytes once it is read, so that this is half a gigabyte."""
# Triangles of so many corners, by mode: glTF 2.0 (ISO/IEC 12113:2022), section 3.7.2.1.
_BY_MODE = {4: lambda corners: corners // 3, 5: lambda corners: corners - 2, 6: lambda corners: corners - 2}
_MEANT_FOR_LOOKS = ("KHR_materials_", "KHR_texture_", "KHR_lights_", "EXT_texture_", "KHR_xmp", "MSFT_texture")
_READ = ("KHR_mesh_quantization",)


def gltf_facts(file: Path, data: bytes, is_binary: bool) -> FileFacts:
    """Look at a glTF or GLB file.

    Args:
        file: its path, beside which lie the files that it names.
        data: its bytes.
        is_binary: whether it is a GLB.

    Raises:
        SurveyError: what is wrong with it.
    """
    text = data
    if is_binary and len(data) >= 20:
        text = data[20 : 20 + struct.unpack_from("<I", data, 12)[0]]
    if sum(text.count(sign) for sign in (b",", b"[", b"{")) > MOST_VALUES:
        raise SurveyError(f"{file}: its glTF description has more than {MOST_VALUES} values; export it again as GLB")
    tree = _tree(text)
    if not is_binary and tree is not None and not (isinstance(tree, dict) and "asset" in tree):
        raise SurveyError(f"{file}: is JSON but no glTF mesh; accepted are {ACCEPTED}")
    for name in _named_outside(tree):
        raise SurveyError(f"{file}: names the file {name[:80]}, which lies outside its folder; export one .glb file")
    faults = glb_faults(data, file.parent) if is_binary else gltf_faults(data, file.parent)
    if faults:
        raise SurveyError(f"{file}: {faults[0]}")
    if not isinstance(tree, dict):
        raise SurveyError(f"{file}: is JSON but no glTF mesh; accepted are {ACCEPTED}")
    _check_extensions(file, tree)
    try:
        triangles, parts = _placed(file, tree)
    except SurveyError:
        raise
    except (LookupError, TypeError, ValueError, AttributeError) as error:
        raise SurveyError(f"{file}: its list of meshes is damaged; export it again") from error
    return FileFacts("glb" if is_binary else "gltf", triangles, "m", parts)


def _tree(text: bytes) -> Any:  # what JSON holds is not known
    try:
        return json.loads(text)
    except (ValueError, RecursionError):
        return None


def _named_outside(tree: object) -> list[str]:
    """Files that it names and that are not beside it."""
    named = tree.get("buffers") if isinstance(tree, dict) else None
    uris = [one.get("uri") for one in named if isinstance(one, dict)] if isinstance(named, list) else []
    plain = [uri for uri in uris if isinstance(uri, str) and not uri.startswith("data:")]
    return [uri for uri in plain if "://" in uri or uri.startswith(("/", "\\")) or ".." in Path(uri).parts]


def _check_extensions(file: Path, tree: Mapping[str, Any]) -> None:
    """Refuse what has to be understood for the shape to be right and is not: the standard asks for that (3.12)."""
    needed = tree.get("extensionsRequired") or []
    for name in needed if isinstance(needed, list) else []:
        if not str(name).startswith(_MEANT_FOR_LOOKS) and name not in _READ:
            raise SurveyError(f"{file}: needs the glTF extension {name}, which is not read; export it again without it")


def _placed(file: Path, tree: Mapping[str, Any]) -> tuple[int, int]:
    """Triangles and parts as the nodes of its scene place them, a mesh that is placed twice counted twice."""
    accessors, nodes = tree.get("accessors", []), tree.get("nodes", [])
    of_mesh = []
    for mesh in tree.get("meshes", []):
        count = 0
        for part in mesh["primitives"]:
            corners = accessors[part["attributes"]["POSITION"]]
            if corners.get("normalized"):
                raise SurveyError(f"{file}: its corners are packed (normalized), which is not read; export it unpacked")
            counted = accessors[part["indices"]] if "indices" in part else corners
            if part.get("mode", 4) in _BY_MODE:
                count += max(0, _BY_MODE[part.get("mode", 4)](int(counted["count"])))
        of_mesh.append(count)
    scenes = tree.get("scenes")
    if not scenes:
        raise SurveyError(f"{file}: has no scene, so that nothing of it is placed; export it again")
    waiting = [node for scene in scenes for node in scene.get("nodes", [])]
    seen: set[int] = set()
    triangles = parts = 0
    while waiting:
        at = int(waiting.pop())
        if at in seen:
            raise SurveyError(f"{file}: is damaged: part {at + 1} is placed twice or in itself; export it again")
        seen.add(at)
        node = nodes[at]
        waiting += node.get("children", [])
        if "mesh" in node:
            parts += 1
            triangles += of_mesh[node["mesh"]]
    return triangles, parts
