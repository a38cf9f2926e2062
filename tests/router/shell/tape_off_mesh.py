"""Tape lines read off a van's meshes, as a person reads them off the metal; imports nothing that builds shells."""

from __future__ import annotations

from collections import defaultdict
from typing import Any

import numpy as np
from mesh_facts import directed_edges
from numpy.typing import NDArray

Array = NDArray[np.float64]


def tape_lines(shell: Any) -> dict[str, Any]:
    """The ten lines of a shell, SI numbers."""
    wall = _mesh(shell.skins, "left").vertices
    front = wall[np.abs(wall[:, 0]) < 1e-6]
    floor, waist, edge = (front[np.argmin(front[:, 2])], front[np.argmax(front[:, 1])], front[np.argmax(front[:, 2])])
    roof = _mesh(shell.skins, "roof").vertices
    arch = _mesh(shell.obstacles, "arch-left").vertices
    ribs = {side: _rib_boxes(shell, side[0].upper()) for side in ("left", "right")}
    low, high = ribs["left"][0]
    rear = wall[np.abs(wall[:, 0] - wall[:, 0].min()) < 1e-6]
    plane = np.array([floor, waist, rear[np.argmin(rear[:, 2])]])
    door = _door(shell)
    return {
        "length": float(-wall[:, 0].min()),
        "floor_width": 2 * float(floor[1]),
        "waist_width": 2 * float(waist[1]),
        "waist_height": float(waist[2]),
        "roof_edge_width": 2 * float(edge[1]),
        "roof_edge_height": float(edge[2]),
        "centre_height": float(roof[:, 2].max()),
        "ribs_left": tuple((a + b) / 2 for a, b in ribs["left"]),
        "ribs_right": tuple((a + b) / 2 for a, b in ribs["right"]),
        "side_door": {"side": "right", "front": door[0], "rear": door[1]},
        "wheel_arch": {
            "front": float(-arch[:, 0].max()),
            "length": float(np.ptp(arch[:, 0])),
            "height": float(arch[:, 2].max()),
        },
        "rib": {"depth": _depth(_mesh(shell.members, "L1").vertices, plane, float(waist[2])), "face_width": high - low},
    }


def _mesh(parts: Any, name: str) -> Any:
    return next(part.mesh for part in parts if part.name == name)


def _rib_boxes(shell: Any, letter: str) -> list[tuple[float, float]]:
    """Front and rear face of each rib, as distances back."""
    found = []
    for member in shell.members:
        if member.kind == "rib" and member.name[0] == letter:
            back = -member.mesh.vertices[:, 0]
            found.append((float(back.min()), float(back.max())))
    return sorted(found)


def _depth(rib: Array, plane: Array, waist_m: float) -> float:
    """How far the rib stands off the lower wall."""
    normal = np.cross(plane[1] - plane[0], plane[2] - plane[0])
    lower = rib[rib[:, 2] < waist_m - 0.1]
    return float(np.abs((lower - plane[0]) @ (normal / np.linalg.norm(normal))).max())


def _door(shell: Any) -> tuple[float, float]:
    """Edges of the widest hole in the right wall, as distances back."""
    mesh = _mesh(shell.skins, "right")
    edges = directed_edges(mesh.faces)
    after: dict[int, list[int]] = defaultdict(list)
    for a, b in edges:
        if (b, a) not in edges:
            after[a].append(b)
    spans = []
    left = set(after)
    while left:
        loop, at = [], left.pop()
        while True:
            loop.append(at)
            left.discard(at)
            at = after[at][0]
            if at == loop[0]:
                break
        back = -mesh.vertices[loop, 0]
        spans.append((float(back.min()), float(back.max())))
    outer = max(spans, key=lambda span: span[1] - span[0])
    return max((span for span in spans if span != outer), key=lambda span: span[1] - span[0])
