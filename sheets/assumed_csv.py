"""What nobody confirmed, for a spreadsheet: assumptions, holes to check, measurements, leads left out."""

from __future__ import annotations

from collections.abc import Callable

from ribway.models.plan.plan import Plan
from ribway.sheets.csv_file import csv_text, plan_marks
from ribway.sheets.holes_to_check import in_walking_order
from ribway.sheets.measure_next import resting_on

_MARK = "; "


def assumptions_csv(plan: Plan) -> str:
    """All assumptions, confirmed or not, in the plan's order."""
    columns = ("whose", "about", "name", "key", "what", "value", "source", "error_m", "confirmed", "really")
    rows = [
        [one.whose, one.about, one.name, one.key, one.what, one.value, one.source, one.error_m, one.confirmed, None]
        for one in plan.assumptions
    ]
    return _file(plan, columns, rows)


def holes_to_check_csv(plan: Plan) -> str:
    """Holes in use that nobody measured, in walking order."""
    columns = (
        "order", "hole", "wall", "member", "back_m", "up_m", "left_m", "shape", "bore_wanted_mm", "clear_bore_mm",
        "slot_length_mm", "runs", "bundle_mm", "bore_measured_mm", "in_it_already_mm", "good",
    )  # fmt: skip
    rows = [
        [
            number, one.id, one.wall, one.member, one.back_m, one.up_m, one.centre[1], one.shape, one.raw_bore_mm,
            one.clear_bore_mm, one.slot_length_mm, _MARK.join(one.runs), one.bundle_diameter_mm, None, None, None,
        ]
        for number, one in enumerate(in_walking_order(plan), start=1)
    ]  # fmt: skip
    return _file(plan, columns, rows)


def measure_next_csv(plan: Plan) -> str:
    """All measurements that lengths rest on, the most worth taking first."""
    columns = ("order", "whose", "about", "what", "error_m", "after_m", "runs_short_fewer_by", "runs", "measured")
    rows = [
        [
            number, one.whose, one.about, one.what, one.error_m, one.after_m, one.gain,
            _MARK.join(resting_on(plan, one.id)), None,
        ]
        for number, one in enumerate(plan.measurements, start=1)
    ]  # fmt: skip
    return _file(plan, columns, rows)


def unplanned_csv(plan: Plan) -> str:
    """Leads that are not in the plan."""
    return _file(plan, ("about", "name", "lead", "why"), [[o.about, o.name, o.lead, o.why] for o in plan.unplanned])


ASSUMED_CSV_FILES: dict[str, Callable[[Plan], str]] = {
    "assumptions.csv": assumptions_csv,
    "holes-to-check.csv": holes_to_check_csv,
    "measure-next.csv": measure_next_csv,
    "not-planned.csv": unplanned_csv,
}


def _file(plan: Plan, columns: tuple[str, ...], rows: list[list[str | float | int | bool | None]]) -> str:
    marks = plan_marks(plan)
    return csv_text((*columns, *marks), [[*row, *marks.values()] for row in rows])
