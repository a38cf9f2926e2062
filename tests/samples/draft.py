"""A small draft: two walls' worth of openings in one rib and one rail, found in a made-up mesh."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import trimesh

from ribway.models.review.found import FOUND_FILE, Found, as_found, found_text
from ribway.models.review.hole import Hole

PROJECT = """\
# Drafted from a mesh. The rib was looked at twice.
ribway: 1
name: "Small draft"
vehicle:
  mesh: shell.obj
  parts:
    - {part: left, name: left, kind: skin, lay_depth: 27.5 mm}
    - {part: L1, name: L1, kind: rib, skins: [left], depth: 55 mm}
  openings:   # from the floor up
    - {name: L1a, member: L1, shape: round, size: 25 mm, skins: [left, left], state: assumed,
       path: [{x: -0.96 m, y: 0.87 m, z: 0.30 m}, {x: -1.04 m, y: 0.87 m, z: 0.30 m}]}   # behind the seat
    - {name: L1b, member: L1, shape: slot, size: 20 mm, length: 45 mm, skins: [left, left], state: assumed,
       path: [{x: -0.96 m, y: 0.87 m, z: 0.80 m}, {x: -1.04 m, y: 0.87 m, z: 0.80 m}]}
    - name: L1c
      member: L1
      size: 25 mm
      at: {x: -1.00 m, y: 0.87 m, z: 1.20 m}   # by tape
      state: measured
equipment: equipment.csv
"""


HOLES = ((0.30, 0.030), (0.80, 0.045), (1.00, 0.034), (1.20, 0.030))
"""Height and bore of what is drilled: a little wider than stated, so that a hole may be some millimetres off."""


def hole(name: str, up_m: float, **more: object) -> Hole:
    """An opening of the rib at a height, the more as in `Hole`."""
    angle = np.arange(12) * np.pi / 6
    rim = tuple((-0.97, float(0.87 + 0.0125 * np.cos(a)), float(up_m + 0.0125 * np.sin(a))) for a in angle)
    line = ((-0.96, 0.87, up_m), (-1.04, 0.87, up_m))
    plain = Hole(name, name, "way", "L1", "round", 0.025, 0.025, ("left", "left"), line, rim)
    return Hole(**{**plain.__dict__, **more})  # type: ignore[arg-type]


def found_holes() -> tuple[Hole, ...]:
    """What the survey found: two it took, a candidate, and a window."""
    return (
        hole("L1a", 0.30),
        hole("L1b", 0.80, shape="slot", bore_m=0.020, length_m=0.045),
        hole("L1d", 1.00, sure=0.56),
        hole("window-left-1", 1.3, kind="window", member="left", bore_m=0.4, length_m=0.4, skins=("", "")),
    )


def write_draft(folder: Path) -> Path:
    """Put the draft's files into a folder; the project file."""
    skin = trimesh.Trimesh(
        [[0, 0.9, 0], [-2, 0.9, 0], [-2, 0.9, 1.6], [0, 0.9, 1.6]], [[0, 2, 1], [0, 3, 2]], process=False
    )
    rib = trimesh.creation.box(extents=(0.06, 0.055, 1.6))
    rib.apply_translation((-1.0, 0.8725, 0.8))
    along = trimesh.transformations.rotation_matrix(np.pi / 2, (0, 1, 0))
    drills = []
    for up_m, bore_m in HOLES:
        drill = trimesh.creation.cylinder(radius=bore_m / 2 / np.cos(np.pi / 24), height=0.2, sections=24)
        drill.apply_transform(along)
        drill.apply_translation((-1.0, 0.87, up_m))
        drills.append(drill)
    rib = trimesh.boolean.difference([rib, *drills], engine="manifold")
    scene = trimesh.Scene({"left": skin, "L1": rib})
    scene.export(folder / "shell.obj")
    file = folder / "project.yaml"
    file.write_text(PROJECT, encoding="utf-8")
    (folder / "equipment.csv").write_text("Name,Kind,Place\n", encoding="utf-8")
    found = Found(mesh="van.stl", openings=tuple(as_found(one) for one in found_holes()))
    (folder / FOUND_FILE).write_text(found_text(found), encoding="utf-8")
    return file
