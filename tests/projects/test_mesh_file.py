"""A van read from a mesh file with named parts gives the same plan as the preset it was exported from."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from ribway.models.plan.plan import Plan
from ribway.models.project import Project
from ribway.router.planner import plan_project
from ribway.router.shell.build import build
from ribway.router.shell.mesh_file import export_parts, load_parts
from ribway.router.shell.parts import Shell
from ribway.router.shell.presets import preset

SAME_M = 0.002

DEVICES = [
    {"id": "board", "name": "Board", "kind": "source", "at": {"wall": "left", "back": "1.1 m", "up": "0.7 m"}},
    {"id": "fridge", "name": "Fridge", "at": {"wall": "right", "back": "2.3 m", "up": "0.7 m"}, "amps": "5 A"},
    {"id": "lamp", "name": "Lamp", "at": {"wall": "roof", "back": "2.0 m"}, "amps": "0.5 A"},
    {"id": "front", "name": "Front", "at": {"wall": "bulkhead", "up": "0.6 m", "left": "0.3 m"}, "amps": "2 A"},
]
CIRCUITS = [
    {"id": f"C{i}", "name": name, "from": "board", "to": [name]} for i, name in enumerate(("fridge", "lamp", "front"))
]


def project(vehicle: dict[str, Any]) -> Project:
    data = {"ribway": 1, "name": "mesh", "vehicle": vehicle, "devices": DEVICES, "circuits": CIRCUITS}
    return Project.model_validate(data)


def text(value: float) -> str:
    return f"{value:.5f} m"


def listed(shell: Shell, file: str) -> dict[str, Any]:
    """The vehicle section that a person would write for the exported file: every part, member and opening listed."""
    named = list(load_parts(file))
    parts: list[dict[str, Any]] = [
        *(
            {"part": one.name, "name": one.name, "kind": "skin", "lay_depth": text(one.lay_depth_m)}
            for one in shell.skins
        ),
        *(
            {"part": m.name, "name": m.name, "kind": m.kind, "skins": list(m.skins), "depth": text(m.depth_m)}
            for m in shell.members
        ),
        *({"part": o.name, "name": o.name, "kind": "obstacle", "skins": list(o.skins)} for o in shell.obstacles),
    ]
    assert {entry["part"] for entry in parts} <= set(named)
    openings = [
        {
            "name": opening.name,
            "member": opening.member,
            "shape": opening.shape,
            "size": text(opening.bore_m),
            "length": text(opening.length_m),
            "skins": [opening.skin_a, opening.skin_b],
            "path": [{"x": text(x), "y": text(y), "z": text(z)} for x, y, z in opening.line],
            "state": "assumed",
        }
        for opening in shell.openings
    ]
    return {"name": "exported", "mesh": Path(file).name, "parts": parts, "openings": openings}


@pytest.fixture(scope="module")
def plans(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Plan]:
    folder = tmp_path_factory.mktemp("mesh")
    shell = build(preset("short-high"))
    out = {"preset": plan_project(project({"preset": "short-high"}), folder)}
    for ending in ("glb", "obj"):
        export_parts(shell, folder / f"van.{ending}")
        vehicle = listed(shell, str(folder / f"van.{ending}"))
        out[ending] = plan_project(project(vehicle), folder)
    return out


@pytest.mark.parametrize("ending", ["glb", "obj"])
def test_same_routes_and_lengths_as_the_preset(plans: dict[str, Plan], ending: str) -> None:
    expected = {run.id: run for run in plans["preset"].runs}
    found = {run.id: run for run in plans[ending].runs}
    assert plans[ending].complete
    assert set(found) == set(expected)
    for run in expected.values():
        assert found[run.id].openings == run.openings
        assert found[run.id].sharp_m == pytest.approx(run.sharp_m, abs=SAME_M)


def test_a_straight_opening_needs_only_its_place(tmp_path: Path) -> None:
    """A hole of a rib is found from wall, back and up alone; its passage is as long as the preset's own."""
    shell = build(preset("short-high"))
    export_parts(shell, tmp_path / "van.glb")
    vehicle = listed(shell, str(tmp_path / "van.glb"))
    ribs = [opening for opening in shell.openings if opening.member.startswith("L") and opening.member[1:].isdigit()]
    by_name = {entry["name"]: entry for entry in vehicle["openings"]}
    for opening in ribs:
        middle = opening.line.mean(axis=0)
        del by_name[opening.name]["path"]
        by_name[opening.name]["at"] = {"wall": "left", "back": text(-middle[0]), "up": text(middle[2])}
    plan = plan_project(project(vehicle), tmp_path)
    drawn = {opening.id: opening for opening in plan.openings}
    for opening in ribs:
        assert drawn[opening.name].state == "assumed"
        assert drawn[opening.name].clear_bore_mm == pytest.approx(1000 * opening.bore_m - 4.0, abs=0.6)
