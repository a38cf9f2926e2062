"""The four runs of the sample plan, their lengths and drops worked out from the routes below."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from ribway.models.plan.assumptions import RunError
from ribway.models.plan.results import LengthLine, PlanLeg, PlanLug, PlanRun
from samples.cables import COPPER_KG_PER_M_MM2, cable, hot_ohm_per_m
from samples.curves import Point, join, length_of, rounded_length, rounded_line, turns

SLACK_PERCENT = 5.0
CUT_STEP_M = 0.05
ARM_M = 1.70
AMBIENT_C = 40.0
TERMINAL_M = 0.05  # what is left of each tail for the terminal
READ_M = 0.01  # what a device's stated place does to a run's length
# NEC 310.15(B) equation, 60 °C insulation in 40 °C air on a 30 °C base.
AMBIENT_FACTOR = math.sqrt((60.0 - AMBIENT_C) / (60.0 - 30.0))

Legs = tuple[tuple[Literal["stub", "bay", "opening", "over", "duct"], str, tuple[Point, ...]], ...]


@dataclass(frozen=True)
class Wanted:
    """What is chosen for one run; everything else follows. ``table_a`` is 33 CFR 183.425 table 5, 60 °C column [A]."""

    id: str
    circuit: str
    from_: str
    to: str
    kind: Literal["dc", "ac", "data"]
    purpose: Literal["main", "circuit", "spare"]
    cable: str
    legs: Legs
    taut_m: float
    tails: tuple[tuple[str, float], tuple[str, float]]
    volts: float
    design_a: float
    upstream_drop_v: float
    drop_limit_percent: float | None
    table_a: float | None
    deciding: str
    loom: str


_FUNCTIONS = {"dc": ("positive", "negative"), "ac": ("line", "neutral", "earth")}
_COLOURS = {"dc": ("red", "black"), "ac": ("brown", "blue", "green with yellow stripe")}


def metres(value: float) -> float:
    """A length rounded to 0.1 mm [m]."""
    return round(value, 4)


def feet_inches(length_m: float) -> str:
    """A length rounded up to whole quarter inches, as text."""
    quarters = math.ceil(round(length_m / 0.0254 * 4, 6))
    feet, left = divmod(quarters, 48)
    whole, part = divmod(left, 4)
    fraction = {0: "", 1: " 1/4", 2: " 1/2", 3: " 3/4"}[part]
    return f"{feet}' {whole}{fraction}\""


def arms(length_m: float) -> str:
    """A length rounded up to tenths of an outstretched arm span, as text."""
    return f"{math.ceil(round(length_m / ARM_M * 10, 6)) / 10:.1f} arms"


def run_of(wanted: Wanted) -> PlanRun:
    """The finished run of a wanted one."""
    reel = cable(wanted.cable)
    legs = tuple(
        PlanLeg(
            kind=kind,
            name=name,
            sharp_m=metres(length_of(points)),
            points=points,
            zone="wall",
            ambient_c=AMBIENT_C,
            lay="square" if kind == "bay" else "",
        )
        for kind, name, points in wanted.legs
    )
    line = join([leg.points for leg in legs])
    radius_m = reel.min_bend_factor * reel.outside_mm / 1000
    sharp = metres(sum(leg.sharp_m for leg in legs))
    slack = metres(sharp * SLACK_PERCENT / 100)
    (place_a, tail_a), (place_b, tail_b) = wanted.tails
    bare = sharp + slack + tail_a + tail_b
    cut = metres(math.ceil(round(bare / CUT_STEP_M, 6)) * CUT_STEP_M)
    reckoning = (
        *(LengthLine(what=f"{leg.kind} {leg.name}", metres=leg.sharp_m) for leg in legs),
        LengthLine(what=f"slack {SLACK_PERCENT:g} %", metres=slack),
        LengthLine(what=f"tail at {place_a}", metres=tail_a),
        LengthLine(what=f"tail at {place_b}", metres=tail_b),
        LengthLine(what="rounded up to 0.05 m", metres=metres(cut - bare)),
    )
    drop = wanted.upstream_drop_v + 2 * wanted.design_a * hot_ohm_per_m(reel) * cut
    return PlanRun(
        id=wanted.id,
        circuit=wanted.circuit,
        from_=wanted.from_,
        to=wanted.to,
        kind=wanted.kind,
        purpose=wanted.purpose,
        openings=tuple(leg.name for leg in legs if leg.kind == "opening"),
        legs=legs,
        straight_m=metres(math.dist(line[0], line[-1])),
        taut_m=metres(wanted.taut_m),
        sharp_m=sharp,
        rounded_m=metres(rounded_length(line, radius_m)),
        slack_m=slack,
        loom_side_m=0.0,
        tail_a_m=tail_a,
        tail_b_m=tail_b,
        one_way_m=metres(sharp + slack),
        there_and_back_m=metres(2 * (sharp + slack)),
        cut_m=cut,
        cut_feet_inches=feet_inches(cut),
        cut_arms=arms(cut),
        reckoning=reckoning,
        bends=len(turns(line)),
        bend_angle_deg=round(math.degrees(sum(turns(line))), 1),
        least_bend_radius_mm=round(radius_m * 1000, 1),
        tightest_radius_mm=round(radius_m * 1000, 1),
        centreline=tuple((round(p[0], 6), round(p[1], 6), round(p[2], 6)) for p in rounded_line(line, radius_m)),
        cable=reel.id,
        cores=reel.cores,
        loaded_cores=2 if wanted.kind != "data" and wanted.purpose != "spare" else 0,
        wire_functions=_FUNCTIONS.get(wanted.kind, ()),
        wire_colours=_COLOURS.get(wanted.kind, ()),
        conductor_area_mm2=reel.area_mm2,
        size_name=reel.size_name,
        outside_mm=reel.outside_mm,
        thickness_mm=reel.thickness_mm,
        plug_mm=reel.plug_mm,
        copper_kg=round(cut * reel.cores * reel.area_mm2 * COPPER_KG_PER_M_MM2, 6),
        design_a=wanted.design_a,
        drop_v=round(drop, 4),
        drop_percent=round(100 * drop / wanted.volts, 3),
        drop_limit_percent=wanted.drop_limit_percent,
        derated_a=None if wanted.table_a is None else round(wanted.table_a * AMBIENT_FACTOR, 3),
        bundle_factor=1.0,
        ambient_factor=round(AMBIENT_FACTOR, 4),
        deciding=wanted.deciding,
        loom=wanted.loom,
        cut_to_template=reel.area_mm2 >= 16.0,
        lugs=tuple(
            PlanLug(at=end, size=reel.size_name, stud="", count=2)
            for end in (wanted.from_, wanted.to)
            if reel.area_mm2 >= 16.0
        ),
        margin_m=metres(cut - sharp - 2 * TERMINAL_M),
        errors=(
            RunError(measurement=f"device {wanted.from_}", mean_m=0.0, metres=READ_M),
            RunError(measurement=f"device {wanted.to}", mean_m=0.0, metres=READ_M),
        ),
        short_chance=0.0,  # the margins are far more than the errors together
    )
