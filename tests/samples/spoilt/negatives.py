"""Plans whose current comes back wrongly; made from the chassis and shared plans of `negative_vans`."""

from __future__ import annotations

from ribway.models.plan.plan import Plan
from samples.spoilt.changes import Spoilt, add, change, rules, take


def _second_bond(plan: Plan) -> Plan:
    again = take(plan, "circuits", "B").model_copy(update={"id": "B2", "runs": ()})
    return plan.model_copy(update={"circuits": (*plan.circuits, again)})


CHASSIS = (
    Spoilt("bonds", "B2", _second_bond),
    Spoilt("earth-not-allowed", "P", lambda p: change(p, "devices", "rear-earth", allowed_by_maker=False)),
    Spoilt("earth-not-allowed", "B", lambda p: change(p, "devices", "front-earth", allowed_by_maker=False)),
    Spoilt("return", "P", lambda p: change(p, "circuits", "P", negative="F")),
    Spoilt("return", "main", lambda p: change(p, "circuits", "main", negative="B")),
    Spoilt("fused-negative", "B", lambda p: change(p, "circuits", "B", fuse_a=20.0)),
    Spoilt("negative-too-thin", "B", lambda p: change(p, "runs", "B", derated_a=3.0)),
    Spoilt("drop", "P-2", lambda p: rules(p, body_ohm=0.02)),
    Spoilt("drop", "P-2", lambda p: add(p, "runs", "P-2", "drop_v", -0.02)),
    Spoilt("drop", "P-2", lambda p: add(p, "runs", "B", "cut_m", 2.0)),
    Spoilt("current", "B", lambda p: change(p, "circuits", "F", negative="")),
    Spoilt("wire-functions", "P-1", lambda p: change(p, "circuits", "P", return_="wired")),
    Spoilt("role", "P-2", lambda p: change(p, "runs", "P-2", role="feed")),
)
SHARED = (
    Spoilt("return", "P", lambda p: change(p, "circuits", "board.negative", source="battery")),
    Spoilt("negative-too-thin", "board.negative-1", lambda p: change(p, "runs", "board.negative-1", derated_a=8.0)),
    Spoilt("drop", "P", lambda p: add(p, "runs", "board.negative-1", "cut_m", 2.0)),
    Spoilt("current", "board.negative-1", lambda p: add(p, "runs", "board.negative-1", "design_a", -2.0)),
)
