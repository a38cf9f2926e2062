"""Surveying meshes: from a preset's file to routes, detection over 30,000 to 1,000,000 triangles, and a scan.

CPU seconds, so that what else runs on the machine changes little; peak memory is that of the whole process so far.
"""

from __future__ import annotations

import resource
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
import trimesh

from ribway.models.project import Project
from ribway.models.yaml_text import parse_yaml
from ribway.router.planner import plan_project
from ribway.router.shell.build import build
from ribway.router.shell.mesh_file import export_parts, shell_parts
from ribway.router.shell.parts import Mesh
from ribway.router.shell.presets import preset
from ribway.router.survey.crossings import link
from ribway.router.survey.draft import SHELL_FILE, project_text
from ribway.router.survey.passages import find_passages
from ribway.router.survey.repair import mend
from ribway.router.survey.rings import find_rings
from ribway.router.survey.survey import shell_of_survey, survey_file
from ribway.router.survey.topology import bodies

DEVICES = [
    {"id": "board", "name": "Board", "kind": "source", "at": {"wall": "left", "back": "1.1 m", "up": "0.7 m"}},
    {"id": "fridge", "name": "Fridge", "at": {"wall": "right", "back": "2.3 m", "up": "0.7 m"}, "amps": "5 A"},
    {"id": "lamp", "name": "Lamp", "at": {"wall": "roof", "back": "2.0 m"}, "amps": "0.5 A"},
]
CIRCUITS = [{"id": f"C{k}", "name": name, "from": "board", "to": [name]} for k, name in enumerate(("fridge", "lamp"))]


def peak_mb() -> float:
    """Most memory held so far [MB]; Linux counts in kilobytes, macOS in bytes."""
    used = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return used / (1024.0**2 if sys.platform == "darwin" else 1024.0)


def main() -> None:
    """Print the figures."""
    shell = build(preset("medium-high"))
    merged = trimesh.util.concatenate(
        [trimesh.Trimesh(mesh.vertices, mesh.faces, process=False) for mesh in shell_parts(shell).values()]
    )
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        merged.export(place / "van.stl")
        begun = time.process_time()
        survey = survey_file(place / "van.stl")
        surveyed = time.process_time()
        export_parts(shell_of_survey(survey, "van"), place / SHELL_FILE)
        vehicle = parse_yaml(project_text(survey, "van", "van.stl"), "van").raw["vehicle"]
        data = {"ribway": 1, "name": "van", "vehicle": vehicle, "devices": DEVICES, "circuits": CIRCUITS}
        plan = plan_project(Project.model_validate(data), place)
        done = time.process_time()
    print(f"preset file ({len(merged.faces)} triangles) to survey: {surveyed - begun:.2f} s, to routes of")
    print(f"{len(plan.runs)} runs: {done - begun:.2f} s in all; peak {peak_mb():.0f} MB")
    mesh = Mesh(np.asarray(merged.vertices), np.asarray(merged.faces, dtype=np.int32))
    print(f"{'triangles':>10} {'holes':>6} {'s':>7} {'us / (n log2 n)':>16} {'peak MB':>8}")
    for _ in range(4):
        begun = time.process_time()
        topology, _mends = mend(mesh)
        found = link(topology, bodies(topology), find_passages(topology, find_rings(topology)))
        spent, n = time.process_time() - begun, len(mesh.faces)
        print(f"{n:>10} {len(found):>6} {spent:>7.2f} {1e6 * spent / (n * np.log2(n)):>16.3f} {peak_mb():>8.0f}")
        finer = trimesh.Trimesh(mesh.vertices, mesh.faces, process=False).subdivide()
        mesh = Mesh(np.asarray(finer.vertices), np.asarray(finer.faces, dtype=np.int32))


if __name__ == "__main__":
    main()
