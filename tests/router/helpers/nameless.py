"""Preset vans as bodies without names, and the lengths of routes on what a survey makes of a mesh file."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import trimesh
from numpy.typing import NDArray
from vans import Van, van

from ribway.models.project import Project
from ribway.models.yaml_text import parse_yaml
from ribway.router.laying.layer import Layer
from ribway.router.paths.search import Searcher
from ribway.router.shell.build import build
from ribway.router.shell.choose import shell_of
from ribway.router.shell.mesh_file import export_parts, shell_parts
from ribway.router.shell.parts import Shell
from ribway.router.shell.presets import preset
from ribway.router.space.build import build_space
from ribway.router.space.network import build_network
from ribway.router.survey.draft import SHELL_FILE, project_text
from ribway.router.survey.survey import Survey, shell_of_survey

Array = NDArray[np.float64]


@cache
def shell(name: str) -> Shell:
    """A preset's shell, built once."""
    return build(preset(name))


def merged(made: Shell) -> trimesh.Trimesh:
    """All of a shell's parts as one mesh without names, corners of different parts not joined."""
    return trimesh.util.concatenate(
        [trimesh.Trimesh(mesh.vertices, mesh.faces, process=False) for mesh in shell_parts(made).values()]
    )


def draft(survey: Survey, folder: Path) -> dict[str, Any]:
    """Write the draft's mesh into a folder; the vehicle section of its project file."""
    export_parts(shell_of_survey(survey, "draft"), folder / SHELL_FILE)
    text = project_text(survey, "draft", "mesh")
    vehicle = parse_yaml(text, "draft").raw["vehicle"]
    assert isinstance(vehicle, dict)
    return vehicle


def lengths_on(vehicle: dict[str, Any], folder: Path, original: Van, pairs: list[tuple[int, int]]) -> Array:
    """Sharp lengths of the shortest routes between the original's devices, on the drafted vehicle [m]."""
    ids = list(original.places)
    data = {
        "ribway": 1, "name": "draft", "vehicle": vehicle,
        "devices": [{"id": key, "name": key, "at": _tape(at)} for key, at in original.places.items()],
        "circuits": [{"id": "C", "name": "C", "from": ids[0], "to": [ids[1]]}],
    }  # fmt: skip
    project = Project.model_validate(data)
    space = build_space(project, shell_of(project, folder))
    assert [portal.device for portal in space.portals] == [portal.device for portal in original.space.portals]
    network = build_network(space)
    search, layer = Searcher(network), Layer(network)
    out = []
    for a, b in pairs:
        path = search.path(a, b, network.length + 0.05 * network.turns, np.zeros(network.ways))
        assert path is not None, f"no route from {ids[a]} to {ids[b]}"
        out.append(layer.lay(path, a, b).sharp_m)
    return np.array(out)


def _tape(at: dict[str, Any]) -> dict[str, Any]:
    return {key: value if isinstance(value, str) else f"{value} m" for key, value in at.items()}


def routes_of(name: str, devices: int, count: int, seed: int) -> tuple[Van, list[tuple[int, int]], Array]:
    """A preset with devices, pairs of them, and the sharp lengths between on the preset itself [m]."""
    original = van(name, devices, seed)
    laid = original.routes(count, seed)
    return original, [(a, b) for a, b, _, _ in laid], np.array([one.sharp_m for *_, one in laid])
