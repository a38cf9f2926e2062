"""All tables of a plan, in the order of the papers."""

from __future__ import annotations

from ribway.models.plan.plan import Plan
from ribway.sheets.assumed_list import assumed_list, unplanned_list
from ribway.sheets.circuits_list import circuits_list
from ribway.sheets.cut_list import cut_list
from ribway.sheets.findings_list import findings_list
from ribway.sheets.holes_to_check import holes_to_check_list
from ribway.sheets.joints_list import joints_list
from ribway.sheets.looms_list import looms_list
from ribway.sheets.lugs_list import lugs_list
from ribway.sheets.measure_next import may_be_short_list, measure_next_list
from ribway.sheets.openings_list import openings_list
from ribway.sheets.table import Table
from ribway.sheets.totals_list import cable_totals, spares, totals
from ribway.sheets.wire_list import wire_list


def tables(plan: Plan) -> tuple[Table, ...]:
    """Every table that has a row.

    Args:
        plan: the plan.

    Returns:
        The tables, in the order they are needed: what to know, what to prepare, what to cut, what to run, what to
        fuse, what it comes to.
    """
    made = (
        findings_list(plan),
        holes_to_check_list(plan),
        measure_next_list(plan),
        may_be_short_list(plan),
        assumed_list(plan),
        unplanned_list(plan),
        openings_list(plan),
        cut_list(plan),
        lugs_list(plan),
        joints_list(plan),
        wire_list(plan),
        looms_list(plan),
        circuits_list(plan),
        cable_totals(plan),
        spares(plan),
        totals(plan),
    )
    return tuple(table for table in made if table.rows)
