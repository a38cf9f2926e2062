"""Named parts from and to a mesh file: GLB and glTF (Y up) and OBJ, through trimesh.

trimesh reads much that is broken without a word (an empty scene, a point cloud, vertices that are no numbers); here
every such file is one clear ``ShellError``.
"""

from __future__ import annotations

import struct
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from ribway.models.disk_words import disk_reason
from ribway.router.shell.errors import ShellError
from ribway.router.shell.mesh_faults import glb_faults, gltf_faults, obj_faults
from ribway.router.shell.parts import Member, Mesh, Obstacle, Points, Shell, Skin
from ribway.router.shell.skins import weld

if TYPE_CHECKING:
    from trimesh import Scene

ENDINGS = (".glb", ".gltf", ".obj")
DEFAULT_UP = {".glb": "y", ".gltf": "y", ".obj": "z"}
MOST_FACES = 2_000_000
MOST_BYTES = 500_000_000
SPAN_M = (0.5, 10.0)
FURTHEST = 1e9
"""Units of the file: further off is no van in any unit, and would overflow."""
WELD_M = 2e-6
"""Finer than any sheet, coarser than a 32-bit float is at ten metres."""

READ_ERRORS = (
    ValueError, TypeError, LookupError, AttributeError, ArithmeticError, AssertionError, NotImplementedError,
    ImportError, OSError, EOFError, MemoryError, RuntimeError, SyntaxError, struct.error,
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
    bare = [name for name, mesh in placed.items() if len(mesh.faces) == 0]
    _raise_all(file, [f"part '{name}' has no face with an area; check unit_m or leave the part out" for name in bare])
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
    if file.is_dir():
        raise ShellError(f"{file}: this is a folder; accepted is a file, {', '.join(ENDINGS)}")
    if ending not in ENDINGS:
        found = f"cannot read '{ending}'" if ending else "its name has no ending"
        raise ShellError(f"{file}: {found}; accepted are {', '.join(ENDINGS)}, which keep part names")
    if not file.is_file():
        raise ShellError(f"{file}: there is no such file; check the path")
    return ending


def _scene(file: Path, ending: str) -> Scene:
    """The file as trimesh has it; what keeps it from being read is said in our own words."""
    import trimesh

    try:
        size = file.stat().st_size
        if size > MOST_BYTES:
            raise ShellError(
                f"{file}: is bigger than {MOST_BYTES / 1e6:g} MB; thin it out first, {MOST_FACES} triangles are accepted"
            )
        data = file.read_bytes()
    except OSError as error:
        raise ShellError(f"{file}: cannot be read: {disk_reason(error)}") from error
    if not data:
        raise ShellError(f"{file}: the file is empty; export it again")
    checks = {".obj": lambda: obj_faults(data), ".glb": lambda: glb_faults(data, file.parent)}
    _raise_all(file, checks.get(ending, lambda: gltf_faults(data, file.parent))())
    options: dict[str, Any] = {"split_objects": True} if ending == ".obj" else {}
    try:
        return trimesh.load_scene(str(file), process=False, **options)
    except READ_ERRORS as error:
        raise ShellError(f"{file}: is damaged inside; export it again") from error


def _raise_all(file: Path, faults: list[str]) -> None:
    if faults:
        raise ShellError(*(f"{file}: {fault}" for fault in faults))


def _named_meshes(file: Path, scene: Scene) -> dict[str, Mesh]:
    parts: dict[str, Mesh] = {}
    faults: list[str] = []
    for node in sorted(scene.graph.nodes_geometry):
        transform, key = scene.graph[node]
        geometry = scene.geometry[key]
        fault = _part_fault(str(node), geometry, transform)
        if fault:
            faults.append(fault)
            continue
        vertices = np.asarray(geometry.vertices, dtype=np.float64)
        faces = np.asarray(geometry.faces, dtype=np.int64)
        if np.linalg.det(transform[:3, :3]) < 0:
            faces = faces[:, ::-1]
        parts[str(node)] = Mesh(vertices @ transform[:3, :3].T + transform[:3, 3], faces.astype(np.int32))
    _raise_all(file, faults)
    if not parts:
        raise ShellError(f"{file}: holds no mesh at all; export it again, each part as a named mesh")
    count = sum(len(mesh.faces) for mesh in parts.values())
    if count > MOST_FACES:
        raise ShellError(f"{file}: holds {count} triangles; accepted are {MOST_FACES}, thin it out first")
    return parts


def _part_fault(name: str, geometry: object, transform: Points) -> str:
    """Why a part is no mesh; empty if it is one."""
    import trimesh

    if not isinstance(geometry, trimesh.Trimesh) or len(geometry.faces) == 0 or geometry.vertices.shape[1] != 3:
        return f"part '{name}' holds no triangles; export it as a mesh or leave it out"
    if geometry.faces.min() < 0 or geometry.faces.max() >= len(geometry.vertices):
        return f"part '{name}' has a face with a corner that is not there; export it again"
    if not np.isfinite(geometry.vertices).all() or not np.isfinite(transform).all():
        return f"part '{name}' has coordinates that are no finite numbers; export it again"
    if not np.abs(transform[:3, :3]).max() > 0 or not np.abs(geometry.vertices).max() < FURTHEST:
        return f"part '{name}' has coordinates that are no place in a van; export it again"
    return ""


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
