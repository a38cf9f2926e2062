"""The labels as a paper."""

from __future__ import annotations

from ribway.models.plan.plan import Plan
from ribway.sheets.labels.ends import labels_record
from ribway.sheets.paper.paper import Files, Paper
from ribway.sheets.paper.wishes import Wishes


def _files(plan: Plan, wishes: Wishes) -> Files:
    from ribway.sheets.labels.sheet import labels_pdf

    return {"labels.pdf": labels_pdf(plan, wishes.labels, wishes.rates)}


LABELS = Paper(
    "labels",
    "Labels",
    grids=lambda plan, wishes: {"labels": labels_record(plan, wishes.rates).grid()},
    files=_files,
    in_book=False,
)
