"""From a plan to what a picture shows."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from ribway.models.plan.measuring import sketches
from ribway.models.plan.metres import cable_cut_m
from ribway.models.plan.plan import Plan
from ribway.models.plan.shell import PlanOpening
from ribway.viewer import palette
from ribway.viewer.bands import banded_looms
from ribway.viewer.fan import fanned, seats_at_devices, seats_in_passages
from ribway.viewer.flat import thin_sides
from ribway.viewer.frames import across
from ribway.viewer.parts import part_shapes
from ribway.viewer.shapes import Heading, LegendLine, Marker, Patch, Ring, Scene, Tube
from ribway.viewer.thinning import thinned_parts

ALONE = "#454c54"
LABEL_LETTERS = 24
FLAT_BELOW = 0.95


def short(name: str, letters: int = LABEL_LETTERS) -> str:
    """A name that fits a label.

    Args:
        name: any text.
        letters: how many letters there may be.

    Returns:
        The name on one line, with its end left off if it is too long.
    """
    name = " ".join(name.split())
    return name if len(name) <= letters else name[: letters - 1].rstrip() + "…"


def scene_of(plan: Plan, *, exaggeration: float = 1.0) -> Scene:
    """Lays out a plan.

    Args:
        plan: the plan.
        exaggeration: how many times thicker than true cables are drawn.

    Returns:
        The scene; cables lie side by side in every opening.

    Raises:
        ValueError: if the exaggeration is not positive.
    """
    if exaggeration <= 0.0:
        raise ValueError(f"cables are drawn with a thickness above 0, not {exaggeration:g} times the true one")
    light, thinned = thinned_parts(plan.parts)
    parts = part_shapes(plan.model_copy(update={"parts": light}) if thinned else plan)
    tubes = _laid_flat(_tubes(plan, exaggeration), plan, exaggeration)
    markers = tuple(Marker(d.id, short(d.name or d.id), d.wall, np.array(d.point)) for d in plan.devices)
    clouds = [part.vertices for part in parts] + [tube.points for tube in tubes] + [m.point[None] for m in markers]
    cloud = np.concatenate(clouds) if clouds else np.zeros((1, 3))
    return Scene(
        heading=replace(_heading(plan), thinned=thinned),
        parts=parts,
        tubes=tubes,
        markers=markers,
        rings=tuple(_ring(opening) for opening in plan.openings),
        patches=tuple(
            Patch(k.id, k.why, k.wall, np.array(k.outline, dtype=np.float64).reshape(-1, 3)) for k in plan.keep_outs
        ),
        legend=_legend(plan),
        low=cloud.min(axis=0),
        high=cloud.max(axis=0),
    )


def _tubes(plan: Plan, exaggeration: float) -> tuple[Tube, ...]:
    """All routed runs; those without a route have no curve and are not drawn."""
    in_passages, at_devices = seats_in_passages(plan, exaggeration), seats_at_devices(plan, exaggeration)
    colours, banded = {loom.id: loom.colour for loom in plan.looms}, banded_looms(plan)
    made = []
    for run in plan.runs:
        points = fanned(run, in_passages, at_devices)
        if len(points) >= 2:
            radius = run.outside_mm / 2000.0 * exaggeration
            colour = colours.get(run.loom, ALONE)
            loom = run.loom if run.loom in colours else ""
            made.append(Tube(run.id, loom, points, radius, colour, run.openings, banded=loom in banded))
    return tuple(made)


def _laid_flat(tubes: tuple[Tube, ...], plan: Plan, exaggeration: float) -> tuple[Tube, ...]:
    """Flat cables with their broad side to the wall; round ones as they are."""
    thickness = {run.id: run.thickness_mm for run in plan.runs if 0.0 < run.thickness_mm < FLAT_BELOW * run.outside_mm}
    if not any(tube.run in thickness for tube in tubes):
        return tubes
    # The cables and all openings reach to every wall, and the metal itself need not be at hand.
    cloud = np.concatenate([*(tube.points for tube in tubes), *(np.array([one.centre]) for one in plan.openings)])
    low, high = cloud.min(axis=0), cloud.max(axis=0)
    return tuple(
        replace(
            tube,
            half_thick_m=thickness[tube.run] / 2000.0 * exaggeration,
            thin=thin_sides(tube.points, low, high),
        )
        if tube.run in thickness
        else tube
        for tube in tubes
    )


def _ring(opening: PlanOpening) -> Ring:
    """The rim of an opening, or a circle of its clear bore if the plan has no rim."""
    points = np.array(opening.rim, dtype=np.float64).reshape(-1, 3)
    if len(points) < 3:
        first, second = across(np.array(opening.axis))
        angle = np.arange(24)[:, None] * np.pi / 12.0
        turn = np.cos(angle) * first + np.sin(angle) * second
        points = np.array(opening.centre) + opening.clear_bore_mm / 2000.0 * turn
    colour = palette.fill_colour(opening.fill_percent, opening.fill_limit_percent)
    return Ring(opening.id, opening.wall, points, colour, opening.fill_percent, len(opening.runs), opening.state)


def _legend(plan: Plan) -> tuple[LegendLine, ...]:
    """One line a loom in the plan's order, and one for the runs that lie alone."""
    lines = []
    looms, banded = {loom.id for loom in plan.looms}, banded_looms(plan)
    for loom in plan.looms:
        runs = [run for run in plan.runs if run.loom == loom.id]
        has_ac = any(run.kind == "ac" for run in runs)
        line = LegendLine(loom.id, loom.colour, loom.zone, len(runs), cable_cut_m(runs), has_ac, loom.id in banded)
        lines.append(line)
    alone = [run for run in plan.runs if run.loom not in looms]
    if alone:
        has_ac = any(run.kind == "ac" for run in alone)
        lines.append(LegendLine("", ALONE, "", len(alone), cable_cut_m(alone), has_ac))
    return tuple(lines)


def _heading(plan: Plan) -> Heading:
    """Title, sums and cautions."""
    used = [opening for opening in plan.openings if opening.runs]
    return Heading(
        project=plan.name,
        alternative=plan.alternative,
        date=plan.date,
        revision=plan.revision,
        copper_kg=plan.totals.copper_kg,
        runs=len(plan.runs),
        cut_m=plan.totals.cable_m,
        openings_used=len(used),
        openings_assumed=sum(1 for opening in used if opening.state == "assumed"),
        holes_drilled=plan.totals.holes_drilled,
        has_ac=any(run.kind == "ac" for run in plan.runs),
        complete=plan.complete,
        units=plan.rules.units,
        sketches=sketches(plan),
    )
