"""What devices and ways are put on: the shell's skins laid flat, keep-outs taken out of them, and the bays that are left.

It depends on the shell, the keep-outs and a few rules of the workshop, and on no device: moving one leaves all of it as it is.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial

import numpy as np
import shapely
from numpy.typing import NDArray

from ribway.models.place import Place
from ribway.models.project import Project
from ribway.models.vehicle import KeepOutEntry
from ribway.router.errors import RouterError
from ribway.router.faults import Collector, RouterFaults
from ribway.router.geometry.charts import Chart
from ribway.router.geometry.unrolling import ChartError
from ribway.router.memory import Memory
from ribway.router.shell.parts import Shell
from ribway.router.space.bays import BayFinder, chart_skins, cut_bays, skin_charts, with_keep_outs
from ribway.router.space.metal import Metal
from ribway.router.space.regions import inside_box
from ribway.router.space.types import Bay, KeepOut, SkinChart

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Bare:
    """A shell before anything is kept out of it.

    Args:
        charts: skins laid flat, by name.
        skins: with all that members and obstacles cover.
        metal: all solid triangles.
    """

    charts: Mapping[str, Chart]
    skins: tuple[SkinChart, ...]
    metal: Metal


@dataclass(frozen=True, eq=False)
class Ground:
    """A shell with its keep-outs taken out.

    Args:
        shell: the shell.
        bare: the same before anything was kept out.
        keep_outs: grown by their margins.
        skins: with keep-outs closed.
        bays: what is left between.
        finder: of bays.
        datum_back_m: how far the user's datum lies behind the shell model's front edge [m].
    """

    shell: Shell
    bare: Bare
    keep_outs: tuple[KeepOut, ...]
    skins: tuple[SkinChart, ...]
    bays: tuple[Bay, ...]
    finder: BayFinder
    datum_back_m: float


def ground_of(project: Project, shell: Shell, memory: Memory, collector: Collector) -> Ground:
    """The ground of a project.

    Args:
        project: for its keep-outs, datum and workshop rules.
        shell: the bare metal.
        memory: what was made before.
        collector: gathers keep-outs that touch no skin.

    Raises:
        RouterFaults: a skin that can't be laid flat.
    """
    shop, datum_back_m = project.shop, project.vehicle.datum.forward
    bare = memory.of("bare", (shell, shop.edge_margin, shop.lay_depth), partial(_bare, project, shell))
    keep_outs: list[KeepOut] = []
    for number, entry in enumerate(project.vehicle.keep_outs, start=1):
        margin = max(entry.margin, shop.keep_out_margin)
        where = f"vehicle / keep_outs / {entry.name or number}"
        make = partial(_keep_outs, entry, bare.skins, margin, datum_back_m, where)
        found = collector.take(partial(memory.of, "keep-out", (bare, entry, margin, datum_back_m), make))
        keep_outs += found or ()
    key = (bare, tuple(keep_outs), datum_back_m, shop.lay, tuple(sorted(shop.lay_by_bay.items())))
    return memory.of("ground", key, partial(_ground, project, shell, bare, tuple(keep_outs)))


def _bare(project: Project, shell: Shell) -> Bare:
    try:
        charts = chart_skins(shell)
    except ChartError as fault:
        raise RouterFaults((RouterError("vehicle", str(fault), "skins that can be laid flat"),)) from fault
    shop = project.shop
    return Bare(charts, skin_charts(shell, charts, shop.edge_margin, shop.lay_depth), Metal(shell))


def _ground(project: Project, shell: Shell, bare: Bare, keep_outs: tuple[KeepOut, ...]) -> Ground:
    skins = with_keep_outs(bare.skins, keep_outs)
    bays = cut_bays(skins, shell, project.shop.lay, project.shop.lay_by_bay)
    return Ground(shell, bare, keep_outs, skins, bays, BayFinder(bays), project.vehicle.datum.forward)


def _keep_outs(
    entry: KeepOutEntry,
    skins: tuple[SkinChart, ...],
    margin_m: float,
    datum_back_m: float,
    where: str,
) -> tuple[KeepOut, ...]:
    wall = entry.corner.wall
    low, high = _box(entry.corner, entry.opposite, datum_back_m)
    out = []
    for index, skin in enumerate(skins):
        if wall is not None and skin.name != wall:
            continue
        grow = 0.0 if wall is not None else skin.lay_depth_m
        region = inside_box(skin.chart, low - grow, high + grow)
        if not shapely.is_empty(region):
            grown = shapely.buffer(region, margin_m, join_style="mitre")
            out.append(KeepOut(entry.name, entry.why, index, grown, margin_m))
    if not out:
        raise RouterError(
            where, "the region touches no skin of this shell", "two opposite corners that enclose some metal"
        )
    return tuple(out)


def _box(corner: Place, opposite: Place, datum_back_m: float) -> tuple[Array, Array]:
    """Opposite corners as a box, open in the directions that a wall place does not fix."""
    spans = []
    for place in (corner, opposite):
        if place.wall is None:
            spans.append(((place.x or 0.0) - datum_back_m, place.y or 0.0, place.z or 0.0))
        elif place.wall in ("left", "right"):
            spans.append((-((place.back or 0.0) + datum_back_m), np.nan, place.up or 0.0))
        elif place.wall in ("roof", "floor"):
            spans.append((-((place.back or 0.0) + datum_back_m), place.to_left_m, np.nan))
        else:
            spans.append((np.nan, place.to_left_m, place.up or 0.0))
    both = np.array(spans)
    low, high = both.min(axis=0), both.max(axis=0)
    return np.where(np.isnan(low), -np.inf, low), np.where(np.isnan(high), np.inf, high)
