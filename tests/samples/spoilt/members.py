"""Plans that are not whole: circuits, looms and totals that do not agree with their runs."""

from __future__ import annotations

from ribway.models.plan.bound import CopperBound
from ribway.models.plan.plan import Plan
from ribway.models.plan.shell import Point
from samples.spoilt.changes import Spoilt, change, section, take, totals

TOO_GOOD = CopperBound(
    copper_kg=9.0,
    gap_percent=0.0,
    same_cables_kg=9.0,
    routes_gap_percent=0.0,
    planned_kg=9.0,
    rounding_kg=0.0,
    proven=True,
)
"""A bound that measures nine kilograms where the sample's runs hold a fraction of one."""


def _told(plan: Plan, **update: float) -> Plan:
    """The second section with what it really bends to, and what else it is said to be."""
    runs = take(plan, "looms", "left").sections[1].runs
    bends = max(take(plan, "runs", name).least_bend_radius_mm for name in runs)
    return section(plan, "left", 1, bends_to_mm=bends, **update)


def _bent(plan: Plan) -> tuple[Point, ...]:
    """The first section with a step of 50 mm in it, square both ways: each corner has 25 mm for its radius at most."""
    a, b = take(plan, "looms", "left").sections[0].points
    x = (a[0] + b[0]) / 2
    return a, (x, a[1], a[2]), (x, a[1], a[2] + 0.05), (b[0], b[1], b[2] + 0.05)


def _shallow(plan: Plan, depth_m: float) -> Plan:
    """All bays of one depth."""
    bays = tuple(one.model_copy(update={"depth_m": depth_m}) for one in plan.bays)
    return plan.model_copy(update={"bays": bays})


MEMBERS = (
    Spoilt("circuit-runs", "fridge", lambda p: change(p, "circuits", "fridge", runs=("fridge-1", "main-1"))),
    Spoilt("circuit-runs", "fridge", lambda p: change(p, "circuits", "fridge", runs=())),
    Spoilt("circuit-runs", "main", lambda p: change(p, "runs", "fridge-1", circuit="main")),
    Spoilt("kind", "fridge-1", lambda p: change(p, "runs", "fridge-1", kind="data")),
    Spoilt("feeds", "board", lambda p: change(p, "devices", "board", feeds=())),
    Spoilt("nothing-feeds-it", "board", lambda p: change(p, "circuits", "main", loads=("fridge",))),
    # looms
    Spoilt("loom-of-run", "fridge-1", lambda p: change(p, "runs", "fridge-1", loom="right")),
    Spoilt("loom-of-run", "fridge-1", lambda p: change(p, "looms", "right", runs=("outlet-1", "fridge-1"))),
    Spoilt("loom-of-run", "main-1", lambda p: change(p, "looms", "left", runs=("fridge-1", "report-1"))),
    Spoilt("loom-gap", "main-1", lambda p: section(p, "left", 0, runs=("report-1",), loaded_conductors=0)),
    Spoilt("section-runs", "left", lambda p: section(p, "left", 0, runs=("main-1", "outlet-1"))),
    Spoilt("section-order", "left", lambda p: section(p, "left", 0, to_m=-0.1)),
    Spoilt("section-openings", "left", lambda p: section(p, "left", 0, openings=("L1a",))),
    Spoilt("loaded-conductors", "left", lambda p: section(p, "left", 0, loaded_conductors=0)),
    Spoilt("section-size", "left", lambda p: section(p, "left", 0, diameter_mm=13.0)),  # 17 mm wide
    Spoilt("loom-size", "left", lambda p: change(p, "looms", "left", diameter_mm=10.3)),
    Spoilt(
        "breakouts", "left",
        lambda p: change(p, "looms", "left", breakouts=take(p, "looms", "left").breakouts[::-1]),
    ),
    Spoilt("breakouts", "left", lambda p: change(p, "looms", "left", length_m=1.0)),
    Spoilt(
        "breakouts", "right",
        lambda p: change(p, "looms", "right", breakouts=take(p, "looms", "left").breakouts[:1]),
    ),
    Spoilt(
        "breakouts", "left",
        lambda p: change(
            p, "looms", "left",
            breakouts=tuple(one.model_copy(update={"joining": one.runs}) for one in take(p, "looms", "left").breakouts),
        ),
    ),
    Spoilt("section-order", "left", lambda p: section(p, "left", 0, branch=1)),
    Spoilt("section-order", "left", lambda p: section(p, "left", 1, from_m=0.4)),
    Spoilt("bundle-bend", "left", lambda p: section(p, "left", 0, points=_bent(p))),
    Spoilt("bay-deep", "left-1", lambda p: _shallow(p, 0.08)),
    Spoilt("bundle-deep", "left", lambda p: _shallow(p, 0.005)),
    Spoilt("section-bends", "left", lambda p: section(p, "left", 1, bends_to_mm=1.0)),
    Spoilt("section-bends", "left", lambda p: _told(p, corner_room_mm=90.0)),
    Spoilt("section-deep", "left", lambda p: _told(_shallow(p, 0.055), bay_depth_mm=80.0)),
    Spoilt("loom-of-cords", "right", lambda p: change(p, "runs", "outlet-1", cores=0)),
    # totals
    Spoilt("total", "copper", lambda p: totals(p, copper_kg=p.totals.copper_kg - 0.01)),
    Spoilt("total", "copper of mains", lambda p: totals(p, copper_mains_kg=0.0)),
    Spoilt("total", "copper of circuits", lambda p: totals(p, copper_circuits_kg=0.0)),
    Spoilt("total", "copper of spares", lambda p: totals(p, copper_spares_kg=0.1)),
    Spoilt("total", "copper of tails", lambda p: totals(p, copper_tails_kg=0.0)),
    Spoilt("total", "other metal", lambda p: totals(p, other_metal_kg=1.0)),
    Spoilt("total", "copper of AC", lambda p: totals(p, copper_ac_kg=0.0)),
    Spoilt("total", "cable", lambda p: totals(p, cable_m=p.totals.cable_m - 0.05)),
    Spoilt("total", "draw cord", lambda p: totals(p, draw_cord_m=0.05)),
    Spoilt("total", "one way", lambda p: totals(p, one_way_m=p.totals.one_way_m - 0.05)),
    Spoilt("total", "loom", lambda p: totals(p, loom_m=1.0)),
    Spoilt("total", "runs", lambda p: totals(p, runs=3)),
    Spoilt("bound", "copper", lambda p: p.model_copy(update={"bound": TOO_GOOD})),
    Spoilt("total", "openings used", lambda p: totals(p, openings_used=1)),
    Spoilt("total", "holes drilled", lambda p: totals(p, holes_drilled=1)),
    Spoilt("total", "bends", lambda p: totals(p, bends=0)),
    Spoilt("total", "fullest opening", lambda p: totals(p, fullest_opening="", fullest_percent=0.0)),
    Spoilt(
        "total", "fullest opening",
        lambda p: totals(p, fullest_opening="L1a", fullest_percent=take(p, "openings", "L1a").fill_percent),
    ),
    Spoilt("total", "worst drop", lambda p: totals(p, worst_drop_v=0.1)),
    Spoilt("total", "worst drop", lambda p: totals(p, worst_drop_run="nobody")),
    Spoilt(
        "total", "worst drop",
        lambda p: totals(
            p, worst_drop_run="main-1", worst_drop_v=take(p, "runs", "main-1").drop_v,
            worst_drop_percent=take(p, "runs", "main-1").drop_percent,
        ),
    ),
)  # fmt: skip
