"""Runs as the plan says them."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache, partial

import numpy as np

from ribway.models.colours.conventions import SPARE_CORE, colour_of
from ribway.models.lengths import format_arms, format_feet_inches
from ribway.models.plan.results import LengthLine, PlanLeg, PlanRun
from ribway.models.plan.shell import Point
from ribway.router.circuits.runs import Run
from ribway.router.circuits.stock import COPPER_KG_PER_M_MM2, Cable
from ribway.router.geometry.fillets import Corner, RoundedLine, bends, rounded
from ribway.router.geometry.polylines import length
from ribway.router.laying.cutting import THICK_MM2, round_up
from ribway.router.laying.layer import MOUTH_CLEAR_M, SCHEMATIC, Laid
from ribway.router.writing.lugs import lugs_of
from ribway.router.writing.outcome import Outcome, mm, point, points
from ribway.router.writing.reckoning import write_reckoning

END_FREE_M = 0.12  # a cable's own tail end hangs free here: a corner this near a device is no bend to be formed
THICK_END_FREE_M = 0.01  # from 16 mm2 up a cable does not sweep by itself: only the corner at the terminal is left out


def write_runs(outcome: Outcome) -> tuple[PlanRun, ...]:
    """All laid runs, in the order of the project."""
    taking = {device.id: (device.stud or "", device.takes or "") for device in outcome.project.devices}
    laid = outcome.layout.laid
    return tuple(_run(outcome, run, laid[run.id], taking) for run in outcome.runs if run.id in laid)


@lru_cache(maxsize=4096)
def rounded_line(laid: Laid, cable: Cable) -> RoundedLine:
    """The centre line with corners as round as the cable asks for, where there is room."""
    return rounded(laid.guarded, cable.least_radius_m, cable.least_radius_m)


def inner_corners(laid: Laid, cable: Cable) -> list[Corner]:
    """Corners of the rounded line away from its ends, where a thin cable hangs free and takes its own sweep.

    Where a sketch begins and ends nothing is known of the bend, so nothing is said of it.
    """
    free_m = END_FREE_M if cable.stock.area_mm2 < THICK_MM2 else THICK_END_FREE_M
    ends = laid.line[[0, -1]].tolist()
    found = [
        corner
        for corner in rounded_line(laid, cable).corners
        if min(math.dist(corner.point, end) for end in ends) > free_m
    ]
    sketched = [leg.points[[0, -1]] for leg in laid.legs if leg.kind in SCHEMATIC]
    if not sketched:
        return found
    unknown = np.vstack(sketched)
    return [
        corner
        for corner in found
        if np.linalg.norm(np.array(corner.point) - unknown, axis=1).min() > 2.0 * MOUTH_CLEAR_M
    ]


def tight_corners(laid: Laid, cable: Cable) -> list[tuple[float, float]]:
    """Inner corners below the cable's least radius: (radius [m], angle [deg])."""
    return [(corner.radius_m, math.degrees(corner.angle_rad)) for corner in inner_corners(laid, cable) if corner.tight]


def _run(outcome: Outcome, run: Run, laid: Laid, taking: Mapping[str, tuple[str, str]]) -> PlanRun:
    shop = outcome.project.shop
    cable, cut, sized = outcome.cable_of[run.id], outcome.cuts[run.id], outcome.sized.get(run.id)
    key = (laid, cable, shop.ambients, shop.bend_counts_above_deg)
    drawn = outcome.memory.of("drawn run", key, partial(_drawn, outcome, laid, cable))
    feed = next((one for one in outcome.feeds if one.circuit.id == run.circuit), None)
    sizes = outcome.circuits.get(run.circuit)
    drop_v = sizes.lost_v[run.id] if sizes is not None and run.id in sizes.lost_v else 0.0
    volts = feed.volts if feed is not None else shop.volts
    ampacity = sized.verdict.ampacity if sized is not None and sized.verdict is not None else None
    loom = outcome.layout.loom_of.get(run.id)
    factors = {factor.name: factor.value for factor in ampacity.factors} if ampacity is not None else {}
    left = max(cable.conductors - len(run.functions), 0)
    functions = (*run.functions, *(SPARE_CORE,) * left) if run.functions else ()
    return PlanRun(
        **{"from": run.a},
        id=run.id,
        circuit=run.circuit,
        to=run.b,
        kind=run.kind,
        purpose=run.purpose,
        openings=tuple(outcome.space.ways[way].name for way in laid.ways),
        measured="taped" if run.taped_m is not None else "computed" if run.by_hand is None else "by hand",
        by_hand=run.by_hand or (),
        legs=drawn.legs,
        straight_m=math.floor(laid.straight_m * 1e4) / 1e4,
        taut_m=round(laid.taut_m, 4),
        sharp_m=round(cut.sharp_m, 4),
        rounded_m=round(min(drawn.rounded_m, cut.sharp_m), 4),
        slack_m=round(cut.slack_m, 4),
        loop_m=round(cut.loop_m, 4),
        moving=moving_of(outcome, run, laid),
        loom_side_m=round(cut.loom_side_m, 4),
        tail_a_m=round(cut.tail_a_m, 4),
        tail_b_m=round(cut.tail_b_m, 4),
        one_way_m=round(cut.one_way_m, 4),
        there_and_back_m=round(2.0 * cut.one_way_m, 4),
        cut_m=round(cut.cut_m, 4),
        cut_feet_inches=format_feet_inches(cut.cut_m),
        cut_arms=format_arms(cut.cut_m, shop.arm_length),
        reckoning=tuple(LengthLine(what=part.what, metres=part.metres) for part in cut.lines),
        bends=drawn.bends,
        bend_angle_deg=drawn.bend_angle_deg,
        least_bend_radius_mm=mm(cable.least_radius_m),
        tightest_radius_mm=drawn.tightest_radius_mm,
        centreline=drawn.centreline,
        cable=cable.stock.id,
        pieces=cable.count,
        cores=cable.conductors,
        role=run.role,
        loaded_cores=run.loaded_cores,
        wire_functions=functions,
        wire_colours=tuple(colour_of(function, shop.dc_colours, shop.ac_colours) for function in functions),
        conductor_area_mm2=cable.stock.area_mm2,
        size_name=cable.stock.size,
        outside_mm=cable.stock.outside_mm,
        thickness_mm=cable.stock.thickness_mm,
        plug_mm=cable.stock.plug_mm,
        copper_kg=round(cable.copper_mm2 * cut.cut_m * COPPER_KG_PER_M_MM2, 6),
        design_a=round(run.amps, 3),
        drop_v=round(drop_v, 4),
        drop_percent=round(100.0 * drop_v / volts, 3),
        drop_limit_percent=outcome.sizer.limit_percent(feed) if feed is not None else None,
        derated_a=round(ampacity.derated_a, 2) if ampacity is not None else None,
        bundle_factor=round(factors.get("bundle", 1.0), 4),
        ambient_factor=round(factors.get("ambient", 1.0), 4),
        heat_factor=round(factors.get("heat balance", 1.0), 4),
        table_a=ampacity.base.amps if ampacity is not None else None,
        table_says=ampacity.base.because if ampacity is not None else "",
        **write_reckoning(outcome, run, sized),
        deciding=outcome.reason_of.get(run.id, "spare"),
        loom=loom.id if loom is not None else "",
        cut_to_template=cable.stock.area_mm2 >= THICK_MM2,
        lugs=lugs_of(run, cable, taking),
        margin_m=0.0,  # these three need all openings and devices written: see ribway.router.writing.chance
        errors=(),
        short_chance=1.0,
    )


@dataclass(frozen=True)
class _Drawn:
    """A run as it lies: what depends on its route and cable alone; see the fields of `PlanRun`."""

    legs: tuple[PlanLeg, ...]
    centreline: tuple[Point, ...]
    rounded_m: float
    bends: int
    bend_angle_deg: float
    tightest_radius_mm: float | None


def _drawn(outcome: Outcome, laid: Laid, cable: Cable) -> _Drawn:
    above_deg = outcome.project.shop.bend_counts_above_deg
    centreline = points(rounded_line(laid, cable).points)
    legs = tuple(
        PlanLeg(
            kind=leg.kind,
            name=leg.name,
            sharp_m=round(round_up(leg.sharp_m, 1e-4), 4),
            points=points(leg.points),
            zone=leg.zone,
            ambient_c=outcome.sizer.ambient_c(leg.zone),
            lay=leg.lay,
        )
        for leg in laid.legs
    )
    # Counted on the line as it is written, so that whoever reads the plan counts the same.
    count, angle = bends(np.vstack([np.array(leg.points) for leg in legs]), above_deg)
    radii = [corner.radius_m for corner in inner_corners(laid, cable) if math.degrees(corner.angle_rad) > above_deg]
    # A sketch stands for a taped stretch: the line that is drawn is shorter by what the tape says more.
    rounded_m = length(np.array(centreline)) + _undrawn_m(laid)
    return _Drawn(legs, centreline, rounded_m, count, round(angle, 1), mm(min(radii)) if radii else None)


def _undrawn_m(laid: Laid) -> float:
    """As `Laid.undrawn_m`, on the lengths and points as they are written [m]."""
    if laid.undrawn_m <= 0.0:
        return 0.0
    return sum(
        max(0.0, round_up(leg.sharp_m, 1e-4) - length(np.array(points(leg.points))))
        for leg in laid.legs
        if leg.kind in SCHEMATIC
    )


def moving_of(outcome: Outcome, run: Run, laid: Laid) -> tuple[str, ...]:
    """What a run moves with: the doors and roofs that it crosses to."""
    project = outcome.project
    ends = {one.id: one.at.moving for one in project.devices}
    ways = {one.name: one.moving for one in project.vehicle.ways}
    passed = (ways.get(outcome.space.ways[way].name) for way in laid.ways)
    found = [ends.get(run.a), *passed, ends.get(run.b)]
    return tuple(dict.fromkeys(name for name in found if name))


def device_point(outcome: Outcome, device: str) -> tuple[float, float, float]:
    """Where a device is."""
    return next(point(portal.point) for portal in outcome.space.portals if portal.device == device)
