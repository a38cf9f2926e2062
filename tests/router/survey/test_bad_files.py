"""Files that are no mesh to be surveyed: each is one clear sentence, found by content and not by ending."""

from __future__ import annotations

import io
import struct
import zipfile
from pathlib import Path

import numpy as np
import pytest
import trimesh

from ribway.router.survey.errors import SurveyError
from ribway.router.survey.file_facts import MOST_TRIANGLES
from ribway.router.survey.reading import read_mesh
from ribway.router.survey.sniff import sniff
from ribway.router.survey.survey import survey_file

BOX = trimesh.creation.box((3.7, 1.8, 1.9))
STL = BOX.export(file_type="stl")
GLB = BOX.export(file_type="glb")


def zipped(files: dict[str, bytes]) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as archive:
        for name, data in files.items():
            archive.writestr(name, data)
    return stream.getvalue()


def stl_of(vertices: np.ndarray, faces: np.ndarray) -> bytes:
    """Binary STL by the format's own layout, so that numbers that are none stay in it."""
    rows = np.zeros(len(faces), dtype=[("n", "<f4", 3), ("v", "<f4", (3, 3)), ("a", "<u2")])
    rows["v"] = vertices[faces]
    return bytes(80) + struct.pack("<I", len(faces)) + rows.tobytes()


def with_nan() -> bytes:
    vertices = BOX.vertices.copy()
    vertices[0, 0] = np.nan
    return stl_of(vertices, BOX.faces)


BAD = {
    "empty.stl": (b"", "empty"),
    "one-byte.obj": (b"v", "no mesh|too short"),
    "zeros.glb": (bytes(4096), "no mesh"),
    "cut.glb": (GLB[: len(GLB) // 2], "cut short"),
    "cut.stl": (STL[:-60], "states 12 triangles"),
    "cut.ply": (BOX.export(file_type="ply")[:40], "cut short"),
    "cut-body.ply": (BOX.export(file_type="ply")[:-40], "too few.*cut short"),
    "text.obj": (b"Dear Sir,\nplease find the van attached.\n", "text that is no mesh"),
    "letter.stl": (b"solid advice: measure twice\n", "no mesh"),
    "points.obj": (b"v 0 0 0\nv 1 0 0\nv 0 1 0\n", "no faces"),
    "json.gltf": (b'{"name": "van"}', "no glTF"),
    "half.gltf": (b'{"asset": {"version": "2.0"}, "meshes"', "breaks off or is damaged"),
    "page.dae": (b"<html><body>van</body></html>", "no COLLADA"),
    "photo.stl": (b"\x89PNG\r\n\x1a\n" + bytes(200), "no mesh that can be read"),
    "van.zip": (zipped({"van.stl": STL}), "archive of van.stl"),
    "nested.3mf": (zipped({"inner.zip": zipped({"van.stl": STL})}), "archive of inner.zip"),
    "van.stl.gz": (b"\x1f\x8b" + bytes(50), "gzip"),
    "cut.3mf": (zipped({"3D/3dmodel.model": b"<model/>"})[:-10], "damaged"),
    "flat.stl": (stl_of(np.array([[0, 0, 0], [3, 0, 0], [3, 2, 0], [0, 2, 0.0]]), np.array([[0, 1, 2], [0, 2, 3]])), "plane"),
    "one-place.stl": (stl_of(np.ones((3, 3)), np.array([[0, 1, 2]])), "one place"),
    "nan.stl": (with_nan(), "no finite numbers"),
    "many.ply": (b"ply\nformat ascii 1.0\nelement vertex 3\nelement face 10000000\nend_header\n", "10000000 triangles"),
    "many.off": (b"OFF\n5000000 10000000 0\n", "10000000 triangles"),
    "points.ply": (b"ply\nformat ascii 1.0\nelement vertex 3\nend_header\n", "without faces"),
    "kilometres.stl": (stl_of(BOX.vertices / 1e6, BOX.faces), "metres or millimetres"),
    "micrometres.stl": (stl_of(BOX.vertices * 1e6, BOX.faces), "metres or millimetres"),
}  # fmt: skip


@pytest.mark.parametrize("name", BAD)
def test_bad_file_is_one_sentence(tmp_path: Path, name: str) -> None:
    data, wanted = BAD[name]
    file = tmp_path / name
    file.write_bytes(data)
    with pytest.raises(SurveyError, match=wanted) as error:
        survey_file(file)
    assert str(error.value).startswith(str(file))
    assert "\n" not in str(error.value)


def test_too_many_triangles_are_refused_without_loading(tmp_path: Path) -> None:
    """A sparse file of the true size: had it been loaded, the test would need half a gigabyte."""
    file = tmp_path / "many.stl"
    with file.open("wb") as stream:
        stream.write(bytes(80) + struct.pack("<I", 10_000_000))
        stream.truncate(84 + 50 * 10_000_000)
    with pytest.raises(SurveyError, match=rf"10000000 triangles; accepted are {MOST_TRIANGLES}.*thin"):
        sniff(file)


def test_no_file_and_a_folder(tmp_path: Path) -> None:
    with pytest.raises(SurveyError, match="no such file"):
        sniff(tmp_path / "none.stl")
    with pytest.raises(SurveyError, match="folder"):
        sniff(tmp_path)


@pytest.mark.parametrize("kind", ["glb", "gltf", "obj", "ply", "stl", "stl_ascii", "3mf", "off"])
def test_content_goes_before_the_ending(tmp_path: Path, kind: str) -> None:
    file = tmp_path / "van.dat"
    data = BOX.export(file_type=kind)
    if kind == "gltf":
        for name, part in data.items():
            (tmp_path / name).write_bytes(part)
        (tmp_path / "model.gltf").rename(file)
    else:
        file.write_bytes(data.encode() if isinstance(data, str) else data)
    raw = read_mesh(file)
    assert raw.facts.kind == kind
    assert raw.triangles == 12
    corners = np.concatenate([mesh.vertices for mesh in raw.parts.values()])
    assert np.ptp(corners, axis=0) == pytest.approx(BOX.extents, rel=1e-6)
