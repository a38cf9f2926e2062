"""The page of one plan or of several alternatives, with the cautions that apply to each."""

from __future__ import annotations

from collections.abc import Sequence

from ribway.models.plan.plan import Plan
from ribway.sheets.cautions import cautions
from ribway.viewer.report.body import Notice
from ribway.viewer.report.page import page_text

PAGE_FILE = "page.html"


def report_page(plans: Sequence[Plan]) -> str:
    """The whole page.

    Args:
        plans: at least one; the page begins with the first.

    Returns:
        HTML in one piece.
    """
    notices = {index: [Notice(one.head, one.text) for one in cautions(plan)] for index, plan in enumerate(plans)}
    return page_text(plans, notices)
