"""A mesh file of any kind as named triangle meshes in the file's own numbers, through trimesh."""

from __future__ import annotations

import logging
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from ribway.router.shell.mesh_faults import obj_faults
from ribway.router.shell.mesh_file import FURTHEST, READ_ERRORS
from ribway.router.shell.parts import Mesh
from ribway.router.survey.errors import SurveyError
from ribway.router.survey.file_facts import MOST_TRIANGLES, FileFacts
from ribway.router.survey.sniff import sniff

_NEEDS = {"dae": "pycollada", "3mf": "lxml"}


@dataclass(frozen=True, eq=False)
class RawMesh:
    """A file's meshes as they are in it.

    Args:
        facts: what the file says of itself.
        parts: meshes by name, in the file's own axes and numbers, nodes' own places applied.
        no_numbers: vertices left out because a coordinate was no finite number; none of them was in a face.
    """

    facts: FileFacts
    parts: dict[str, Mesh]
    no_numbers: int

    @property
    def triangles(self) -> int:
        """How many there are in all."""
        return sum(len(mesh.faces) for mesh in self.parts.values())


def read_mesh(path: str | Path) -> RawMesh:
    """Read a mesh file, whatever its ending says.

    Args:
        path: the file.

    Returns:
        Its meshes; nothing is scaled, turned or mended.

    Raises:
        SurveyError: the file cannot be used; one sentence.
    """
    file = Path(path)
    facts = sniff(file)
    parts: dict[str, Mesh] = {}
    loose = 0
    for name, mesh, placed in _meshes(file, facts):
        if mesh.vertices.shape[1] != 3:
            raise SurveyError(f"{file}: part '{name}' has corners of {mesh.vertices.shape[1]} numbers; accepted are 3")
        used = np.zeros(len(mesh.vertices), dtype=bool)
        if len(mesh.faces) and (mesh.faces.min() < 0 or mesh.faces.max() >= len(mesh.vertices)):
            raise SurveyError(f"{file}: part '{name}' has a face with a corner that is not there; export it again")
        used[mesh.faces.reshape(-1)] = True
        good = np.asarray(np.isfinite(mesh.vertices).all(axis=1), dtype=np.bool_)
        if (used & ~good).any() or not np.isfinite(placed).all():
            count = int((used & ~good).sum())
            raise SurveyError(
                f"{file}: part '{name}' has coordinates that are no finite numbers, at {count} of its corners; "
                "mend it where it was made and export it again"
            )
        loose += int((~good).sum())
        faces = mesh.faces if np.linalg.det(placed[:3, :3]) > 0 else mesh.faces[:, ::-1]
        vertices = np.where(good[:, None], mesh.vertices, 0.0) @ placed[:3, :3].T + placed[:3, 3]
        parts[name] = Mesh(vertices, np.ascontiguousarray(faces, dtype=np.int32))
    if not parts:
        raise SurveyError(f"{file}: holds no triangles at all; export it again as a mesh, not as points or curves")
    count = sum(len(mesh.faces) for mesh in parts.values())
    if count > MOST_TRIANGLES:
        raise SurveyError(f"{file}: holds {count} triangles; accepted are {MOST_TRIANGLES}: thin it out first")
    everything = np.concatenate([mesh.vertices[np.unique(mesh.faces)] for mesh in parts.values()])
    _check_shape(file, everything)
    return RawMesh(facts, dict(sorted(parts.items())), loose)


def _check_shape(file: Path, points: np.ndarray[Any, np.dtype[np.float64]]) -> None:
    """Refuse what has no room inside: all points in one place, on one line or in one plane."""
    if float(np.abs(points).max()) > FURTHEST:
        raise SurveyError(
            f"{file}: has corners further out than {FURTHEST:g}; no unit makes that a van, export it again"
        )
    middle = points - points.mean(axis=0)
    spread = np.linalg.svd(np.linalg.qr(middle, mode="r"), compute_uv=False)[::-1]
    if spread[2] < 1 / FURTHEST:
        raise SurveyError(f"{file}: all its points lie in one place; export it again")
    if spread[0] < 1e-6 * spread[2]:
        raise SurveyError(f"{file}: all its points lie in one plane, so it has no inside; export the whole shell")


def _meshes(file: Path, facts: FileFacts) -> list[tuple[str, Mesh, np.ndarray[Any, np.dtype[np.float64]]]]:
    import trimesh

    logging.getLogger("trimesh").addHandler(logging.NullHandler())  # what it says is for programmers
    options: dict[str, Any] = {"split_objects": True} if facts.kind == "obj" else {}
    try:
        with file.open("rb") as stream, np.errstate(all="ignore"):
            scene = trimesh.load_scene(
                stream,
                file_type=facts.kind,
                resolver=trimesh.resolvers.FilePathResolver(str(file)),
                process=False,
                **options,
            )
        nodes = sorted(scene.graph.nodes_geometry)
        placed = [(str(node), *scene.graph[node]) for node in nodes]
    except ImportError as error:
        needs = _NEEDS.get(facts.kind, str(error.name or error))
        raise SurveyError(
            f"{file}: to read {facts.kind.upper()} the package {needs} is needed; install it, or export as GLB or OBJ"
        ) from error
    except READ_ERRORS as error:
        raise SurveyError(f"{file}: {_damage(file, facts)}") from error
    out = []
    for node, transform, key in placed:
        geometry = scene.geometry[key]
        if isinstance(geometry, trimesh.Trimesh) and len(geometry.faces):
            vertices = np.asarray(geometry.vertices, dtype=np.float64)
            mesh = Mesh(vertices, np.asarray(geometry.faces, dtype=np.int64).astype(np.int32))
            out.append((node, mesh, np.asarray(transform, dtype=np.float64)))
    stated = facts.triangles
    found = sum(len(mesh.faces) for _, mesh, _ in out)
    if facts.kind in ("stl", "stl_ascii") and stated is not None and found < stated:
        raise SurveyError(f"{file}: states {stated} faces but only {found} can be read; it is damaged, export it again")
    if facts.kind == "obj" and stated is not None and found < stated:
        raise SurveyError(f"{file}: {_damage(file, facts)}")
    return out


def _damage(file: Path, facts: FileFacts) -> str:
    """What is wrong inside a file that could not be read, by line where it is text of lines."""
    if facts.kind == "obj":
        for fault in obj_faults(file.read_bytes()):
            return fault
    kind = "STL" if facts.kind == "stl_ascii" else facts.kind.upper()
    return f"cannot be read as {kind}: it was cut short or is damaged inside; export it again"
