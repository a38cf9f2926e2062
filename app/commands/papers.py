"""``ribway papers``: the workshop's papers of a plan, each as a file of its own, and all lists as one workbook."""

from __future__ import annotations

import argparse
from pathlib import Path

from ribway.commands.page import plain_name
from ribway.kept_numbers import tell_numbers
from ribway.models.rates.rates import Rates
from ribway.models.rates.reading import read_rates
from ribway.models.reading import project_file
from ribway.outputs import OutputRefusedError, check_folder, publish
from ribway.planning import is_saved_plan, plan_of
from ribway.sheets.buying.reels import reel_troubles
from ribway.sheets.catalogue import NoSuchPaperError, all_files, papers_named
from ribway.sheets.paper.wishes import FORMATS, Wishes
from ribway.sheets.sticker_grid import Grid
from ribway.speech import GOOD, NO_SAFE_PLAN, say


def run(args: argparse.Namespace) -> int:
    """Write the papers.

    Args:
        args: ``project``, ``only``, ``out``, ``format``, ``labels``, ``stickers``, ``sticker_holes``, ``rates``,
            ``board``, ``board_paper``, ``alternative``, ``no_numbers``.

    Returns:
        The exit code: no safe plan if the plan is not complete; the papers are written all the same, and say so.
    """
    try:
        papers = papers_named(words_of(args.only))
    except NoSuchPaperError as error:
        raise OutputRefusedError(str(error)) from None
    formats = formats_of(args.format)
    if args.out is not None:
        check_folder(args.out)
    rates = read_rates(args.rates) if args.rates is not None else Rates()
    plan = plan_of(args.project, args.alternative, not args.no_numbers)
    out: Path = args.out if args.out is not None else Path(f"{plain_name(plan.name)}-papers")
    usual = Grid()
    wishes = Wishes(
        args.labels or usual, args.stickers or usual, args.sticker_holes == "all", rates, args.board, args.board_paper
    )
    written: list[str] = []

    def write(folder: Path) -> None:
        for name, data in all_files(plan, wishes, papers, formats):
            (folder / name).write_bytes(data)
            written.append(name)

    publish(out, write)
    print(f"written to {out}: {', '.join(written)}" if written else f"{out}: nothing of these papers has that format")
    if not args.no_numbers and not is_saved_plan(args.project):
        tell_numbers(project_file(args.project), plan, True)
    for trouble in reel_troubles(plan, rates):
        say(f"{args.rates}: {trouble}")
    if plan.complete:
        return GOOD
    say(f"{args.project}: the plan is not complete: each page and each list says NOT READY")
    return NO_SAFE_PLAN


def words_of(text: str) -> tuple[str, ...]:
    """The words between commas."""
    return tuple(word.strip() for word in text.split(",") if word.strip())


def formats_of(text: str) -> tuple[str, ...]:
    """The formats that were asked for; all if none.

    Raises:
        OutputRefusedError: one that there is none of.
    """
    wanted = words_of(text.casefold())
    for one in wanted:
        if one not in FORMATS:
            raise OutputRefusedError(f"<{one}> is no format of papers: accepted are {', '.join(FORMATS)}")
    return wanted or FORMATS
