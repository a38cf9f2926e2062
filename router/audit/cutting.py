"""The cut length of each run: line by line, with slack, tails and the loom's outside, as printed, and in copper."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from ribway.models.faults import SpellingError
from ribway.models.lengths import parse_length
from ribway.models.plan.results import Finding, PlanRun
from ribway.router.audit.book import Book
from ribway.router.audit.conductors import COPPER_SHARE
from ribway.router.audit.findings import error

PLAY_M: Final = 0.0002
ONE_WAY_STEP_M: Final = 0.001
COPPER_KG_PER_M_MM2: Final = 8.96e-3
"""8.96 g/cm3, annealed copper at 20 C: 1 mm2, a metre long."""
TEMPLATE_MM2: Final = 16.0
INCH_M: Final = 0.0254
PRINTED_OVER_ARMS: Final = 0.5


def check_cutting(book: Book) -> Iterator[Finding]:
    """Every run's cut length, its reckoning, its printed forms and its copper."""
    for run in book.plan.runs:
        yield from _parts(book, run)
        yield from _one_way(run)
        yield from _reckoning(run)
        yield from _printed(book, run)
        yield from _copper(book, run)


def _parts(book: Book, run: PlanRun) -> Iterator[Finding]:
    rules = book.plan.rules
    asked = rules.slack_percent / 100.0 * run.sharp_m
    if run.slack_m < asked - PLAY_M:
        yield error(
            "slack",
            run.id,
            f"slack {run.slack_m:.4f} m; {rules.slack_percent:g} % of {run.sharp_m:.4f} m is {asked:.4f} m",
        )
    if min(run.tail_a_m, run.tail_b_m, run.loom_side_m) < 0.0:
        yield error("negative-part", run.id, "a tail or the loom's outside is a negative length")
    least = run.sharp_m + run.slack_m + run.loom_side_m + run.loop_m + run.tail_a_m + run.tail_b_m
    if run.cut_m < least - PLAY_M:
        yield error("cut-short", run.id, f"cut {run.cut_m:.4f} m; sharp, slack, loom side and tails make {least:.4f} m")
    steps = run.cut_m / rules.cut_step_m
    if abs(steps - round(steps)) > 1e-4 * max(1.0, 1.0 / (rules.cut_step_m * 1e4)):
        yield error("cut-step", run.id, f"cut {run.cut_m:.4f} m is no multiple of {rules.cut_step_m * 1000:g} mm")


def _one_way(run: PlanRun) -> Iterator[Finding]:
    sum_m = run.sharp_m + run.slack_m + run.loom_side_m + run.loop_m
    if not sum_m - PLAY_M <= run.one_way_m <= sum_m + ONE_WAY_STEP_M + PLAY_M:
        yield error("one-way", run.id, f"one way {run.one_way_m:.4f} m; sharp, slack and loom side make {sum_m:.4f} m")
    if abs(run.there_and_back_m - 2.0 * run.one_way_m) > PLAY_M:
        yield error(
            "there-and-back", run.id, f"there and back {run.there_and_back_m:.4f} m, one way {run.one_way_m:.4f} m"
        )


def _reckoning(run: PlanRun) -> Iterator[Finding]:
    total = sum(line.metres for line in run.reckoning)
    if abs(total - run.cut_m) > PLAY_M:
        yield error("reckoning", run.id, f"its lines add up to {total:.4f} m, the cut length is {run.cut_m:.4f} m")
    said = [line.metres for line in run.reckoning[: len(run.legs)]]
    if len(said) < len(run.legs) or any(
        abs(metres - leg.sharp_m) > PLAY_M for metres, leg in zip(said, run.legs, strict=True)
    ):
        yield error("reckoning-legs", run.id, f"its first {len(run.legs)} lines are not the lengths of its legs")


def _printed(book: Book, run: PlanRun) -> Iterator[Finding]:
    arm_m = book.plan.rules.arm_m
    for text, most_over_m in ((run.cut_feet_inches, INCH_M), (run.cut_arms, PRINTED_OVER_ARMS * arm_m)):
        try:
            printed = parse_length(text, arm_m=arm_m)
        except SpellingError as fault:
            yield error("printed", run.id, f"the printed length cannot be read: {fault}")
            continue
        if not run.cut_m - 1e-6 <= printed <= run.cut_m + most_over_m:
            yield error("printed", run.id, f"{text} is {printed:.4f} m, the cut length is {run.cut_m:.4f} m")


def _copper(book: Book, run: PlanRun) -> Iterator[Finding]:
    cable = book.cable_of(run)
    same = (
        (run.cores, cable.cores * run.pieces), (run.conductor_area_mm2, cable.area_mm2),
        (run.size_name, cable.size_name), (run.outside_mm, cable.outside_mm),
        (run.thickness_mm, cable.thickness_mm), (run.plug_mm, cable.plug_mm),
    )  # fmt: skip
    for mine, stocked in same:
        if mine != stocked:
            yield error("cable-differs", run.id, f"says {mine} where {run.pieces} x {cable.id} has {stocked}")
    kg = COPPER_SHARE[cable.metal] * run.conductor_area_mm2 * run.cores * run.cut_m * COPPER_KG_PER_M_MM2
    if not math.isclose(run.copper_kg, kg, rel_tol=1e-4, abs_tol=2e-6):
        yield error(
            "copper",
            run.id,
            f"copper {run.copper_kg:.6f} kg; its share of copper x area x cores x cut length gives {kg:.6f} kg",
        )
    if run.conductor_area_mm2 >= TEMPLATE_MM2 and not run.cut_to_template:
        yield error("template", run.id, f"{run.conductor_area_mm2:g} mm2 must be cut to template on the van")
