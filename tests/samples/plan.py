"""A small, consistent plan made by hand: two looms, four runs, of them one AC and one data.

A box 2 m long with one rib (L1, R1) on either wall, 1 m back, and one 20 mm hole (L1a, R1a) through each, 0.5 m up.
Every cable lies 25 mm off the wall, so that it meets the holes without leaving the plane y = +-0.875.
Left: a battery feeds a board (main), the board feeds a fridge behind the rib; a shunt at the battery reports to a
display behind the rib. Right: an AC inlet feeds an outlet behind the rib.
"""

from __future__ import annotations

import math
from typing import Literal

from ribway.models.plan.assumptions import AssumedKey, PlanAssumption, PlanMeasurement, PlanUnplanned, Whose
from ribway.models.plan.looms import Breakout, LoomSection, PlanLoom
from ribway.models.plan.plan import Plan, PlanRules
from ribway.models.plan.results import Finding, PlanCircuit, PlanRun, Totals
from ribway.models.plan.shell import PlanBay, PlanKeepOut, PlanOpening, PlanWay
from samples import layout, metal
from samples.cables import CABLES, cable, hot_ohm_per_m
from samples.runs import AMBIENT_C, ARM_M, CUT_STEP_M, READ_M, SLACK_PERCENT

HOLE_AREA_MM2 = math.pi * 10.0**2


def _circuit(
    run: PlanRun,
    name: str,
    volts: float,
    start_a: float,
    fuse: tuple[float | None, bool],
    upstream: tuple[float, float] = (0.0, 0.0),
) -> PlanCircuit:
    start_drop = upstream[1] + 2 * start_a * hot_ohm_per_m(cable(run.cable)) * run.cut_m
    return PlanCircuit(
        id=run.circuit,
        name=name,
        kind=run.kind,
        source=run.from_,
        loads=(run.to,),
        pattern="home",
        volts=volts,
        runs=(run.id,),
        design_a=run.design_a,
        start_a=start_a,
        fuse_a=fuse[0],
        fuse_given=fuse[1],
        fuse_low_a=0.0 if fuse[0] is None else round(1.25 * run.design_a, 3),
        fuse_high_a=run.derated_a or 0.0,
        weakest_derated_a=run.derated_a,
        drop_limit_percent=run.drop_limit_percent,
        upstream_drop_v=round(upstream[0], 4),
        upstream_start_drop_v=round(upstream[1], 4),
        worst_drop_v=run.drop_v,
        worst_drop_percent=run.drop_percent,
        start_drop_percent=round(100 * start_drop / volts, 3),
    )


def _opening(side: int, runs: tuple[PlanRun, ...], bundle_mm: float) -> PlanOpening:
    wall = "left" if side > 0 else "right"
    name = "L1" if side > 0 else "R1"
    through = tuple(run for run in runs if f"{name}a" in run.openings)
    area = sum(
        (run.outside_mm - run.thickness_mm) * run.thickness_mm + math.pi / 4 * run.thickness_mm**2 for run in through
    )
    front, rear = layout.mouths(side)
    return PlanOpening(
        id=f"{name}a",
        member=name,
        shape="round",
        state="measured" if side > 0 else "assumed",
        raw_bore_mm=24.0 if side > 0 else 20.0,
        clear_bore_mm=20.0,
        slot_length_mm=None,
        grommet_mm=20.0 if side > 0 else None,
        taken_mm=0.0,
        area_mm2=round(HOLE_AREA_MM2, 3),
        fill_percent=round(100 * area / HOLE_AREA_MM2, 2),
        fill_limit_percent=40.0,
        separation="mixed" if side > 0 else "ac",
        runs=tuple(run.id for run in through),
        centre=(metal.RIB_X, side * layout.CABLE_Y, metal.HOLE_Z),
        axis=(-1.0, 0.0, 0.0),
        line=(front, rear),
        rim=metal.rim(side),
        wall=wall,
        back_m=1.0,
        up_m=metal.HOLE_Z,
        bundle_diameter_mm=bundle_mm,
    )


def _section(
    name: str, span: tuple[float, float], runs: tuple[str, ...], hole: tuple[str, ...], mm: float, n: int, y: float,
    x: tuple[float, float],
) -> LoomSection:  # fmt: skip
    points = ((x[0], y, metal.HOLE_Z), (x[1], y, metal.HOLE_Z))
    return LoomSection(
        name=name, from_m=span[0], to_m=span[1], runs=runs, openings=hole, diameter_mm=mm, loaded_conductors=n,
        points=points,
    )  # fmt: skip


def _looms() -> tuple[PlanLoom, ...]:
    """Diameters: the exact circle round one flat cable with the round one lying on its middle, rounded up."""
    y = layout.CABLE_Y
    left = PlanLoom(
        id="left",
        zone="left",
        runs=("fridge-1", "main-1", "report-1"),
        sections=(
            _section("left/1", (0.0, 0.3), ("main-1", "report-1"), (), 17.2, 2, y, (-0.2, -0.5)),
            _section("left/2", (0.3, 1.4), ("fridge-1", "report-1"), ("L1a",), 10.3, 2, y, (-0.5, -1.6)),
        ),
        breakouts=(
            Breakout(at_m=0.3, runs=("main-1",), place="board", point=(-0.5, y, metal.HOLE_Z)),
            Breakout(at_m=1.4, runs=("fridge-1", "report-1"), place="fridge", point=(-1.6, y, metal.HOLE_Z)),
        ),
        diameter_mm=17.2,
        length_m=1.4,
        colour="#4477aa",
    )
    right = PlanLoom(
        id="right",
        zone="right",
        runs=("outlet-1",),
        sections=(_section("right/1", (0.0, 1.2), ("outlet-1",), ("R1a",), 8.2, 2, -y, (-0.4, -1.6)),),
        breakouts=(Breakout(at_m=1.2, runs=("outlet-1",), place="outlet", point=(-1.6, -y, metal.HOLE_Z)),),
        diameter_mm=8.2,
        length_m=1.2,
        colour="#ee6677",
    )
    return (left, right)


def _bay(id: str, wall: Literal["left", "right"], x: tuple[float, float]) -> PlanBay:
    y = metal.WALL_Y if wall == "left" else -metal.WALL_Y
    top = metal.ROOF_Z
    return PlanBay(
        id=id,
        wall=wall,
        lay="square",
        exact=True,
        deviation_percent=0.0,
        outline=((x[0], y, 0.0), (x[1], y, 0.0), (x[1], y, top), (x[0], y, top)),
    )


def _totals(runs: tuple[PlanRun, ...], openings: tuple[PlanOpening, ...], looms: tuple[PlanLoom, ...]) -> Totals:
    fullest = max(openings, key=lambda opening: opening.fill_percent)
    worst = max((run for run in runs if run.kind != "data"), key=lambda run: run.drop_percent)

    def copper(purpose: str) -> float:
        return round(sum(run.copper_kg for run in runs if run.purpose == purpose), 6)

    return Totals(
        copper_kg=round(sum(run.copper_kg for run in runs), 6),
        copper_mains_kg=copper("main"),
        copper_circuits_kg=copper("circuit"),
        copper_spares_kg=copper("spare"),
        copper_tails_kg=round(sum(run.copper_kg * (run.cut_m - run.sharp_m) / run.cut_m for run in runs), 6),
        copper_ac_kg=round(sum(run.copper_kg for run in runs if run.kind == "ac"), 6),
        cable_m=round(sum(run.cut_m for run in runs), 4),
        draw_cord_m=0.0,
        one_way_m=round(sum(run.one_way_m for run in runs), 4),
        runs=len(runs),
        openings_used=sum(1 for opening in openings if opening.runs),
        holes_drilled=sum(1 for opening in openings if opening.runs and opening.state == "drill"),
        fullest_opening=fullest.id,
        fullest_percent=fullest.fill_percent,
        bends=sum(run.bends for run in runs),
        loom_m=round(sum(loom.length_m for loom in looms), 4),
        worst_drop_percent=worst.drop_percent,
        worst_drop_run=worst.id,
        worst_drop_v=worst.drop_v,
        short_chance=0.0,
        short_runs=0.0,
    )


FINDINGS = (
    Finding(
        level="note",
        code="opening-assumed",
        about="R1a",
        message="Hole R1a was never measured, and outlet-1 runs through it.",
        remedy="Measure hole R1a before cutting outlet-1.",
    ),
    Finding(
        level="warning",
        code="ac-licensed",
        about="outlet",
        message="Circuit outlet is AC: routed, measured, separated and marked here, not designed.",
        remedy="Have it designed and connected by a licensed person.",
    ),
)


def _assumption(whose: Whose, about: str, name: str, key: AssumedKey, what: str, value: str) -> PlanAssumption:
    """One that nobody confirmed, as long as it is about hole R1a or the stocked cables."""
    return PlanAssumption(
        whose=whose, about=about, name=name, key=key, what=what, value=value, source="made up for the sample",
        confirmed=whose == "device" or about == "L1a",
    )  # fmt: skip


def _assumptions(openings: tuple[PlanOpening, ...]) -> tuple[PlanAssumption, ...]:
    return (
        *(_assumption("opening", one.id, one.id, "hole", "its size", f"{one.raw_bore_mm:g} mm") for one in openings),
        *(
            _assumption("device", one.id, one.name, "amps", "running current", f"{one.amps:g} A")
            for one in layout.DEVICES
            if one.amps > 0.0
        ),
        *(
            _assumption("cable", one.id, one.name, "stock", "outside size", f"{one.outside_mm:g} mm").model_copy(
                update={"confirmed": not one.assumed}
            )
            for one in CABLES
        ),
    )


def sample_plan() -> Plan:
    """The sample plan, made anew."""
    runs = layout.runs()
    fridge, main, outlet, report = runs
    openings = (_opening(1, runs, 10.3), _opening(-1, runs, 8.2))
    looms = _looms()
    main_start_drop = 2 * 10.0 * hot_ohm_per_m(cable(main.cable)) * main.cut_m
    return Plan(
        ribway_plan=2,
        name="Sample box",
        revision="A",
        date="2025-01-31",
        alternative="",
        datum="front edge of the cargo floor",
        shell="sample box",
        shell_length_m=metal.LENGTH,
        rules=PlanRules(
            units="metric",
            arm_m=ARM_M,
            slack_percent=SLACK_PERCENT,
            cut_step_m=CUT_STEP_M,
            support_spacing_m=0.45,
            bend_counts_above_deg=15.0,
            fuse_rule="careful",
            bundle_rule="33 CFR 183",
            ac_dc="apart",
            data_power="together",
            conductor_temperature_c=None,
            ambient_roof_c=60.0,
            ambient_wall_c=AMBIENT_C,
            ambient_floor_c=40.0,
            lay="square",
        ),
        devices=layout.DEVICES,
        circuits=(
            _circuit(fridge, "Fridge", 12.0, 10.0, (7.5, False), (main.drop_v, main_start_drop)),
            _circuit(main, "Battery to board", 12.0, 10.0, (40.0, True)),
            _circuit(outlet, "AC outlet", 230.0, 4.0, (10.0, True)),
            _circuit(report, "Battery report", 12.0, 0.05, (None, False)),
        ),
        runs=runs,
        looms=looms,
        openings=openings,
        ways=(
            PlanWay(
                id="over-L1",
                kind="over",
                member="L1",
                line=((-0.98, 0.83, 1.2), (-1.02, 0.83, 1.2)),
                area_mm2=2000.0,
                fill_percent=0.0,
                fill_limit_percent=40.0,
                clear_bore_mm=20.0,
                runs=(),
            ),
        ),
        bays=(
            _bay("left-1", "left", (0.0, metal.RIB_X)),
            _bay("left-2", "left", (metal.RIB_X, -metal.LENGTH)),
            _bay("right-1", "right", (0.0, metal.RIB_X)),
            _bay("right-2", "right", (metal.RIB_X, -metal.LENGTH)),
        ),
        keep_outs=(
            PlanKeepOut(
                id="window-left",
                why="window",
                wall="left",
                outline=((-0.58, 0.9, 0.88), (-0.92, 0.9, 0.88), (-0.92, 0.9, 1.32), (-0.58, 0.9, 1.32)),
                margin_mm=20.0,
            ),
        ),
        parts=metal.parts(),
        cables=CABLES,
        totals=_totals(runs, openings, looms),
        findings=FINDINGS,
        assumptions=_assumptions(openings),
        unplanned=(
            PlanUnplanned(about="fridge", name="Fridge", lead="door switch", why="its other end is no device here"),
        ),
        measurements=tuple(
            PlanMeasurement(
                id=f"device {device.id}",
                whose="device",
                about=device.id,
                what=f"{device.name}: its place",
                error_m=READ_M,
                after_m=0.005,
                gain=0.0,
            )
            for device in layout.DEVICES
        ),
        complete=True,
    )
