"""The cut list as a paper."""

from __future__ import annotations

from ribway.sheets.csv_tables import cut_list_grid
from ribway.sheets.cut_list import cut_list
from ribway.sheets.paper.paper import Paper

CUT_LIST = Paper(
    "cut-list",
    "Cut list",
    lambda plan, wishes: tuple(table for table in (cut_list(plan, wishes.rates),) if table.rows),
    lambda plan, wishes: {"cut-list": cut_list_grid(plan, wishes.rates)},
)
