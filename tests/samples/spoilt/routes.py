"""Plans whose names, lengths or routes are wrong."""

from __future__ import annotations

from typing import Any

from ribway.models.plan.plan import Plan
from samples import metal
from samples.spoilt.changes import Spoilt, add, change, leg, section, shifted, take

ROUND_A_CORNER = ((-0.4, -0.875, 0.5), (-1.6, -0.875, 0.5), (-1.6, -0.875, 0.9))

ROUTES = (
    # names
    Spoilt("doubled-id", "fridge-1", lambda p: p.model_copy(update={"runs": (*p.runs, p.runs[0])})),
    Spoilt("unknown-name", "fridge-1", lambda p: change(p, "runs", "fridge-1", to="nowhere")),
    Spoilt("unknown-name", "report-1", lambda p: change(p, "runs", "report-1", circuit="")),
    Spoilt("unknown-name", "main", lambda p: change(p, "circuits", "main", runs=("main-1", "main-2"))),
    Spoilt("no-route", "main-1", lambda p: change(p, "runs", "main-1", legs=())),
    # lengths
    Spoilt("straight", "fridge-1", lambda p: add(p, "runs", "fridge-1", "straight_m", -0.01)),
    Spoilt("taut", "fridge-1", lambda p: add(p, "runs", "fridge-1", "taut_m", -0.3)),
    Spoilt("sharp", "fridge-1", lambda p: add(p, "runs", "fridge-1", "taut_m", 0.3)),
    Spoilt("rounded", "fridge-1", lambda p: add(p, "runs", "fridge-1", "rounded_m", 0.3)),
    Spoilt("leg-short", "fridge-1", lambda p: leg(p, "fridge-1", 1, sharp_m=0.48)),
    Spoilt("leg-sum", "fridge-1", lambda p: add(p, "runs", "fridge-1", "sharp_m", -0.001)),
    Spoilt("leg-gap", "fridge-1", lambda p: leg(p, "fridge-1", 2, points=((-0.99, 0.875, 0.5), (-1.005, 0.875, 0.5)))),
    Spoilt("end-off-device", "fridge-1", lambda p: change(p, "devices", "fridge", point=(-1.6, 0.8, 0.31))),
    Spoilt("centreline", "fridge-1", lambda p: add(p, "runs", "fridge-1", "rounded_m", -0.004)),
    # cutting
    Spoilt("slack", "fridge-1", lambda p: add(p, "runs", "fridge-1", "slack_m", -0.01)),
    Spoilt("cut-short", "fridge-1", lambda p: add(p, "runs", "fridge-1", "cut_m", -0.05)),
    Spoilt("cut-step", "fridge-1", lambda p: add(p, "runs", "fridge-1", "cut_m", 0.01)),
    Spoilt("negative-part", "fridge-1", lambda p: change(p, "runs", "fridge-1", tail_b_m=-0.1)),
    Spoilt("one-way", "fridge-1", lambda p: add(p, "runs", "fridge-1", "one_way_m", -0.01)),
    Spoilt("one-way", "main-1", lambda p: add(p, "runs", "main-1", "one_way_m", 0.9)),
    Spoilt("there-and-back", "fridge-1", lambda p: add(p, "runs", "fridge-1", "there_and_back_m", -0.5)),
    Spoilt(
        "reckoning", "main-1",
        lambda p: change(p, "runs", "main-1", reckoning=take(p, "runs", "main-1").reckoning[:-1]),
    ),
    Spoilt(
        "reckoning-legs", "main-1",
        lambda p: change(p, "runs", "main-1", reckoning=take(p, "runs", "main-1").reckoning[::-1]),
    ),
    Spoilt("printed", "fridge-1", lambda p: change(p, "runs", "fridge-1", cut_feet_inches="8' 0\"")),  # 2.438 m of 2.45
    Spoilt("printed", "fridge-1", lambda p: change(p, "runs", "fridge-1", cut_arms="1.4 arms")),  # 2.38 m of 2.45
    Spoilt("printed", "fridge-1", lambda p: change(p, "runs", "fridge-1", cut_arms="about one and a half")),
    Spoilt("printed", "fridge-1", lambda p: change(p, "runs", "fridge-1", cut_feet_inches="18' 0\"")),
    Spoilt("cable-differs", "main-1", lambda p: change(p, "runs", "main-1", pieces=2)),
    Spoilt("copper", "main-1", lambda p: add(p, "runs", "main-1", "copper_kg", -0.01)),
    Spoilt("template", "main-1", lambda p: change(p, "runs", "main-1", cut_to_template=False)),
    # bends
    Spoilt("bends", "fridge-1", lambda p: add(p, "runs", "fridge-1", "bends", -1)),
    Spoilt("bend-angle", "fridge-1", lambda p: add(p, "runs", "fridge-1", "bend_angle_deg", -90.0)),
    Spoilt(
        "loom-side", "outlet-1",
        lambda p: section(p, "right", 0, diameter_mm=40.0, points=ROUND_A_CORNER),
    ),
    # openings and legs
    Spoilt("openings-and-legs", "fridge-1", lambda p: change(p, "runs", "fridge-1", openings=())),
    Spoilt("openings-and-legs", "fridge-1", lambda p: change(p, "runs", "fridge-1", openings=("over-L1",))),
    Spoilt("runs-in-opening", "L1a", lambda p: change(p, "openings", "L1a", runs=("fridge-1",))),
    Spoilt("runs-in-opening", "over-L1", lambda p: change(p, "ways", "over-L1", runs=("fridge-1",))),
    Spoilt("blocked-used", "L1a", lambda p: change(p, "openings", "L1a", state="blocked")),
    Spoilt("stub", "fridge-1", lambda p: leg(p, "fridge-1", 0, name="battery")),
    Spoilt(
        "off-opening", "fridge-1",
        lambda p: change(p, "openings", "L1a", line=shifted(take(p, "openings", "L1a").line, (0.0, 0.0, 0.02))),
    ),
    Spoilt("unknown-name", "fridge-1", lambda p: leg(p, "fridge-1", 2, name="L9z")),
    # metal
    Spoilt("through-metal", "fridge-1", lambda p: change(p, "parts", "L1", **_plate())),
    Spoilt("through-metal", "outlet-1", lambda p: change(p, "runs", "outlet-1", centreline=_through_the_rib(p))),
    Spoilt("unreadable-part", "L1", lambda p: change(p, "parts", "L1", faces_u32="????")),
    Spoilt("in-keep-out", "fridge-1", lambda p: change(p, "keep_outs", "window-left", outline=_patch(0.45, 0.55))),
    Spoilt("in-keep-out", "fridge-1", lambda p: change(p, "keep_outs", "window-left", outline=_patch(0.498, 0.6))),
)  # fmt: skip


def _plate() -> dict[str, str]:
    """The left rib as one plate without its hole: the web's four corners only."""
    near, far = metal.WALL_Y - metal.RIB_DEPTH, metal.WALL_Y
    corners = [(metal.RIB_X, near, 0.0), (metal.RIB_X, far, 0.0), (metal.RIB_X, far, 1.6), (metal.RIB_X, near, 1.6)]
    plate = metal.part("L1", "member", corners, [(0, 1, 2), (0, 2, 3)])
    return {"vertices_f32": plate.vertices_f32, "faces_u32": plate.faces_u32}


def _through_the_rib(plan: Plan) -> tuple[Any, ...]:
    """A centreline 3 cm above the hole."""
    line = take(plan, "runs", "outlet-1").centreline
    return (line[0], *shifted(line[1:-1], (0.0, 0.0, 0.03)), line[-1])


def _patch(low: float, high: float) -> tuple[tuple[float, float, float], ...]:
    """A patch of the left wall across the cable at 0.5 m: 5 cm or 2 mm of it reach over the cable."""
    return ((-1.2, 0.9, low), (-1.5, 0.9, low), (-1.5, 0.9, high), (-1.2, 0.9, high))
