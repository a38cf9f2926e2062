"""Papers and pictures of a plan into a folder, step by step, so that somebody who waits is told how far it is."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

from ribway.models.plan.plan import Plan

Tell = Callable[[str, float], None]
"""Is told what is being done, and the share of all steps that is done, from 0 to 1."""
Step = tuple[str, Callable[[], str]]
"""What it does in words, and the doing: it gives back why it could not be done, empty if it was."""


def write_steps(plan: Plan, folder: Path, pictures: bool, tell: Tell) -> str:
    """Write a plan's folder as ``ribway plan --out`` does.

    Args:
        plan: the plan.
        folder: an empty folder.
        pictures: whether pictures are wanted too.
        tell: is told before every step.

    Returns:
        Why there are no pictures; empty if there are, or none were wanted.
    """
    steps = list(_steps(plan, folder, pictures))
    for number, (words, act) in enumerate(steps):
        tell(words, number / len(steps))
        trouble = act()
        if trouble:
            return trouble
    return ""


def _steps(plan: Plan, folder: Path, pictures: bool) -> Iterator[Step]:
    from ribway.models.file_kinds import PLAN_FILE
    from ribway.models.plan_file import save_plan
    from ribway.pictures import walls_in_use

    def write(name: str, text: str) -> str:
        (folder / name).write_text(text, encoding="utf-8", newline="\n")
        return ""

    def papers() -> str:
        from ribway.sheets.catalogue import book_files
        from ribway.sheets.paper.wishes import Wishes

        for name, data in book_files(plan, Wishes()):
            (folder / name).write_bytes(data)
        return ""

    def page() -> str:
        from ribway.report_page import PAGE_FILE, report_page

        return write(PAGE_FILE, report_page([plan]))

    def picture(wall: str) -> Callable[[], str]:
        def draw() -> str:
            from ribway.viewer.errors import CannotDraw
            from ribway.viewer.picture import draw_picture

            try:
                draw_picture(plan, folder / (f"picture-{wall}.png" if wall else "picture.png"), wall=wall or None)
            except CannotDraw as error:
                return str(error)
            return ""

        return draw

    yield "writing the plan", lambda: write(PLAN_FILE, save_plan(plan))
    yield "writing lists and binding the papers", papers
    yield "writing the page for the phone", page
    if pictures:
        for wall in ("", *walls_in_use(plan)):
            yield f"drawing {wall or 'the van'}", picture(wall)
