"""Parts go to a file and come back by name; broken files are one clear error."""

from __future__ import annotations

import json
import struct
from pathlib import Path

import numpy as np
import pytest
import trimesh
from mesh_facts import euler, is_closed, is_sheet

from ribway.router.shell.errors import ShellError
from ribway.router.shell.mesh_file import export_parts, frame_turn, load_parts, shell_parts
from ribway.router.shell.parts import Shell

BOX = "o box\nv 0 0 0\nv 2 0 0\nv 0 2 0\nv 0 0 2\nf 1 3 2\nf 1 2 4\nf 2 3 4\nf 1 4 3\n"


@pytest.mark.parametrize(("ending", "tolerance"), [(".glb", 1e-6), (".obj", 0.0)])
def test_round_trip_by_name(shells: dict[str, Shell], tmp_path: Path, ending: str, tolerance: float) -> None:
    """GLB holds 32-bit floats (IEEE 754: 2^-22 m at 4 m); OBJ text holds all digits."""
    shell = shells["medium-high"]
    export_parts(shell, tmp_path / f"van{ending}")
    parts, sent = load_parts(tmp_path / f"van{ending}"), shell_parts(shell)
    assert set(parts) == set(sent)
    for name, mesh in sent.items():
        triangles = [m.vertices[m.faces] for m in (mesh, parts[name])]
        assert triangles[0].shape == triangles[1].shape, name
        assert np.abs(triangles[0] - triangles[1]).max() <= tolerance, name
    for skin in shell.skins:
        assert is_sheet(parts[skin.name].faces)
        assert euler(parts[skin.name].faces) == euler(skin.mesh.faces)
    assert all(is_closed(parts[member.name].faces) for member in shell.members)


def test_glb_is_turned_to_y_up(shells: dict[str, Shell], tmp_path: Path) -> None:
    """glTF 2.0, section 3.4: +Y is up; read here without our loader."""
    export_parts(shells["short-high"], tmp_path / "van.glb")
    bounds = trimesh.load_scene(tmp_path / "van.glb").geometry["roof"].bounds
    assert bounds[0][1] > 1.5
    assert bounds[1][1] == pytest.approx(1.92, abs=1e-6)
    assert bounds[0][0] == pytest.approx(-3.10, abs=1e-6)


@pytest.mark.parametrize(("up", "forward"), [("z", "x"), ("y", "x"), ("y", "z"), ("-x", "y"), ("z", "-y")])
def test_axes(up: str, forward: str) -> None:
    turn = frame_turn(up, forward)
    assert np.linalg.det(turn) == pytest.approx(1.0)
    for axis, ours in ((up, [0, 0, 1]), (forward, [1, 0, 0])):
        vector = np.eye(3)["xyz".index(axis[-1])] * (-1 if axis[0] == "-" else 1)
        assert (turn @ vector).tolist() == ours


def test_units_and_axes_of_a_foreign_file(tmp_path: Path) -> None:
    file = tmp_path / "part.obj"
    file.write_text(
        BOX.replace(" 2", " 2000")
        .replace("f 1 3 2000", "f 1 3 2")
        .replace("f 1 2000", "f 1 2")
        .replace("f 2000", "f 2")
    )
    with pytest.raises(ShellError, match=r"span 2000 m.*unit_m"):
        load_parts(file)
    box = load_parts(file, unit_m=0.001, up="y", forward="z")["box"]
    assert box.vertices.max(axis=0).tolist() == [2.0, 2.0, 2.0]


def test_duplicate_corners_are_welded(tmp_path: Path) -> None:
    """Four faces, three corners each, every corner written anew: a tetrahedron again after welding."""
    corners = [(0, 0, 0), (2, 0, 0), (0, 2, 0), (0, 0, 2)]
    faces = [(0, 2, 1), (0, 1, 3), (1, 2, 3), (0, 3, 2)]
    text = "o soup\n" + "".join(f"v {x} {y} {z}\n" for f in faces for x, y, z in (corners[i] for i in f))
    text += "".join(f"f {3 * i + 1} {3 * i + 2} {3 * i + 3}\n" for i in range(4))
    (tmp_path / "soup.obj").write_text(text)
    soup = load_parts(tmp_path / "soup.obj")["soup"]
    assert len(soup.vertices) == 4
    assert is_closed(soup.faces)


def _glb(tmp_path: Path, shell: Shell) -> bytes:
    export_parts(shell, tmp_path / "good.glb")
    return (tmp_path / "good.glb").read_bytes()


def _stated_length(data: bytes) -> bytes:
    return data[:8] + struct.pack("<I", len(data)) + data[12:]


BROKEN_TEXT = {
    "empty.obj": ("", "is empty"),
    "words.obj": ("these are\nno vertices\n", "van|part|mesh|read|triangles"),
    "points.obj": ("v 0 0 0\nv 1 0 0\nv 0 1 0\n", "triangles|no mesh"),
    "nan.obj": (BOX.replace("v 2 0 0", "v nan 0 0"), "no finite numbers|read"),
    "inf.obj": (BOX.replace("v 2 0 0", "v inf 0 0"), "no finite numbers|read"),
    "index.obj": (BOX + "f 1 2 99\n", "read|corner that is not there"),
    "flat.obj": ("o line\nv 0 0 0\nv 2 0 0\nv 4 0 0\nf 1 1 2\nf 2 2 3\n", "no face with an area"),
    "van.stl": (BOX, "cannot read '.stl'"),
    "van.step": (BOX, "cannot read '.step'"),
    "van.glb": (BOX, "no binary glTF"),
    "van.gltf": (BOX, "no glTF text"),
    "bare.gltf": (json.dumps({"asset": {"version": "2.0"}}), "read|no mesh"),
}


@pytest.mark.parametrize("name", BROKEN_TEXT)
def test_broken_text_files_are_one_clear_error(tmp_path: Path, name: str) -> None:
    content, expected = BROKEN_TEXT[name]
    (tmp_path / name).write_text(content)
    with pytest.raises(ShellError, match=expected) as caught:
        load_parts(tmp_path / name)
    assert name in str(caught.value)


def test_broken_binary_files_are_one_clear_error(shells: dict[str, Shell], tmp_path: Path) -> None:
    good = _glb(tmp_path, shells["short-high"])
    for name, data, expected in (
        ("cut.glb", good[:5000], "cut short"),
        ("head.glb", good[:8], "no binary glTF"),
        ("lies.glb", _stated_length(good[:5000]), "cannot be read"),
        ("text.glb", _stated_length(good[:20] + b"x" * 400), "cannot be read"),
    ):
        (tmp_path / name).write_bytes(data)
        with pytest.raises(ShellError, match=expected):
            load_parts(tmp_path / name)


def test_bad_arguments(shells: dict[str, Shell], tmp_path: Path) -> None:
    (tmp_path / "box.obj").write_text(BOX)
    for arguments, expected in (
        ({"unit_m": 0.0}, "unit_m is 0.0"),
        ({"up": "w"}, "up is 'w'"),
        ({"up": "x", "forward": "-x"}, "square to each other"),
    ):
        with pytest.raises(ShellError, match=expected):
            load_parts(tmp_path / "box.obj", **arguments)
    with pytest.raises(ShellError, match="no such file"):
        load_parts(tmp_path / "none.obj")
    with pytest.raises(ShellError, match=r"cannot write '.ply'"):
        export_parts(shells["short-high"], tmp_path / "van.ply")
