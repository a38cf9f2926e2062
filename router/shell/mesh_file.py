"""Named parts from and to a mesh file: GLB and glTF (Y up) and OBJ, through trimesh.

trimesh reads much that is broken without a word (an empty scene, a point cloud, vertices that are no numbers); here
every such file is one clear ``ShellError``.
"""

from __future__ import annotations

import json
import struct
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from ribway.router.shell.errors import ShellError
from ribway.router.shell.parts import Member, Mesh, Obstacle, Points, Shell, Skin
from ribway.router.shell.skins import weld

if TYPE_CHECKING:
    from trimesh import Scene

ENDINGS = (".glb", ".gltf", ".obj")
DEFAULT_UP = {".glb": "y", ".gltf": "y", ".obj": "z"}
MOST_FACES = 2_000_000
SPAN_M = (0.5, 10.0)
WELD_M = 2e-6
"""Finer than any sheet, coarser than a 32-bit float is at ten metres."""

READ_ERRORS = (
    ValueError, TypeError, LookupError, AttributeError, ArithmeticError, AssertionError, NotImplementedError,
    ImportError, OSError, EOFError, MemoryError, struct.error,
)  # fmt: skip
"""What trimesh is known to raise on broken files."""


def load_parts(
    path: str | Path, *, unit_m: float = 1.0, up: str | None = None, forward: str | None = None
) -> dict[str, Mesh]:
    """Read the named parts of a mesh file into the van's frame.

    Args:
        path: a .glb, .gltf or .obj file.
        unit_m: what one unit of the file is, 0.001 for a file in millimetres [m].
        up: the file's axis that points up, such as ``y`` or ``-z``; y for GLB and glTF and z for OBJ if not given.
        forward: the file's axis that points to the van's front; x if not given.

    Returns:
        Welded meshes by name, sorted by name. Nothing is moved: the file's origin is the datum.

    Raises:
        ShellError: the file cannot be read, holds no named triangle meshes or something that is no number, or is of an
            unlikely size for the unit.
    """
    file = Path(path)
    ending = _checked_file(file)
    if not unit_m > 0 or not np.isfinite(unit_m):
        raise ShellError(f"{file}: unit_m is {unit_m!r}; accepted is a number above 0, such as 0.001 for millimetres")
    turn = frame_turn(up or DEFAULT_UP[ending], forward or "x")
    parts = _named_meshes(file, _scene(file, ending))
    placed = {
        name: weld(Mesh(mesh.vertices @ turn.T * unit_m, mesh.faces), WELD_M) for name, mesh in sorted(parts.items())
    }
    for name, mesh in placed.items():
        if len(mesh.faces) == 0:
            raise ShellError(f"{file}: part '{name}' has no face with an area; check unit_m or leave the part out")
    everything = np.concatenate([mesh.vertices for mesh in placed.values()])
    span = float((everything.max(axis=0) - everything.min(axis=0)).max())
    if not SPAN_M[0] <= span <= SPAN_M[1]:
        raise ShellError(
            f"{file}: its parts span {span:.4g} m with unit_m {unit_m:g}; accepted is {SPAN_M[0]} to {SPAN_M[1]} m, "
            "give unit_m (0.001 for millimetres, 0.0254 for inches)"
        )
    return placed


def export_parts(shell: Shell, path: str | Path) -> None:
    """Write a shell's skins, members, obstacles and panels as named parts.

    Args:
        shell: any shell.
        path: a .glb (turned to Y up, in metres) or .obj file (Z up, in metres) to write.

    Raises:
        ShellError: another ending, or two parts of one name.
    """
    file = Path(path)
    parts = shell_parts(shell)
    if file.suffix.lower() == ".obj":
        file.write_text(_obj_text(parts), encoding="utf-8")
    elif file.suffix.lower() == ".glb":
        file.write_bytes(_glb_bytes(parts))
    else:
        raise ShellError(f"{file}: cannot write '{file.suffix}'; accepted are .glb and .obj")


def shell_parts(shell: Shell) -> dict[str, Mesh]:
    """All meshes of a shell by name.

    Raises:
        ShellError: two parts of one name.
    """
    solid: tuple[Skin | Member | Obstacle, ...] = (*shell.skins, *shell.members, *shell.obstacles)
    named = [(part.name, part.mesh) for part in solid] + list(shell.panels)
    parts: dict[str, Mesh] = {}
    for name, mesh in named:
        if name in parts:
            raise ShellError(f"shell '{shell.name}': two parts are named '{name}'; give each a name of its own")
        parts[name] = mesh
    return parts


def frame_turn(up: str, forward: str) -> Points:
    """The turn from a file's axes to the van's: x forward, y to the left, z up.

    Args:
        up, forward: axes of the file, ``x``, ``y`` or ``z`` with an optional minus.

    Returns:
        ``(3, 3)`` rotation.

    Raises:
        ShellError: an unknown axis, or both along one line.
    """
    axes = {
        sign + name: (1.0 if not sign else -1.0) * np.eye(3)[i] for i, name in enumerate("xyz") for sign in ("", "-")
    }
    for what, axis in (("up", up), ("forward", forward)):
        if axis not in axes:
            raise ShellError(f"{what} is {axis!r}; accepted are {', '.join(axes)}")
    if abs(float(axes[up] @ axes[forward])) > 0.5:
        raise ShellError(f"up is {up!r} and forward is {forward!r}; accepted are two axes square to each other")
    return np.stack([axes[forward], np.cross(axes[up], axes[forward]), axes[up]])


def _checked_file(file: Path) -> str:
    ending = file.suffix.lower()
    if ending not in ENDINGS:
        raise ShellError(f"{file}: cannot read '{ending}'; accepted are {', '.join(ENDINGS)}, which keep part names")
    if not file.is_file():
        raise ShellError(f"{file}: there is no such file; check the path")
    size = file.stat().st_size
    if size == 0:
        raise ShellError(f"{file}: the file is empty; export it again")
    if ending == ".glb":
        with file.open("rb") as stream:
            head = stream.read(12)
        if head[:4] != b"glTF" or len(head) < 12:
            raise ShellError(f"{file}: is no binary glTF file; export it again as .glb")
        stated = struct.unpack("<I", head[8:12])[0]
        if stated != size:
            raise ShellError(f"{file}: holds {size} bytes but states {stated}; it was cut short, export it again")
    if ending == ".gltf":
        try:
            json.loads(file.read_text(encoding="utf-8"))
        except ValueError as error:
            raise ShellError(f"{file}: is no glTF text ({error}); export it again") from error
    return ending


def _scene(file: Path, ending: str) -> Scene:
    import trimesh

    options: dict[str, Any] = {"split_objects": True} if ending == ".obj" else {}
    try:
        return trimesh.load_scene(str(file), process=False, **options)
    except READ_ERRORS as error:
        reason = f"{type(error).__name__}: {error}" if str(error) else type(error).__name__
        raise ShellError(f"{file}: cannot be read ({reason}); export it again") from error


def _named_meshes(file: Path, scene: Scene) -> dict[str, Mesh]:
    import trimesh

    parts: dict[str, Mesh] = {}
    for node in sorted(scene.graph.nodes_geometry):
        transform, key = scene.graph[node]
        geometry = scene.geometry[key]
        if not isinstance(geometry, trimesh.Trimesh) or len(geometry.faces) == 0:
            raise ShellError(f"{file}: part '{node}' holds no triangles; export it as a mesh or leave it out")
        vertices = np.asarray(geometry.vertices, dtype=np.float64)
        faces = np.asarray(geometry.faces, dtype=np.int64)
        if faces.min() < 0 or faces.max() >= len(vertices):
            raise ShellError(f"{file}: part '{node}' has a face with a corner that is not there; export it again")
        if not np.isfinite(vertices).all() or not np.isfinite(transform).all():
            raise ShellError(f"{file}: part '{node}' has coordinates that are no finite numbers; export it again")
        if np.linalg.det(transform[:3, :3]) < 0:
            faces = faces[:, ::-1]
        parts[str(node)] = Mesh(vertices @ transform[:3, :3].T + transform[:3, 3], faces.astype(np.int32))
    if not parts:
        raise ShellError(f"{file}: holds no mesh at all; export it again, each part as a named mesh")
    count = sum(len(mesh.faces) for mesh in parts.values())
    if count > MOST_FACES:
        raise ShellError(f"{file}: holds {count} triangles; accepted are {MOST_FACES}, thin it out first")
    return parts


def _obj_text(parts: dict[str, Mesh]) -> str:
    lines = ["# metres, x forward, y to the left, z up"]
    base = 1
    for name, mesh in parts.items():
        lines.append(f"o {name}")
        lines += [f"v {x!r} {y!r} {z!r}" for x, y, z in mesh.vertices.tolist()]
        lines += [f"f {a} {b} {c}" for a, b, c in (mesh.faces + base).tolist()]
        base += len(mesh.vertices)
    return "\n".join(lines) + "\n"


def _glb_bytes(parts: dict[str, Mesh]) -> bytes:
    import trimesh

    turn = frame_turn("y", "x")
    scene = trimesh.Scene()
    for name, mesh in parts.items():
        body = trimesh.Trimesh(mesh.vertices @ turn, mesh.faces, process=False)
        scene.add_geometry(body, node_name=name, geom_name=name)
    data: bytes = scene.export(file_type="glb")  # type: ignore[no-untyped-call]
    return data
