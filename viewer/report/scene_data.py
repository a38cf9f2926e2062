"""What the page's 3D view shows, as plain data: numbers packed in base64, little-endian."""

from __future__ import annotations

import base64
from collections.abc import Iterable, Sequence
from dataclasses import asdict
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ribway.models.plan.plan import Plan
from ribway.models.plan.shell import PlanPart
from ribway.models.printed import counted, length
from ribway.models.printed import rounded_up as up
from ribway.viewer import palette
from ribway.viewer.parts import LOOKS, WALLS, unpacked, wall_of_part
from ribway.viewer.report.run_tables import cable_text
from ribway.viewer.report.words import device_spot, names_of
from ribway.viewer.scene import scene_of
from ribway.viewer.shapes import Ring, Scene, Tube
from ribway.viewer.views import VIEWS

Data = dict[str, Any]
Points = NDArray[np.float64]

SHORT_INDEX = 65536


def packed_points(points: ArrayLike) -> str:
    """Points as base64 of float32.

    Args:
        points: ``(n, 3)`` [m].

    Returns:
        Little-endian float32 triples.
    """
    return base64.b64encode(np.asarray(points, dtype="<f4").tobytes()).decode("ascii")


def packed_faces(faces: ArrayLike, vertices: int) -> Data:
    """Triangles as base64 of the shortest integers that count all vertices.

    Args:
        faces: ``(m, 3)`` indices.
        vertices: how many vertices there are.

    Returns:
        ``bits`` (16 or 32) and ``faces``.
    """
    bits = 16 if vertices <= SHORT_INDEX else 32
    kind = "<u2" if bits == 16 else "<u4"
    return {"bits": bits, "faces": base64.b64encode(np.asarray(faces, dtype=kind).tobytes()).decode("ascii")}


class Meshes:
    """Meshes of the shell, each kept once however many plans show it."""

    def __init__(self) -> None:
        """Begins empty."""
        self.data: list[Data] = []
        self._known: dict[tuple[str, str], int] = {}

    def index(self, part: PlanPart, vertices: Points, faces: NDArray[np.int32]) -> int:
        """The number of a part's mesh.

        Args:
            part: as a plan has it.
            vertices: ``(n, 3)`` of it [m].
            faces: ``(m, 3)`` of it.

        Returns:
            Its place in ``data``.
        """
        key = (part.vertices_f32, part.faces_u32)
        if key not in self._known:
            self._known[key] = len(self.data)
            self.data.append({"points": part.vertices_f32, **packed_faces(faces, len(vertices))})
        return self._known[key]


def scenes_data(plans: Sequence[Plan]) -> Data:
    """Everything that is drawn for some plans of one van.

    Args:
        plans: the plans.

    Returns:
        ``meshes``, ``views`` and, for each plan, its ``scenes``; fit for JSON.
    """
    meshes = Meshes()
    scenes = [scene_data(plan, meshes) for plan in plans]
    return {"meshes": meshes.data, "views": views_data(), "walls": list(WALLS), "scenes": scenes}


def views_data() -> list[Data]:
    """The standard views, in the order of their buttons."""
    return [{"name": name, **asdict(view)} for name, view in VIEWS.items()]


def scene_data(plan: Plan, meshes: Meshes) -> Data:
    """What is drawn for one plan.

    Args:
        plan: the plan.
        meshes: where its meshes go.

    Returns:
        Parts, runs, rings, devices, keep-outs and the box round them all; fit for JSON.
    """
    # The shell's metal is passed on as it is in the plan; without it the layout of all else takes half the time.
    scene = scene_of(plan.model_copy(update={"parts": ()}))
    parts, corners = _parts_data(plan, meshes)
    clouds = [*corners, *_clouds(scene)]
    low = np.min([cloud.min(axis=0) for cloud in clouds], axis=0) if clouds else np.zeros(3)
    high = np.max([cloud.max(axis=0) for cloud in clouds], axis=0) if clouds else np.ones(3)
    return {
        "parts": parts,
        "runs": _runs_data(plan, scene),
        "rings": [_ring_data(ring) for ring in scene.rings],
        "devices": _devices_data(plan),
        "keepOuts": [
            {"id": one.keep_out, "why": one.why, "wall": one.wall, "points": packed_points(one.outline)}
            for one in scene.patches
        ],
        "low": _rounded(low),
        "high": _rounded(high),
    }


def _clouds(scene: Scene) -> Iterable[Points]:
    yield from (tube.points for tube in scene.tubes)
    yield from (mark.point[None] for mark in scene.markers)


def _rounded(point: Points) -> list[float]:
    return [round(float(value), 4) for value in point]


def _parts_data(plan: Plan, meshes: Meshes) -> tuple[list[Data], list[Points]]:
    """Parts, and the corners of the box round each."""
    found = [(part, *unpacked(part)) for part in plan.parts]
    found = [(part, vertices, faces) for part, vertices, faces in found if len(vertices) and len(faces)]
    corners = [np.stack([vertices.min(axis=0), vertices.max(axis=0)]) for _, vertices, _ in found]
    if not found:
        return [], []
    low, high = np.min(corners, axis=(0, 1)), np.max(corners, axis=(0, 1))
    members = {opening.member: opening.wall for opening in plan.openings if opening.wall in WALLS}
    data = [
        {
            "name": part.name,
            "kind": part.kind,
            "wall": wall_of_part(part.name, box.mean(axis=0), members, low, high),
            "colour": LOOKS[part.kind][0],
            "opacity": LOOKS[part.kind][1],
            "mesh": meshes.index(part, vertices, faces),
        }
        for (part, vertices, faces), box in zip(found, corners, strict=True)
    ]
    return data, corners


def _runs_data(plan: Plan, scene: Scene) -> list[Data]:
    """Every routed run with its tube and what is said of it when it is picked."""
    names, units = names_of(plan), plan.rules.units
    cables = {cable.id: cable for cable in plan.cables}
    runs = {run.id: run for run in plan.runs}
    made = []
    for tube in scene.tubes:
        run = runs[tube.run]
        way = ", ".join(run.openings)
        lines = [
            f"cut {length(run.cut_m, units)}, one way {length(run.one_way_m, units)}, {counted(run.bends, 'bend')}",
            cable_text(run, cables) + (f", loom {tube.loom}" if tube.loom else ", in no loom"),
            f"through {way}" if way else "through no opening",
        ]
        if run.kind == "ac":
            lines.append("AC: to be designed and connected by a licensed person")
        elif run.drop_limit_percent is not None:
            lines.append(f"drop {up(run.drop_percent, 2)} %, allowed {run.drop_limit_percent:g} %")
        made.append(
            {
                "id": tube.run,
                "loom": tube.loom,
                "colour": tube.colour,
                "radius": round(tube.radius_m, 5),
                "points": packed_points(tube.points),
                **_flat_data(tube),
                **({"banded": True} if tube.banded else {}),
                "openings": list(tube.openings),
                "ends": [run.from_, run.to],
                "title": f"{run.id}: {names.get(run.from_, run.from_)} – {names.get(run.to, run.to)}",
                "lines": lines,
            }
        )
    return made


def _flat_data(tube: Tube) -> Data:
    """Of a flat cable: its thickness by its width, and across which directions it is thin, in steps of 1/127."""
    if tube.half_thick_m <= 0.0:
        return {}
    steps = np.round(tube.thin * 127.0).astype("i1")
    share = round(tube.half_thick_m / tube.radius_m, 4)
    return {"flat": {"share": share, "thin": base64.b64encode(steps.tobytes()).decode("ascii")}}


def _ring_data(ring: Ring) -> Data:
    through = counted(ring.runs, "run") if ring.runs else "nothing"
    full = f", {up(ring.fill_percent, 0)} % full" if ring.runs else ""
    return {
        "id": ring.opening,
        "wall": ring.wall,
        "colour": ring.colour,
        "points": packed_points(ring.points),
        "title": f"Opening {ring.opening}",
        "lines": [f"{ring.state}: {through} in it{full}"],
        "used": ring.runs > 0,
    }


def _devices_data(plan: Plan) -> list[Data]:
    return [
        {
            "id": device.id,
            "name": device.name or device.id,
            "wall": device.wall,
            "point": _rounded(np.array(device.point)),
            "title": device.name or device.id,
            "lines": [device_spot(device, plan.rules.units)],
            "runs": [run.id for run in plan.runs if device.id in (run.from_, run.to)],
        }
        for device in plan.devices
    ]


OPENING_KEY = (
    (palette.RING_EMPTY, "opening, empty"),
    (palette.RING_EASY, "opening with room left"),
    (palette.RING_NEAR, "opening over 3/4 of its fill limit"),
    (palette.RING_FULL, "opening over its fill limit"),
    (palette.KEEP_OUT, "keep-out: no cable here"),
)
"""Colours of marks, and what each means."""
