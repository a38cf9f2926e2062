"""The van as the plan says it: parts, openings, other ways, bays, keep-outs."""

from __future__ import annotations

import base64
from collections.abc import Sequence
from functools import partial
from typing import Literal

import numpy as np
import shapely

from ribway.models.plan.shell import PlanBay, PlanKeepOut, PlanOpening, PlanPart, PlanWay
from ribway.models.surroundings import SURROUNDINGS
from ribway.models.vehicle import Datum
from ribway.router.circuits.joints import moving_ways
from ribway.router.geometry.packing import Outline, pack
from ribway.router.paths.admission import Item, fill
from ribway.router.shell.parts import Mesh, Shell
from ribway.router.space.types import Bay, KeepOut, SkinChart, Way
from ribway.router.writing.outcome import Outcome, mm, point, points

_BOUNDS_M = 0.005  # a member's edge and the bay beside it are cut from one outline, simplified


def write_parts(outcome: Outcome) -> tuple[PlanPart, ...]:
    """All named metal as base64 arrays."""
    return outcome.memory.of("written parts", outcome.shell, partial(_parts, outcome.shell))


def _parts(shell: Shell) -> tuple[PlanPart, ...]:
    rows: list[tuple[str, Literal["skin", "member", "obstacle", "panel"], Mesh]] = []
    rows += [(skin.name, "skin", skin.mesh) for skin in shell.skins]
    rows += [(member.name, "member", member.mesh) for member in shell.members]
    rows += [(obstacle.name, "obstacle", obstacle.mesh) for obstacle in shell.obstacles]
    rows += [(name, "panel", mesh) for name, mesh in shell.panels]
    return tuple(
        PlanPart(
            name=name,
            kind=kind,
            vertices_f32=base64.b64encode(mesh.vertices.astype("<f4").tobytes()).decode("ascii"),
            faces_u32=base64.b64encode(mesh.faces.astype("<u4").tobytes()).decode("ascii"),
        )
        for name, kind, mesh in rows
    )


def items_in(outcome: Outcome) -> dict[str, list[Item]]:
    """Cables in the room of each way, by its name, in order of run; one that takes it twice stands there twice."""
    runs = outcome.run_by_id
    sharers = outcome.space.sharers
    inside: dict[str, list[Item]] = {}
    for run, laid in outcome.layout.laid.items():
        for way in (room for passed in laid.ways for room in (passed, *sharers.get(passed, ()))):
            inside.setdefault(outcome.space.ways[way].name, []).append(outcome.cable_of[run].item(runs[run]))
    return inside


def bundle_m(way: Way, items: Sequence[Item]) -> float:
    """Diameter of what goes through a way, packed [m]; what was there before is included."""
    outlines = [outline for item in items for outline in item.outlines]
    if way.taken_m > 0.0:
        outlines.append(Outline(way.taken_m, way.taken_m))
    return pack(tuple(outlines), quick=True).diameter_m if items else 0.0


def write_openings(outcome: Outcome) -> tuple[PlanOpening, ...]:
    """Every opening of the shell, used or not."""
    inside, datum = items_in(outcome), outcome.project.vehicle.datum
    out = []
    for way in outcome.space.ways:
        if way.kind == "opening":
            items, wall = inside.get(way.name, []), outcome.space.skins[_skin(outcome, way)].name
            make = partial(_opening, way, items, datum, wall)
            out.append(outcome.memory.of("written opening", (way, tuple(items), datum, wall), make))
    return tuple(out)


def _skin(outcome: Outcome, way: Way) -> int:
    bay = way.mouths[0].bay
    if bay >= 0:
        return outcome.space.bays[bay].skin
    return next(i for i, skin in enumerate(outcome.space.skins) if skin.name in _member_skins(outcome, way))


def _member_skins(outcome: Outcome, way: Way) -> tuple[str, ...]:
    return next(member.skins for member in outcome.shell.members if member.name == way.member)


def _opening(way: Way, items: Sequence[Item], datum: Datum, wall: str) -> PlanOpening:
    middle = way.line.mean(axis=0) if len(way.line) == 2 else way.line[len(way.line) // 2]
    axis = way.line[1] - way.line[0]
    kinds = sorted({item.kind for item in items})
    separation: Literal["", "dc", "ac", "data", "mixed"] = "mixed" if len(kinds) > 1 else (kinds[0] if kinds else "")
    return PlanOpening(
        id=way.name,
        member=way.member or "",
        shape="slot" if way.shape == "slot" else "round",
        state="blocked" if way.closed else way.state,
        raw_bore_mm=mm(way.raw_bore_m),
        clear_bore_mm=mm(way.bore_m),
        slot_length_mm=mm(way.room_m) if way.shape == "slot" else None,
        grommet_mm=mm(way.grommet_m) if way.grommet_m is not None else None,
        taken_mm=mm(way.taken_m),
        area_mm2=round(way.area_m2 * 1e6, 2),
        fill_percent=round(100.0 * fill(way, items), 2) if way.area_m2 > 0.0 else 0.0,
        fill_limit_percent=round(100.0 * way.limit, 2),
        separation=separation,
        runs=tuple(item.run for item in items),
        centre=point(middle),
        axis=point(axis / np.linalg.norm(axis)),
        line=points(way.line),
        rim=points(way.rim),
        wall=wall,
        back_m=round(-float(middle[0]) - datum.forward, 4) + 0.0,
        up_m=round(float(middle[2]) - datum.up, 4) + 0.0,
        bundle_diameter_mm=mm(bundle_m(way, items)),
    )


def write_ways(outcome: Outcome) -> tuple[PlanWay, ...]:
    """All ways that are no openings."""
    inside = items_in(outcome)
    loops = moving_ways(outcome.project)
    moving = {one.name: one.moving or "" for one in outcome.project.vehicle.ways}
    return tuple(
        PlanWay(
            id=way.name,
            kind=way.kind,
            member=way.member,
            line=points(way.line),
            area_mm2=round(way.area_m2 * 1e6, 2),
            fill_percent=round(100.0 * fill(way, inside.get(way.name, [])), 2),
            fill_limit_percent=round(100.0 * way.limit, 2),
            clear_bore_mm=mm(way.bore_m),
            runs=tuple(item.run for item in inside.get(way.name, [])),
            shares=way.shares,
            surroundings=way.zone if way.kind == "outside" and way.zone in SURROUNDINGS else None,
            taped_m=round(way.length_m, 4) if way.schematic else None,
            furniture=way.furniture,
            lined=way.lined,
            moving=moving.get(way.name, ""),
            loop_m=round(loops.get(way.name, 0.0), 4),
        )
        for way in outcome.space.ways
        if way.kind != "opening"
    )


def write_bays(outcome: Outcome) -> tuple[PlanBay, ...]:
    """Bays with their outlines on the metal."""
    skins, shell = outcome.space.skins, outcome.shell
    prints = {skin.name: _member_prints(shell, skin) for skin in skins}
    return tuple(
        outcome.memory.of(
            "written bay",
            (bay, skins[bay.skin], shell),
            partial(_bay, bay, skins[bay.skin], prints[skins[bay.skin].name]),
        )
        for bay in outcome.space.bays
    )


def _member_prints(shell: Shell, skin: SkinChart) -> tuple[tuple[float, shapely.Geometry], ...]:
    """Depth of each member on a skin, and what it covers there."""
    return tuple((one.depth_m, skin.members[one.name]) for one in shell.members if skin.name in one.skins)


def bay_depth_m(outline: shapely.Polygon, prints: Sequence[tuple[float, shapely.Geometry]]) -> float | None:
    """How deep a bay is behind the lining, which the lowest of the members round it bears.

    Args:
        outline: the bay in the skin's plane.
        prints: depth of each member on its skin [m], and what it covers.

    Returns:
        The least depth of the members that bound it [m]; of all on the skin if none does; None without any.
    """
    bounding = [depth for depth, covered in prints if shapely.distance(outline, covered) <= _BOUNDS_M]
    return min(bounding or [depth for depth, _ in prints], default=None)


def _bay(bay: Bay, skin: SkinChart, prints: Sequence[tuple[float, shapely.Geometry]]) -> PlanBay:
    depth_m = bay_depth_m(bay.outline, prints)
    ring = shapely.get_coordinates(bay.outline.exterior)
    return PlanBay(
        id=bay.name,
        wall=skin.name,
        lay=bay.lay,
        exact=skin.chart.exact,
        deviation_percent=round(100.0 * (skin.chart.stretch - 1.0), 3),
        outline=points(skin.chart.lift(ring, 0.0)),
        depth_m=None if depth_m is None else round(depth_m, 4),
    )


def write_keep_outs(outcome: Outcome) -> tuple[PlanKeepOut, ...]:
    """Keep-outs, grown by their margin, one entry a piece of skin."""
    key = (outcome.space.keep_outs, outcome.space.skins)
    return outcome.memory.of("written keep-outs", key, partial(_keep_outs, *key))


def _keep_outs(keep_outs: Sequence[KeepOut], skins: Sequence[SkinChart]) -> tuple[PlanKeepOut, ...]:
    out = []
    for keep_out in keep_outs:
        skin = skins[keep_out.skin]
        on = shapely.intersection(keep_out.outline, skin.chart.outline)
        for piece in shapely.get_parts(on):
            if isinstance(piece, shapely.Polygon) and not piece.is_empty:
                ring = shapely.get_coordinates(piece.exterior)
                out.append(
                    PlanKeepOut(
                        id=keep_out.name,
                        why=keep_out.why,
                        wall=skin.name,
                        outline=points(skin.chart.lift(ring, 0.0)),
                        margin_mm=mm(keep_out.margin_m),
                    )
                )
    return tuple(out)
