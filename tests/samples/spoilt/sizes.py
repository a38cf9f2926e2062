"""Plans whose openings are overfull, or whose currents, drops, ratings or fuses are wrong."""

from __future__ import annotations

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanLeg
from samples.spoilt.changes import Spoilt, add, change, leg, rules, section, take

SIZES = (
    # openings
    Spoilt("clear-area", "L1a", lambda p: add(p, "openings", "L1a", "area_mm2", 5.0)),
    Spoilt("fill", "L1a", lambda p: add(p, "openings", "L1a", "fill_percent", -1.0)),
    Spoilt("fill-limit", "L1a", lambda p: change(p, "openings", "L1a", fill_limit_percent=60.0)),
    Spoilt("overfull", "L1a", lambda p: change(p, "openings", "L1a", fill_limit_percent=16.0)),
    Spoilt("overfull", "L1a", lambda p: change(p, "openings", "L1a", area_mm2=0.0)),
    Spoilt("fill", "L1a", lambda p: change(p, "openings", "L1a", taken_mm=5.0)),
    Spoilt("body", "L1a", lambda p: change(p, "openings", "L1a", clear_bore_mm=8.0)),  # 8.6 mm wide
    Spoilt("body", "R1a", lambda p: change(p, "openings", "R1a", taken_mm=12.0)),  # 8.2 + 12 > 20
    Spoilt("bundle", "L1a", lambda p: change(p, "openings", "L1a", bundle_diameter_mm=8.5)),
    Spoilt("bundle", "L1a", lambda p: change(p, "openings", "L1a", bundle_diameter_mm=9.0)),  # 4.3 + 5.0 side by side
    Spoilt(
        "bundle", "L1a",
        lambda p: change(change(p, "openings", "L1a", clear_bore_mm=9.2), "runs", "report-1", plug_mm=0.0),
    ),
    Spoilt("bundle", "L1a", lambda p: change(p, "openings", "L1a", clear_bore_mm=12.0, bundle_diameter_mm=12.4)),
    Spoilt("fit-not-proven", "L1a", lambda p: change(p, "openings", "L1a", clear_bore_mm=12.0), "note"),
    Spoilt("plug", "L1a", lambda p: change(p, "openings", "L1a", clear_bore_mm=13.0)),  # 8.6 + 5.0
    # 8.6 beside 5.0 could pass, beside 5.0 + 4.0 it might not
    Spoilt(
        "plug-not-proven", "L1a",
        lambda p: change(p, "openings", "L1a", clear_bore_mm=17.0, taken_mm=4.0), "warning",
    ),
    # kinds
    Spoilt("separation", "L1a", lambda p: rules(p, data_power="apart")),
    Spoilt("separation", "left", lambda p: change(p, "runs", "report-1", kind="ac")),
    Spoilt("separation", "L1a", lambda p: rules(change(p, "runs", "report-1", kind="ac"), ac_dc="apart")),
    Spoilt("separation-label", "L1a", lambda p: change(p, "openings", "L1a", separation="dc")),
    Spoilt("ac-alongside", "report-1", lambda p: change(p, "runs", "report-1", kind="ac"), "warning"),
    # currents
    Spoilt("current", "fridge-1", lambda p: change(p, "runs", "fridge-1", design_a=4.0)),
    Spoilt("current", "fridge", lambda p: change(p, "circuits", "fridge", design_a=4.0)),
    Spoilt("current", "main-1", lambda p: change(p, "devices", "fridge", amps=6.0)),
    Spoilt("start-current", "main", lambda p: change(p, "circuits", "main", start_a=5.0)),
    Spoilt("load-not-reached", "fridge", lambda p: change(p, "circuits", "fridge", loads=("fridge", "display"))),
    Spoilt("not-fed", "fridge", lambda p: change(p, "runs", "fridge-1", **{"from_": "battery"})),
    Spoilt("ring", "fridge", lambda p: change(p, "circuits", "fridge", runs=("fridge-1", "fridge-1"))),
    Spoilt("feeder-diversity", "board", lambda p: change(p, "devices", "board", amps=3.0), "warning"),
    # drop
    Spoilt("unknown-size", "flat-2x2.5", lambda p: change(p, "cables", "flat-2x2.5", system="awg")),
    Spoilt("resistance", "flat-2x2.5", lambda p: change(p, "cables", "flat-2x2.5", ohm_per_m_20c=0.0075)),
    Spoilt("resistance", "flat-2x2.5", lambda p: change(p, "cables", "flat-2x2.5", metal="copper-clad aluminium")),
    Spoilt("resistance", "flat-2x2.5", lambda p: change(p, "cables", "flat-2x2.5", area_mm2=2.1)),
    Spoilt("drop", "fridge-1", lambda p: add(p, "runs", "fridge-1", "drop_v", -0.01)),
    Spoilt("drop", "fridge-1", lambda p: rules(p, conductor_temperature_c=90.0)),
    Spoilt("drop-limit", "fridge-1", lambda p: change(p, "runs", "fridge-1", drop_limit_percent=10.0)),
    Spoilt(
        "drop-over-limit", "fridge-1",
        lambda p: change(_limited(p, "runs", "fridge-1"), "circuits", "fridge", drop_limit_percent=1.5),
    ),
    Spoilt("drop-percent", "fridge-1", lambda p: add(p, "runs", "fridge-1", "drop_percent", -0.5)),
    Spoilt("drop-percent", "fridge", lambda p: add(p, "circuits", "fridge", "worst_drop_percent", -0.5)),
    Spoilt("worst-drop", "fridge", lambda p: add(p, "circuits", "fridge", "worst_drop_v", -0.01)),
    Spoilt("upstream-drop", "fridge", lambda p: change(p, "circuits", "fridge", upstream_drop_v=0.0)),
    Spoilt("upstream-drop", "fridge", lambda p: change(p, "circuits", "fridge", upstream_start_drop_v=0.0)),
    Spoilt("start-drop", "fridge", lambda p: add(p, "circuits", "fridge", "start_drop_percent", -0.5)),
    # wiring
    Spoilt("pattern", "fridge", lambda p: change(p, "circuits", "fridge", pattern="switched chain")),
    Spoilt("pattern", "fridge", lambda p: change(p, "circuits", "fridge", pattern="switch drop")),
    Spoilt("pattern", "fridge", lambda p: change(p, "circuits", "fridge", pattern="control", control_a=0.2)),
    Spoilt("pattern", "fridge", lambda p: change(p, "circuits", "fridge", control_a=0.2)),
    Spoilt("role", "fridge-1", lambda p: change(p, "runs", "fridge-1", role="control")),
    Spoilt("cores", "fridge-1", lambda p: change(p, "runs", "fridge-1", cores=1)),
    Spoilt("cores", "report-1", lambda p: change(p, "runs", "report-1", loaded_cores=2)),
    Spoilt("wire-functions", "fridge-1", lambda p: change(p, "runs", "fridge-1", wire_functions=("positive", "spare"))),
    Spoilt("loaded-cores", "fridge-1", lambda p: change(p, "runs", "fridge-1", loaded_cores=1)),
    Spoilt("wire-colours", "fridge-1", lambda p: change(p, "runs", "fridge-1", wire_colours=("red", "red"))),
    Spoilt("wire-colours", "fridge-1", lambda p: change(p, "runs", "fridge-1", wire_colours=("red",))),
    # ampacity
    Spoilt("ambient", "fridge-1", lambda p: leg(p, "fridge-1", 1, ambient_c=30.0)),
    Spoilt(
        "ambient", "fridge-1",
        lambda p: change(rules(p, ambient_floor_c=30.0), "runs", "fridge-1", legs=_on_the_floor(p)),
    ),
    Spoilt("bundle-factor", "fridge-1", lambda p: change(p, "runs", "fridge-1", bundle_factor=0.9)),
    Spoilt("ambient-factor", "fridge-1", lambda p: change(p, "runs", "fridge-1", ambient_factor=0.9)),
    Spoilt("derated", "fridge-1", lambda p: change(p, "runs", "fridge-1", derated_a=17.0)),
    Spoilt("derating-too-little", "fridge-1", lambda p: leg(p, "fridge-1", 1, ambient_c=50.0)),
    Spoilt("derating-too-little", "fridge-1", lambda p: _crowded(p)),
    Spoilt("heat-factor", "fridge-1", lambda p: change(p, "runs", "fridge-1", heat_factor=0.9)),
    Spoilt("heat-factor", "fridge-1", lambda p: change(rules(p, derating="stricter"), "runs", "fridge-1", heat_factor=1.2)),
    Spoilt("too-hot", "fridge-1", lambda p: change(rules(p, derating="heat"), "runs", "fridge-1", derated_a=60.0)),
    Spoilt("too-hot", "outlet-1", lambda p: leg(rules(p, derating="stricter"), "outlet-1", 1, ambient_c=69.0)),
    Spoilt("overload", "fridge-1", lambda p: change(p, "runs", "fridge-1", design_a=17.0)),
    Spoilt("no-ampacity", "fridge-1", lambda p: change(p, "runs", "fridge-1", derated_a=None)),
    Spoilt("no-ampacity", "fridge-1", lambda p: change(p, "cables", "flat-2x2.5", area_mm2=0.2)),
    Spoilt("unknown-rule", "rules", lambda p: rules(p, bundle_rule="by feel")),
    Spoilt("unknown-rule", "rules", lambda p: rules(p, ac_bundle_rule="by feel")),
    Spoilt("no-ampacity", "outlet-1", lambda p: rules(p, ac_base="IEC60364")),  # insulation of 60 C: no column
    Spoilt("derated", "outlet-1", lambda p: rules(change(p, "cables", "round-3x1.5", insulation_c=70.0), ac_base="IEC60364")),
    # fuses
    Spoilt("unknown-rule", "rules", lambda p: rules(p, fuse_rule="by feel")),
    Spoilt("no-fuse", "fridge", lambda p: change(p, "circuits", "fridge", fuse_a=None)),
    Spoilt("fuse-below-load", "fridge", lambda p: change(p, "circuits", "fridge", fuse_a=5.0)),
    Spoilt("fuse-above-wire", "fridge-1", lambda p: change(p, "circuits", "fridge", fuse_a=20.0)),  # may carry 16.3 A
    Spoilt(
        "fuse-above-wire", "fridge-1",
        lambda p: change(rules(p, fuse_rule="33 CFR 183 limit"), "circuits", "fridge", fuse_a=25.0),
    ),
    Spoilt("fuse-window", "fridge", lambda p: change(p, "circuits", "fridge", fuse_high_a=30.0)),
    Spoilt("weakest", "fridge", lambda p: change(p, "circuits", "fridge", weakest_derated_a=30.0)),
    Spoilt("ac-breaker", "outlet-1", lambda p: change(p, "circuits", "outlet", fuse_a=16.0), "warning"),
)  # fmt: skip


def _limited(plan: Plan, kind: str, name: str) -> Plan:
    """The fridge allowed 1.5 %, of which it loses 2 %."""
    return change(plan, kind, name, drop_limit_percent=1.5)


def _on_the_floor(plan: Plan) -> tuple[PlanLeg, ...]:
    """Legs of the fridge's run that claim the floor's cooler air on the wall."""
    return tuple(
        one.model_copy(update={"zone": "floor", "ambient_c": 30.0}) for one in take(plan, "runs", "fridge-1").legs
    )


def _crowded(plan: Plan) -> Plan:
    """The report carries 8 A of DC beside the fridge's 5 A: four loaded conductors, neither of the two light."""
    with_load = change(plan, "runs", "report-1", kind="dc", design_a=8.0)
    return section(with_load, "left", 1, loaded_conductors=4)
