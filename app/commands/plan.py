"""``ribway plan``: route, measure and size every cable; show the plan, and write it with its papers and pictures."""

from __future__ import annotations

import argparse
from pathlib import Path

from ribway.console import make_console
from ribway.kept_numbers import tell_numbers
from ribway.models.file_kinds import PLAN_FILE
from ribway.models.plan.plan import Plan
from ribway.models.plan_file import save_plan
from ribway.models.reading import project_file
from ribway.models.told import PAGE, PAPERS, PICTURES, Told, untold
from ribway.outputs import check_folder, publish
from ribway.planning import new_plan
from ribway.sheets.sticker_grid import Grid
from ribway.speech import GOOD, NO_SAFE_PLAN, say
from ribway.summary import print_summary
from ribway.waiting_line import waiting_line


def run(args: argparse.Namespace) -> int:
    """Plan a project.

    Args:
        args: ``project``, ``out``, ``alternative``, ``no_picture``, ``no_numbers``, ``papers_anyway``, ``stickers``,
            ``sticker_holes``.

    Returns:
        The exit code.
    """
    if args.out is not None:
        check_folder(args.out)
    plan = new_plan(args.project, args.alternative, not args.no_numbers)
    if args.out is not None:
        everything = plan.complete or args.papers_anyway
        every = args.sticker_holes == "all"
        trouble: list[str] = []
        with waiting_line("writing", (PAPERS, PAGE, PICTURES)) as told:
            draw = not args.no_picture
            publish(
                args.out,
                lambda folder: trouble.append(write_plan(plan, folder, everything, draw, args.stickers, every, told)),
            )
        if any(trouble):
            say(f"no pictures: {''.join(trouble)}")
    print_summary(plan, make_console())
    if args.out is not None:
        print(f"written to {args.out}")
    if not args.no_numbers:
        tell_numbers(project_file(args.project), plan, args.out is not None)
    if args.out is not None and (plan.complete or args.papers_anyway):
        print(f"each paper by itself, labels of your own size, prices, one workbook: ribway papers {args.out}")
    if plan.complete:
        return GOOD
    if args.out is not None and not args.papers_anyway:
        say(f"{args.out}: no papers, since the plan is not complete; --papers-anyway writes them, marked NOT READY")
    return NO_SAFE_PLAN


def write_plan(
    plan: Plan,
    folder: Path,
    papers: bool,
    pictures: bool,
    stickers: Grid | None = None,
    every_hole: bool = False,
    told: Told = untold,
) -> str:
    """Write a plan's output folder.

    Args:
        plan: the plan.
        folder: an empty folder.
        papers: whether papers, page and pictures are wanted beside ``plan.json``.
        pictures: whether pictures are.
        stickers: hole stickers on a sheet; the usual 3 by 8 if None.
        every_hole: stickers for all holes, not for those in use alone.
        told: how far it is.

    Returns:
        Why there are no pictures; empty if there are, or none were wanted.
    """
    (folder / PLAN_FILE).write_text(save_plan(plan), encoding="utf-8", newline="\n")
    if not papers:
        return ""
    told(PAPERS, 0, 1)
    from ribway.sheets.catalogue import book_files
    from ribway.sheets.paper.wishes import Wishes

    for name, data in book_files(plan, Wishes(stickers=stickers or Grid(), every_hole=every_hole)):
        (folder / name).write_bytes(data)
    told(PAGE, 0, 1)
    from ribway.report_page import PAGE_FILE, report_page

    (folder / PAGE_FILE).write_text(report_page([plan]), encoding="utf-8", newline="\n")
    if not pictures:
        return ""
    from ribway.pictures import draw_all

    told(PICTURES, 0, 1)  # drawing takes a while to load
    return draw_all(plan, folder, told)
