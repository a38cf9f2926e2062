"""``ribway view``: a plan in a window, or drawn to a file."""

from __future__ import annotations

import argparse
from pathlib import Path

from ribway.drafts import Keeper, is_draft, metal_of, read_draft
from ribway.models.disk_words import disk_reason
from ribway.planning import plan_of
from ribway.pull_view import shown_steps
from ribway.speech import BAD_INPUT, GOOD, say


def run(args: argparse.Namespace) -> int:
    """Show or draw a plan.

    Args:
        args: ``project``, ``alternative``, ``picture``, ``wall``.

    Returns:
        The exit code.
    """
    if args.picture is None and args.wall:
        say("ribway view: --wall goes with --picture: name a file to draw to")
        return BAD_INPUT
    if args.picture is not None and args.picture.suffix.lower() != ".png":
        say(f"ribway view: {args.picture} is no .png file: pictures are written as PNG")
        return BAD_INPUT
    if args.picture is not None and not args.picture.absolute().parent.is_dir():
        say(f"ribway view: there is no folder {args.picture.parent} to draw into")
        return BAD_INPUT
    if args.openings or (args.picture is None and is_draft(args.project)):
        return _look_through(args)
    plan = plan_of(args.project, args.alternative)
    if args.picture is None:
        from ribway.viewer.opening import open_window

        open_window(plan, shown_steps(plan))
        return GOOD
    from ribway.viewer.picture import draw_picture

    for wall, file in files_to_draw(args.picture, args.wall):
        try:
            draw_picture(plan, file, wall=wall)
        except OSError as error:
            say(f"{file}: cannot be written: {disk_reason(error)}")
            return BAD_INPUT
        print(f"drawn to {file}")
    return GOOD


def _look_through(args: argparse.Namespace) -> int:
    """The openings of a draft, to be confirmed, moved, renamed or deleted."""
    if args.picture is not None:
        say("ribway view: --openings opens a window: for a picture of found openings there is ribway survey --picture")
        return BAD_INPUT
    from ribway.viewer.draft.window import open_draft_window

    draft = read_draft(args.project)
    keeper = Keeper(draft)
    if not open_draft_window(draft.name, metal_of(draft), draft.review, keeper.save):
        say(f"{draft.file}: closed without saving: what was said since is lost")
    return GOOD


def files_to_draw(picture: Path, walls: list[str]) -> list[tuple[str | None, Path]]:
    """Which wall goes to which file.

    Args:
        picture: the file that was named.
        walls: the walls asked for; none means the whole van.

    Returns:
        Wall and file; with several walls, the wall's name goes into the file's.
    """
    if not walls:
        return [(None, picture)]
    if len(walls) == 1:
        return [(walls[0], picture)]
    return [(wall, picture.with_name(f"{picture.stem}-{wall}{picture.suffix}")) for wall in dict.fromkeys(walls)]
