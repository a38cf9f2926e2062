"""Files that would take a library astray: each is one sentence from the command line, code 2, and nothing is written."""

from __future__ import annotations

import errno
import io
import json
import os
import re
import struct
import tarfile
import zipfile
from pathlib import Path
from typing import Any

import pytest
import trimesh

from ribway.cli import main
from ribway.router.survey import sniff_3mf
from ribway.router.survey.errors import SurveyError
from ribway.router.survey.file_facts import MOST_BYTES
from ribway.router.survey.sniff import sniff

BOX = trimesh.creation.box((3.7, 1.8, 1.9))
STL = BOX.export(file_type="stl")
OBJ = BOX.export(file_type="obj").encode()
GLB = BOX.export(file_type="glb")
BIN_AT = 20 + struct.unpack("<I", GLB[12:16])[0]


def glb(numbers: bytes | None = None, **changes: Any) -> bytes:
    """The box with its description changed: ``accessors__0__count=9``. Layout: glTF 2.0, section 4.4."""
    tree = json.loads(GLB[20:BIN_AT])
    for path, value in changes.items():
        *way, last = (int(one) if one.isdigit() else one for one in path.split("__"))
        at = tree
        for one in way:
            at = at[one]
        at[last] = value
    text = json.dumps(tree).encode()
    text += b" " * (-len(text) % 4)
    body = struct.pack("<I4s", len(text), b"JSON") + text + (GLB[BIN_AT:] if numbers is None else numbers)
    return struct.pack("<4sII", b"glTF", 2, 12 + len(body)) + body


def repeated(count: int) -> bytes:
    nodes = [{"mesh": 0} for _ in range(count)]
    return glb(nodes=nodes, scenes=[{"nodes": list(range(count))}])


def model(objects: str, items: str = '<item objectid="1"/>') -> bytes:
    text = (
        f'<?xml version="1.0"?><model unit="millimeter"><resources>{objects}</resources><build>{items}</build></model>'
    )
    return zipped({"3D/3dmodel.model": text.encode()})


def zipped(files: dict[str, bytes]) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in files.items():
            archive.writestr(name, data)
    return stream.getvalue()


def tarred() -> bytes:
    stream = io.BytesIO()
    with tarfile.open(fileobj=stream, mode="w") as archive:
        about = tarfile.TarInfo("van.stl")
        about.size = len(STL)
        archive.addfile(about, io.BytesIO(STL))
    return stream.getvalue()


def ply(elements: str, body: bytes = b"", form: str = "ascii") -> bytes:
    return f"ply\nformat {form} 1.0\n{elements}end_header\n".encode() + body


XYZ = "property float x\nproperty float y\nproperty float z\n"
LIST = "property list uchar int vertex_indices\n"
MESH = '<mesh><vertices><vertex x="0" y="0" z="0"/></vertices><triangles><triangle v1="0" v2="0" v3="0"/></triangles></mesh>'
COMPONENTS = "".join(
    f'<object id="{k}"><components>{f"<component objectid={chr(34)}{k - 1}{chr(34)}/>" * 10}</components></object>'
    for k in range(2, 12)
)
CORNERS = b"v 0 0 0\nv 1 0 0\nv 0 1 0\nv 0 0 1\n"

HOSTILE = {
    "external.glb": (glb(b"", buffers__0__uri="van.bin"), "needs the file van.bin beside it"),
    "outside.glb": (glb(b"", buffers__0__uri="../../etc/passwd"), "outside its folder"),
    "from-the-net.glb": (glb(b"", buffers__0__uri="http://127.0.0.1:9/van.bin"), "outside its folder"),
    "draco.glb": (glb(extensionsRequired=["KHR_draco_mesh_compression"]), "is compressed .KHR_draco"),
    "meshopt.glb": (glb(extensionsRequired=["EXT_meshopt_compression"]), "is compressed .EXT_meshopt"),
    "unknown.glb": (glb(extensionsRequired=["EXT_folded_space"]), "needs the glTF extension EXT_folded_space"),
    "packed.glb": (glb(accessors__0__normalized=True, accessors__1__normalized=True), "packed .normalized"),
    "old.glb": (glb(asset={"version": "1.0"}), "version 1.0; accepted is 2.0"),
    "lying-list.glb": (glb(accessors__0__count=10**9), "reaches beyond the end"),
    "lying-block.glb": (glb(bufferViews__0__byteLength=10**12), "reaches beyond the end"),
    "lines.glb": (glb(meshes__0__primitives__0__mode=1), "no triangles at all"),
    "points.glb": (glb(meshes__0__primitives__0__mode=0), "no triangles at all"),
    "circle.glb": (glb(nodes__0__children=[0]), "placed twice or in itself"),
    "no-scene.glb": (glb(scenes=[]), "has no scene"),
    "no-size.glb": (glb(nodes=[{"mesh": 0, "scale": [0, 0, 0]}], scenes=[{"nodes": [0]}]), "one place"),
    "hundreds-of-thousands.glb": (repeated(300_000), "3600000 triangles"),
    "many-parts.glb": (repeated(20_001), "20001 parts; accepted are 20000"),
    "deep.gltf": (b'{"asset":' + b"[" * 200_000 + b"]" * 200_000 + b"}", "is damaged|no glTF"),
    "values.gltf": (b'{"asset":{},"x":[' + b"[]," * 2_600_000 + b"[]]}", "more than 5000000 values"),
    "made-of-itself.3mf": (
        model('<object id="1"><components><component objectid="1"/></components></object>'),
        "made of itself",
    ),
    "ten-to-the-ten.3mf": (
        model(f'<object id="1">{MESH}</object>{COMPONENTS}', '<item objectid="11"/>'),
        "holds 10000000000 triangles",
    ),
    "spread.3mf": (model("", '<item p:path="/3D/a.model" objectid="1"/>'), "in further files"),
    "nothing-built.3mf": (model(f'<object id="1">{MESH}</object>', ""), "places none"),
    "no-xml.3mf": (zipped({"3D/3dmodel.model": b'hi <triangle v1="1" /><item objectid=""/>'}), "cannot be read as 3MF"),
    "van.tar": (tarred(), "tar archive"),
    "text-of-32-bytes.dat": (b"one letter of thirty-four bytes..\n", "text that is no mesh"),
    "few-corners.ply": (ply(f"element vertex 4000000000\n{XYZ}element face 12\n{LIST}", b"0 0 0\n"), "too few"),
    "few-faces.ply": (
        ply(f"element vertex 3\n{XYZ}element face 900000\n{LIST}", bytes(60), "binary_little_endian"),
        "states 3 corners and 900000 faces, for which its",
    ),
    "long-face.ply": (
        ply(
            f"element vertex 3\n{XYZ}element face 1\nproperty list uint int vertex_indices\n",
            bytes(36) + struct.pack("<I", 4_000_000_000) + bytes(12),
            "binary_little_endian",
        ),
        "cannot be read as PLY",
    ),
    "below-none.ply": (ply(f"element vertex -3\n{XYZ}element face 1\n{LIST}"), "<element vertex -3>"),
    "quark.ply": (ply(f"element vertex 3\nproperty quark x\nelement face 1\n{LIST}"), "<property quark x>"),
    "no-place.ply": (
        ply(f"element vertex 1\nproperty float u\nelement face 1\n{LIST}", b"0\n3 0 0 0\n"),
        "no x, y and z",
    ),
    "lying.off": (b"OFF\n3000000000 12 0\n0 0 0\n", "3000000000 corners"),
    "binary.off": (b"OFF BINARY\n" + bytes(100), "binary kind"),
    "solid-cut.stl": (b"solid of a programme".ljust(80) + STL[80:-30], "cut short"),
    "texture.obj": (b"mtllib a.mtl\nvt 0 0\nvt 1 0\nusemtl a\n", "no mesh"),
    "texture-faces.obj": (b"vt 0 0\nvt 1 0\nvt 1 1\nf /1 /2 /3\n", "has no points"),
    "lines.obj": (CORNERS + b"l 1 2 3\n", "no faces"),
    "surface.obj": (b"cstype bspline\ndeg 3\n" + CORNERS + b"curv 0 1 1 2 3 4\nend\n", "no faces"),
    "corner-nought.obj": (CORNERS + b"f 0 1 2\nf 1 2 3\n", "line 5: <f 0 1 2> has a corner that is not there"),
    "corner-beyond.obj": (CORNERS + b"f 1 2 9\n", "line 5: <f 1 2 9>"),
    "cut-in-a-face.obj": (OBJ[:-3] + b"\n", "line 21: .* is no face"),
    "two-numbers.obj": (b"v 0 0\nv 1 0\nv 0 1\nf 1 2 3\n", "corners of 2 numbers"),
    "beyond-all.obj": (CORNERS.replace(b"1", b"1e308") + b"f 1 2 3\nf 1 2 4\n", "further out"),
    "below-all.obj": (CORNERS.replace(b"1", b"1e-300") + b"f 1 2 3\nf 1 2 4\n", "one place"),
    "photo.stl": (b"\x89PNG\r\n\x1a\n" + bytes(range(1, 255)) + bytes(90), "no mesh that can be read"),
}  # fmt: skip


@pytest.mark.filterwarnings("error")
@pytest.mark.parametrize("name", HOSTILE)
def test_one_sentence_code_2_and_nothing_written(tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str) -> None:
    data, wanted = HOSTILE[name]
    file = tmp_path / name
    file.write_bytes(data)
    assert main(["survey", str(file), "--out", str(tmp_path / "draft"), "--picture", str(tmp_path / "p.png")]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.count("\n") == 1
    assert said.err.startswith(f"{file}: ")
    assert re.search(wanted, said.err)
    assert [item.name for item in tmp_path.iterdir()] == [name]


def test_links_pipes_and_what_may_not_be_read(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "a.stl").symlink_to("b.stl")
    (tmp_path / "b.stl").symlink_to("a.stl")
    (tmp_path / "gone.stl").symlink_to("nothing.stl")
    os.mkfifo(tmp_path / "pipe.stl")
    for name, wanted in (("a.stl", "circle"), ("gone.stl", "link to a file"), ("pipe.stl", "pipe or a device")):
        assert main(["survey", str(tmp_path / name)]) == 2
        said = capsys.readouterr().err
        assert wanted in said
        assert said.count("\n") == 1
    (tmp_path / "van.stl").write_bytes(STL)
    (tmp_path / "link.stl").symlink_to("van.stl")
    assert sniff(tmp_path / "link.stl").triangles == 12


def test_a_file_that_may_not_be_read(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Root reads every file, so the refusal of the system is played."""
    file = tmp_path / "van.stl"
    file.write_bytes(STL)
    usual = io.open

    def refused(name: object, *args: object, **more: object) -> object:
        if str(name) == str(file):
            raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(file))
        return usual(name, *args, **more)  # type: ignore[call-overload]

    monkeypatch.setattr(io, "open", refused)
    monkeypatch.setattr("builtins.open", refused)
    assert main(["survey", str(file)]) == 2
    said = capsys.readouterr().err
    assert said.count("\n") == 1
    assert str(file) in said


def test_more_than_is_read_is_refused_by_size_alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = tmp_path / "one-line.obj"
    with file.open("wb") as stream:
        stream.truncate(MOST_BYTES + 1)
    with pytest.raises(SurveyError, match="more than is read"):
        sniff(file)
    long = tmp_path / "long.obj"
    long.write_bytes(b"v 0 0 0 " + b"1" * 9_000_000)
    with pytest.raises(SurveyError, match="line of more than 4 MB"):
        sniff(long)
    # A picture beside the model would be unpacked with it.
    monkeypatch.setattr(sniff_3mf, "MOST_BYTES", 1_000_000)
    bomb = tmp_path / "bomb.3mf"
    bomb.write_bytes(zipped({"3D/3dmodel.model": b"<model/>", "Metadata/thumb.png": bytes(2_000_000)}))
    assert bomb.stat().st_size < 5000
    with pytest.raises(SurveyError, match="unpacks to"):
        sniff(bomb)


def test_good_ones_of_unusual_form_are_read(tmp_path: Path) -> None:
    """A binary STL that begins with solid, strips of triangles, a 3MF of components, CRLF in a PLY's head."""
    strip = glb(meshes__0__primitives__0__mode=5)
    part = '<object id="1"><mesh><vertices/><triangles>' + "<triangle />" * 7 + "</triangles></mesh></object>"
    twice = '<object id="2"><components><component objectid="1"/><component objectid="1"/></components></object>'
    head, body = BOX.export(file_type="ply").split(b"end_header\n")
    for name, data, triangles in (
        ("solid.stl", b"solid of a programme".ljust(80) + STL[80:], 12),
        ("strip.glb", strip, 34),
        ("twice.3mf", model(part + twice, '<item objectid="2"/>'), 14),
        ("crlf.ply", head.replace(b"\n", b"\r\n") + b"end_header\r\n" + body, 12),
    ):
        (tmp_path / name).write_bytes(data)
        assert sniff(tmp_path / name).triangles == triangles
