"""Plans whose volts, shorts or boards are wrong."""

from __future__ import annotations

from typing import Any, Literal

from ribway.models.plan.electric import PlanBoard, PlanState, PlanWayOf
from ribway.models.plan.plan import Plan
from ribway.models.plan.results import Finding
from samples.spoilt.changes import Spoilt, change, take

FUSED = {"fuse_kind": "blade", "fuse_breaks_a": 1000.0}


def _board(plan: Plan, **update: Any) -> Plan:
    """The plan with ways stated of its board: one circuit of 5 A in one of six ways for 30 A."""
    right = {
        "id": "board", "ways": 6, "amps_per_way": 30.0, "amps_total": 60.0, "used": 1, "spare": 5, "amps": 5.0,
        "circuits": (PlanWayOf(circuit="fridge", way=1),),
    }  # fmt: skip
    return plan.model_copy(update={"boards": (PlanBoard.model_validate({**right, **update}),)})


def _weak_battery(plan: Plan) -> Plan:
    """A battery of 2 ohm: 12 V / 2 ohm is less than twice the fridge's 7.5 A."""
    return change(change(plan, "devices", "battery", internal_ohm=2.0), "circuits", "fridge", **FUSED)


def _battery_behind(plan: Plan) -> Plan:
    """The fridge a battery that can feed back through fuses of 500 A."""
    other = change(plan, "devices", "fridge", kind="source", internal_ohm=0.02)
    return change(other, "circuits", "fridge", load_can_feed=True, fuse_a=500.0, far_fuse_a=500.0)


def _heated(plan: Plan, stands_a2s: float) -> Plan:
    """The fridge's fuse known, and its cable said to stand no more than this in a short."""
    return change(plan, "circuits", "fridge", **FUSED, short_through_a2s=281.0, short_stands_a2s=stands_a2s)


def _told_of(plan: Plan, level: Literal["error", "warning"]) -> Plan:
    """A short beyond what the fridge's fuse breaks, told, and the plan said to be ready all the same."""
    told = Finding(level=level, code="breaking-capacity", about="board", message="too much", remedy="another fuse")
    short = change(plan, "circuits", "fridge", **FUSED, short_near_a=2000.0)
    return short.model_copy(update={"findings": (*plan.findings, told)})


def _backed(plan: Plan, **board: Any) -> Plan:
    """The board's fuses said to stand 1500 A behind the main fuse, a strip of 25 A that breaks what it meets."""
    said = {"backed_kind": "M5 strip", "backed_fuse_a": 80.0, "backed_to_a": 1500.0, **board}
    main = {"fuse_kind": "M5 strip", "fuse_breaks_a": 2000.0}
    if take(plan, "circuits", "main").short_near_a is None:
        main["short_near_a"] = 1800.0
    with_main = change(change(plan, "devices", "board", **said), "circuits", "main", **main)
    return change(with_main, "circuits", "fridge", **FUSED, fuse_backed_by="main", fuse_backed_to_a=1500.0)


TWO_IN_ONE = (PlanWayOf(circuit="fridge", way=1), PlanWayOf(circuit="main", way=1))

PARKED = (PlanState(state="parked", takes_a=4.0, gives_a=0.0),)

FEEDING = (
    Spoilt("feeder-states", "main", lambda p: change(p, "circuits", "main", states=PARKED)),
    Spoilt("device-volts", "fridge", lambda p: change(p, "devices", "fridge", running_v=11.0)),
    Spoilt("device-volts", "fridge", lambda p: change(p, "devices", "fridge", lowest_v=11.0)),
    Spoilt("cut-out-untold", "fridge", lambda p: change(p, "devices", "fridge", cut_out_v=11.9, lowest_v=11.7)),
    Spoilt("fuse-breaks", "fridge", lambda p: change(p, "circuits", "fridge", **{**FUSED, "fuse_breaks_a": 5000.0})),
    Spoilt("breaking-untold", "fridge", lambda p: change(p, "circuits", "fridge", **FUSED, short_near_a=2000.0)),
    Spoilt("breaking-untold", "fridge", lambda p: _told_of(p, "warning")),
    Spoilt("fuse-backed", "fridge", lambda p: change(p, "circuits", "fridge", **FUSED, fuse_backed_to_a=2000.0)),
    Spoilt("fuse-backed", "fridge", lambda p: _backed(p, backed_kind="ANL")),
    Spoilt("fuse-backed", "fridge", lambda p: _backed(p, backed_fuse_a=20.0)),
    Spoilt("fuse-backed", "fridge", lambda p: _backed(change(p, "circuits", "main", short_near_a=3000.0))),
    Spoilt("ready-with-errors", "board", lambda p: _told_of(p, "error")),
    Spoilt("far-fuse", "fridge", lambda p: change(p, "circuits", "fridge", load_can_feed=True)),
    Spoilt("far-fuse", "fridge", lambda p: change(p, "circuits", "fridge", load_can_feed=True, far_fuse_a=20.0)),
    Spoilt("short-near", "fridge", lambda p: change(p, "circuits", "fridge", **FUSED, short_near_a=900.0)),
    Spoilt("short-near", "fridge", lambda p: _weak_battery(p)),
    Spoilt("short-far", "fridge", lambda p: change(p, "circuits", "fridge", **FUSED, short_far_a=20.0)),
    Spoilt("far-short-untold", "fridge-1", lambda p: _weak_battery(p)),
    Spoilt("short-heat", "fridge", lambda p: _heated(p, 1.0)),
    Spoilt("short-heat-untold", "fridge-1", lambda p: change(_heated(p, 1.0), "cables", "flat-2x2.5", area_mm2=0.1)),
    Spoilt("ways", "board", lambda p: _board(p, spare=6)),
    Spoilt("ways", "board", lambda p: _board(p, circuits=(PlanWayOf(circuit="fridge", way=7),))),
    Spoilt("ways", "board", lambda p: _board(p, circuits=TWO_IN_ONE, used=2, spare=4)),
    Spoilt("ways", "board", lambda p: _board(p, circuits=(), used=0, spare=6)),
    Spoilt("ways", "battery", lambda p: _board(p, id="battery")),
    Spoilt("board-load", "board", lambda p: _board(p, amps=4.0)),
    Spoilt("board-load", "board", lambda p: _board(p, amps_total=3.0)),
    Spoilt("fed-from-behind", "main-1", _battery_behind),
    Spoilt("bar-untold", "board", lambda p: _board(p, amps_total=20.0)),
    Spoilt("way-amps", "fridge", lambda p: _board(p, amps_per_way=5.0)),
)
