"""What is known of a mesh file before it is loaded, and how much of one is read."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

FileKind = Literal["glb", "gltf", "obj", "ply", "stl", "stl_ascii", "3mf", "off", "dae"]

MOST_TRIANGLES = 2_000_000
MOST_PARTS = 20_000
MOST_BYTES = 1_000_000_000
"""A mesh of the most triangles takes a fifth of it as text; more is pictures, or no mesh."""
ACCEPTED = "GLB, glTF, OBJ, PLY, STL, 3MF, OFF or DAE"
THIN = "thin it out first (a mesh programme calls it decimate or simplify; 500000 are plenty for a van)"


@dataclass(frozen=True)
class FileFacts:
    """What is known of a file before it is loaded.

    Args:
        kind: its format.
        triangles: how many it states, at least; None where the format does not say without being read.
        unit: the unit that the format or the file states, ``m``, ``mm`` and so on; None if it states none.
        parts: how many meshes are placed in it, at least.
    """

    kind: FileKind
    triangles: int | None
    unit: str | None = None
    parts: int = 1
