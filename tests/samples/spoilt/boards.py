"""Plans with a battery board whose places, cables or lugs are wrong; made from that of `board_vans`."""

from __future__ import annotations

from ribway.models.plan.plan import Plan
from samples.spoilt.changes import Spoilt, change, leg, rules, take

RUN = "main-1"


def _shorter(plan: Plan) -> Plan:
    return change(leg(plan, RUN, 0, sharp_m=0.2), "runs", RUN, sharp_m=0.2)


def _off(plan: Plan) -> Plan:
    points = take(plan, "runs", RUN).legs[0].points
    return leg(plan, RUN, 0, points=(points[0], (points[1][0], points[1][1] - 0.05, points[1][2]), *points[2:]))


BOARDS = (
    Spoilt("board", "fuse", lambda p: change(p, "devices", "fuse", on="bus")),
    Spoilt("board-place", "fuse", lambda p: change(p, "devices", "fuse", across_m=0.2)),
    Spoilt("board-place", "bus", lambda p: change(p, "devices", "panel", width_m=0.4)),
    Spoilt(
        "on-board", RUN, lambda p: change(leg(p, RUN, 0, kind="stub", name="battery"), "runs", RUN, cores=0, loom="")
    ),
    Spoilt("on-board", "B", lambda p: change(p, "devices", "fuses", on="panel")),
    Spoilt("board-length", RUN, _shorter),
    Spoilt("board-singles", RUN, lambda p: change(p, "cables", take(p, "runs", RUN).cable, cores=2)),
    Spoilt("lugs", RUN, lambda p: change(p, "devices", "battery", stud="M6")),
    Spoilt("lugs", RUN, lambda p: change(p, "runs", RUN, lugs=())),
    Spoilt("terminal", RUN, lambda p: rules(p, terminal_m=0.2)),
    Spoilt("off-board", RUN, _off),
)
