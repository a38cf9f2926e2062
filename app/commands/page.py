"""``ribway page``: a plan as one HTML file that opens anywhere."""

from __future__ import annotations

import argparse
import os
import re
import tempfile
from pathlib import Path

from ribway.drafts import is_draft, metal_of, read_draft
from ribway.models.disk_words import disk_reason
from ribway.outputs import PRODUCTS, OutputRefusedError
from ribway.report_page import report_page
from ribway.saved_plans import plans_of
from ribway.speech import GOOD, NO_SAFE_PLAN, say
from ribway.viewer.draft.page import ANSWERS_FILE, draft_page_text
from ribway.viewer.report.page import MARK

HEAD_BYTES = 200


def run(args: argparse.Namespace) -> int:
    """Write the page.

    Args:
        args: ``project``, ``out``.

    Returns:
        The exit code: no safe plan if none of those on the page is complete; the page is written and says so.
    """
    target: Path | None = args.out
    if target is not None:
        check_target(target)
    if args.openings or is_draft(args.project):
        return _draft_page(args.project, target)
    plans = plans_of(args.project)
    if target is None:
        target = Path(f"{plain_name(plans[0].name)}.html")
        check_target(target)
    write_whole(target, report_page(plans))
    what = f"{len(plans)} alternatives" if len(plans) > 1 else f"{len(plans[0].runs)} runs"
    print(f"written to {target}: {what}; open it in a browser, on a phone too")
    for plan in plans:
        if not plan.complete:
            say(f"{args.project}: {plan.alternative or 'the base'} is not complete: the page says NOT READY")
    return GOOD if any(plan.complete for plan in plans) else NO_SAFE_PLAN


def _draft_page(project: Path, target: Path | None) -> int:
    """The page on which a draft's openings are gone through."""
    draft = read_draft(project)
    if target is None:
        target = Path(f"{plain_name(draft.name)}-openings.html")
        check_target(target)
    write_whole(target, draft_page_text(draft.name, str(draft.file), metal_of(draft), draft.review))
    count = len(draft.review.holes)
    print(f"written to {target}: {count} openings to look at; tick them in a browser, save the answers, then:")
    print(f"ribway survey --answers {ANSWERS_FILE} {draft.file}")
    return GOOD


def plain_name(name: str) -> str:
    """A file name of letters and digits that every file system takes."""
    return re.sub(r"[^a-z0-9]+", "-", name.casefold()).strip("-")[:60] or "page"


def check_target(target: Path) -> None:
    """Make sure that a page may be written to a file, before anything takes time.

    Args:
        target: the file; it may be missing.

    Raises:
        OutputRefusedError: no .html name, no folder to write into, a folder that a plan's output will replace whole, or
            a file that is no page of ribway.
    """
    if target.suffix.lower() not in (".html", ".htm"):
        raise OutputRefusedError(f"{target}: a page is written as .html: name such a file with --out")
    if not target.absolute().parent.is_dir():
        raise OutputRefusedError(f"{target}: there is no folder {target.parent} to write into")
    if (target.absolute().parent / PRODUCTS).exists():
        raise OutputRefusedError(
            f"{target}: {target.parent} is an output folder that the next plan replaces whole: name a file elsewhere"
        )
    if target.is_dir():
        raise OutputRefusedError(f"{target}: this is a folder: name a file")
    if target.exists():
        with target.open("rb") as file:
            ours = MARK.encode("ascii") in file.read(HEAD_BYTES)
        if not ours:
            raise OutputRefusedError(f"{target}: this is no page of ribway: move it away, or name another file")


def write_whole(target: Path, text: str) -> None:
    """Write a file whole or not at all; an earlier page is replaced.

    Args:
        target: the file.
        text: its contents.

    Raises:
        OutputRefusedError: the disk refuses; an earlier page is as it was.
    """
    folder = target.absolute().parent
    try:
        handle, name = tempfile.mkstemp(dir=folder, prefix=f".{target.name}.")
        try:
            with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
                file.write(text)
            mask = os.umask(0)
            os.umask(mask)
            os.chmod(name, 0o666 & ~mask)
            os.replace(name, target)
        finally:
            Path(name).unlink(missing_ok=True)  # gone already if it has taken the file's place
    except OSError as error:
        raise OutputRefusedError(f"{target}: cannot be written: {disk_reason(error)}") from error
