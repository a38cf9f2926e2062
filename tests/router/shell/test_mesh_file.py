"""Parts go to a file and come back by name; broken files are one clear error."""

from __future__ import annotations

import json
import re
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


GLTF = {"asset": {"version": "2.0"}}
FACE = {"nodes": [{"name": "wall", "mesh": 0}], "meshes": [{"primitives": [{"attributes": {"POSITION": 0}}]}]}
BROKEN_TEXT = {
    "empty.obj": ("", "is empty"),
    "words.obj": ("these are\nno vertices\n", "holds no mesh: no line begins with v or f"),
    "points.obj": ("v 0 0 0\nv 1 0 0\nv 0 1 0\n", "holds no mesh: 3 corners and no face"),
    "nan.obj": (
        BOX.replace("v 2 0 0", "v nan 0 0"),
        "line 3: <v nan 0 0> is no corner; accepted is v and three finite",
    ),
    "inf.obj": (BOX.replace("v 2 0 0", "v inf 0 0"), "line 3: <v inf 0 0> is no corner"),
    "short.obj": (BOX.replace("v 2 0 0", "v 2 0"), "line 3: <v 2 0> is no corner"),
    "index.obj": (BOX + "f 1 2 99\n", "line 10: <f 1 2 99> has a corner that is not there; accepted are 1 to 4"),
    "cut.obj": (BOX[:-8] + "f 1", "line 9: <f 1> is no face; accepted is f and three corners"),
    "binary.obj": ("o box\0\1", "is a binary file, not OBJ text"),
    "flat.obj": ("o line\nv 0 0 0\nv 2 0 0\nv 4 0 0\nf 1 1 2\nf 2 2 3\n", "no face with an area"),
    "van.stl": (BOX, "cannot read '.stl'"),
    "van.step": (BOX, "cannot read '.step'"),
    "van": (BOX, "its name has no ending; accepted are .glb, .gltf, .obj"),
    "van.glb": (BOX, "no binary glTF file: it begins with 6f 20 62 6f|no binary glTF file: it begins with <o bo>"),
    "van.gltf": (BOX, "no glTF text: it breaks off or is damaged in line 1"),
    "list.gltf": ("[1]", "lacks its head, asset"),
    "old.gltf": ('{"asset": {"version": "1.0"}}', "is glTF of version 1.0; accepted is 2.0"),
    "bare.gltf": (json.dumps(GLTF), "holds no mesh at all|is damaged inside"),
    "lone.gltf": (json.dumps({**GLTF, "buffers": [{"uri": "van.bin", "byteLength": 9}]}), "needs the file van.bin"),
    "packed.gltf": (json.dumps({**GLTF, "extensionsRequired": ["KHR_draco_mesh_compression"]}), "is compressed"),
    "lost.gltf": (json.dumps({**GLTF, **FACE}), "has corners that are not there"),
    "no-mesh.gltf": (json.dumps({**GLTF, **FACE, "meshes": []}), "part 'wall' has a mesh that is not there"),
    "kinds.gltf": (json.dumps({**GLTF, "buffers": 3}), "of the wrong kind"),
}
LIBRARY_WORDS = re.compile(r"Error|Exception|index \d+ is out of bounds|dtype|NoneType|trimesh|Traceback|unpack|codec")


def refused(file: Path, expected: str) -> ShellError:
    """The refusal, which names the file and holds nothing of a library."""
    with pytest.raises(ShellError, match=expected) as caught:
        load_parts(file)
    assert all(fault.startswith(f"{file}: ") for fault in caught.value.sentences)
    assert LIBRARY_WORDS.search(str(caught.value)) is None
    return caught.value


@pytest.mark.parametrize("name", BROKEN_TEXT)
def test_broken_text_files_are_one_clear_error(tmp_path: Path, name: str) -> None:
    content, expected = BROKEN_TEXT[name]
    (tmp_path / name).write_text(content)
    refused(tmp_path / name, expected)


def test_every_faulty_line_of_an_obj_is_told_up_to_a_handful(tmp_path: Path) -> None:
    file = tmp_path / "van.obj"
    file.write_text(BOX.replace("v 2 0 0", "v x 0 0").replace("v 0 2 0", "v 0") + "f 1 2\n")
    told = [fault.removeprefix(f"{file}: ").split(":")[0] for fault in refused(file, "line 3").sentences]
    assert told == ["line 3", "line 4", "line 10"]
    file.write_text("v x\n" * 1000 + BOX)
    assert [fault.removeprefix(f"{file}: ")[:9] for fault in refused(file, "line 1").sentences] == [
        *(f"line {number}: <" for number in range(1, 6)),
        "has more ",
    ]


def test_broken_binary_files_are_one_clear_error(shells: dict[str, Shell], tmp_path: Path) -> None:
    good = _glb(tmp_path, shells["short-high"])
    size = struct.unpack_from("<I", good, 12)[0]
    for name, data, expected in (
        ("nought.glb", b"", "is empty"),
        ("cut.glb", good[:5000], "cut short"),
        ("head.glb", good[:8], "holds 8 bytes only"),
        ("magic.glb", b"GLTF" + good[4:], "begins with <GLTF> and not with glTF"),
        ("bytes.glb", b"\xff\xfe\0\1" + good[4:], "begins with ff fe 00 01"),
        ("first.glb", good[:4] + struct.pack("<I", 1) + good[8:], "is glTF of version 1; accepted is 2"),
        ("lies.glb", _stated_length(good[:5000]), "has a block of [0-9]+ bytes where"),
        ("text.glb", _stated_length(good[:20] + b"x" * 400), "has a block of"),
        ("half.glb", _stated_length(good[: 20 + size]), "holds 0 bytes of numbers but describes"),
        ("torn.glb", good[:30] + b"\xc3" * 40 + good[70:], "is no glTF text"),
    ):
        (tmp_path / name).write_bytes(data)
        refused(tmp_path / name, expected)


def outcome(file: Path) -> tuple[str, bool]:
    """What was said against a file, and whether what came of it is numbers."""
    try:
        parts = load_parts(file)
    except ShellError as error:
        return str(error), True
    return "", all(bool(np.isfinite(mesh.vertices).all()) for mesh in parts.values())


def test_a_damaged_glb_is_a_mesh_or_one_clear_error(tmp_path: Path) -> None:
    """Bytes of a good file changed at random, seed 11: it is read, or it is refused in our own words."""
    trimesh.Scene({"box": trimesh.creation.box((2, 1, 1))}).export(tmp_path / "good.glb")
    good, random = (tmp_path / "good.glb").read_bytes(), np.random.default_rng(11)
    file = tmp_path / "van.glb"
    refusals = 0
    for _ in range(150):
        data = bytearray(good)
        for at in random.integers(12, len(good), size=int(random.integers(1, 6))):
            data[at] = int(random.integers(0, 256))
        file.write_bytes(data)
        said, finite = outcome(file)
        refusals += bool(said)
        assert finite
        assert LIBRARY_WORDS.search(said) is None
    assert 20 < refusals < 150


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
