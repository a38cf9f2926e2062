"""The looms at a glance, a row for each, and their sections for a spreadsheet."""

from __future__ import annotations

from ribway.models.plan.looms import PlanLoom
from ribway.models.plan.metres import is_draw_cord
from ribway.models.plan.plan import Plan
from ribway.models.printed import length
from ribway.sheets.buying.parts import clips_along, clips_of, sleeve_mm, sold_size
from ribway.sheets.colours import colour_name
from ribway.sheets.csv_file import Value
from ribway.sheets.looms_list import leave_and_join
from ribway.sheets.paper.record import Field, Grid, Record, Section, Values, tick
from ribway.sheets.places import device_names
from ribway.sheets.pulling.order import pull_order
from ribway.sheets.table import LARGE_PT
from ribway.sheets.words import NOTHING, bare, bare_thick, glued, joined, size_unit

_MARK = "; "
_SAME_M = 1e-6


def looms_record(plan: Plan) -> Record:
    """Every loom of more than one run.

    Args:
        plan: the plan.

    Returns:
        One row for each; no rows if all cables are pulled on their own.
    """
    units = plan.rules.units

    def metres(value: Value) -> str:
        return NOTHING if value is None else glued(length(float(value), units))

    def sleeve(value: Value) -> str:
        return NOTHING if value is None else glued(bare(sold_size(float(value), units)))

    fields = (
        Field("loom", "Loom", strong=True, weight=0.3),
        Field("zone", "Leads to", weight=0.9),
        Field("colour", "Colour in pictures", weight=0.7),
        Field("cables", "Cables", align="right", weight=0.2),
        Field("draw_cords", "Cords", align="right", weight=0.2),
        Field("runs", "Runs", weight=3.0),
        Field("hub", "Most end at", weight=1.2),
        Field("trunk_m", "Trunk", metres, "", 0.4, "right", True),
        Field("all_m", "All branches", metres, "", 0.4, "right"),
        Field(
            "widest_mm",
            "Widest",
            lambda value: NOTHING if value is None else bare_thick(float(value), units),
            size_unit(units),
            0.3,
            "right",
        ),
        Field("sleeve_mm", "Sleeve or tape up to", sleeve, size_unit(units), 0.3, "right"),
        Field("clips", "Clips", align="right", weight=0.2),
        tick("Built", "built"),
        tick("In the van", "in_the_van"),
    )
    hubs = {one.loom: one.hub for one in pull_order(plan)}
    rows = tuple(_row(plan, loom, hubs.get(loom.id, "")) for loom in plan.looms if len(loom.runs) > 1)
    return Record("looms", "Looms at a glance", fields, (Section("", rows),), (), LARGE_PT)


def loom_sections_grid(plan: Plan) -> Grid:
    """Every section of every loom, for a spreadsheet."""
    columns = (
        "loom", "section", "branch", "begins", "from_m", "to_m", "runs", "openings", "leave_or_join_at_its_end", "diameter_mm",
        "loaded_conductors", "clips", "bends_to_mm", "corner_room_mm", "bay_depth_mm",
    )  # fmt: skip
    cords = {run.id for run in plan.runs if is_draw_cord(run)}
    rows = tuple(
        (
            loom.id, one.name, one.branch, one.begins or None, one.from_m, one.to_m, _MARK.join(one.runs),
            _MARK.join(one.openings), _MARK.join(
                leave_and_join(leave)
                for leave in loom.breakouts
                if one.branch == 0 and abs(leave.at_m - one.to_m) < _SAME_M
            ) or None,
            one.diameter_mm, one.loaded_conductors,
            None if set(one.runs) <= cords else clips_along(one.to_m - one.from_m, plan.rules.support_spacing_m),
            one.bends_to_mm, one.corner_room_mm, one.bay_depth_mm,
        )
        for loom in plan.looms
        for one in loom.sections
    )  # fmt: skip
    return Grid(columns, rows)


def _row(plan: Plan, loom: PlanLoom, hub: str) -> Values:
    cords = {run.id for run in plan.runs if is_draw_cord(run)}
    left = [run for run in loom.runs if run in cords]
    clips = clips_of(plan, loom)
    return (
        loom.id, loom.zone, colour_name(loom.colour), len(loom.runs) - len(left), len(left), joined(loom.runs),
        device_names(plan).get(hub, hub) or NOTHING, round(loom.trunk_m, 4),
        round(sum(one.to_m - one.from_m for one in loom.sections), 4),
        loom.diameter_mm, sleeve_mm(loom.diameter_mm, plan.rules.units), clips, None, None,
    )  # fmt: skip
