"""What nobody confirmed, for a spreadsheet: assumptions, holes to check, measurements, leads left out."""

from __future__ import annotations

from ribway.models.plan.plan import Plan
from ribway.sheets.holes_to_check import in_walking_order
from ribway.sheets.measure_next import resting_on
from ribway.sheets.paper.record import Grid

_MARK = "; "


def assumptions_grid(plan: Plan) -> Grid:
    """All assumptions, confirmed or not, in the plan's order."""
    columns = ("whose", "about", "name", "key", "what", "value", "source", "error_m", "confirmed", "really")
    rows = tuple(
        (one.whose, one.about, one.name, one.key, one.what, one.value, one.source, one.error_m, one.confirmed, None)
        for one in plan.assumptions
    )
    return Grid(columns, rows)


def holes_to_check_grid(plan: Plan) -> Grid:
    """Holes in use that nobody measured, in walking order."""
    columns = (
        "order", "hole", "wall", "member", "back_m", "up_m", "left_m", "shape", "bore_wanted_mm", "clear_bore_mm",
        "slot_length_mm", "runs", "bundle_mm", "bore_measured_mm", "in_it_already_mm", "good",
    )  # fmt: skip
    rows = tuple(
        (
            number, one.id, one.wall, one.member, one.back_m, one.up_m, one.centre[1], one.shape, one.raw_bore_mm,
            one.clear_bore_mm, one.slot_length_mm, _MARK.join(one.runs), one.bundle_diameter_mm, None, None, None,
        )
        for number, one in enumerate(in_walking_order(plan), start=1)
    )  # fmt: skip
    return Grid(columns, rows)


def measure_next_grid(plan: Plan) -> Grid:
    """All measurements that lengths rest on, the most worth taking first."""
    columns = ("order", "whose", "about", "what", "error_m", "after_m", "runs_short_fewer_by", "runs", "measured")
    rows = tuple(
        (
            number, one.whose, one.about, one.what, one.error_m, one.after_m, one.gain,
            _MARK.join(resting_on(plan, one.id)), None,
        )
        for number, one in enumerate(plan.measurements, start=1)
    )  # fmt: skip
    return Grid(columns, rows)


def unplanned_grid(plan: Plan) -> Grid:
    """Leads that are not in the plan."""
    return Grid(("about", "name", "lead", "why"), tuple((o.about, o.name, o.lead, o.why) for o in plan.unplanned))
