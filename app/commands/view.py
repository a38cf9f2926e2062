"""``ribway view``: a plan in a window, or drawn to a file."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

from ribway.drafts import Keeper, is_draft, metal_of, read_draft
from ribway.models.disk_words import disk_reason
from ribway.models.plan.plan import Plan
from ribway.planning import plan_of
from ribway.pull_view import shown_steps
from ribway.saved_plans import plans_of
from ribway.speech import BAD_INPUT, GOOD, say

ALL_LOOMS = "all"

Drawing = tuple[Path, Callable[[Path], object]]


def run(args: argparse.Namespace) -> int:
    """Show or draw a plan.

    Args:
        args: ``project``, ``alternative``, ``picture``, ``wall``, ``around``, ``cut``, ``loom``, ``places``, ``animation``.

    Returns:
        The exit code.
    """
    wrong = _what_is_wrong(args)
    if wrong:
        say(f"ribway view: {wrong}")
        return BAD_INPUT
    if args.openings or (args.picture is None and args.animation is None and is_draft(args.project)):
        return _look_through(args)
    if args.picture is None and args.animation is None:
        from ribway.viewer.opening import open_window

        plan = plan_of(args.project, args.alternative)
        open_window(plan, shown_steps(plan))
        return GOOD
    if args.places is not None:
        from ribway.copper_map import copper_map, read_places
        from ribway.viewer.copper_map import draw_copper_map

        field = read_places(args.places)
        plan = plan_of(args.project, args.alternative)
        shown = copper_map(field, plan.rules.units)
        return _drawn([(args.picture, lambda file: draw_copper_map(plan, shown, file))])
    one_plan = args.alternative or args.wall or args.loom
    if args.picture is not None and not one_plan:
        plans = plans_of(args.project)
        if len(plans) > 1:
            return _drawn(_side_by_side(plans, args))
        plan = plans[0]
    else:
        plan = plan_of(args.project, args.alternative)
    return _drawn([*_pictures(plan, args), *_animations(plan, args)])


def _what_is_wrong(args: argparse.Namespace) -> str:
    """What cannot be done with these arguments; empty if all is well."""
    if args.picture is None and args.wall:
        return "--wall goes with --picture: name a file to draw to"
    if args.picture is None and args.loom:
        return "--loom goes with --picture: name a file to draw to"
    if args.picture is None and (args.around or args.cut):
        return "--around and --cut go with --picture: name a file to draw to"
    if args.openings and (args.picture is not None or args.animation is not None):
        return "--openings opens a window: for a picture of found openings there is ribway survey --picture"
    if args.places is not None and (args.picture is None or args.wall or args.loom or args.around or args.cut):
        return "--places is drawn by itself: name a file with --picture, without --wall, --loom, --around and --cut"
    for file, ending, kind in ((args.picture, ".png", "pictures are"), (args.animation, ".gif", "animations are")):
        if file is not None and file.suffix.lower() != ending:
            return f"{file} is no {ending} file: {kind} written as {ending[1:].upper()}"
        if file is not None and not file.absolute().parent.is_dir():
            return f"there is no folder {file.parent} to draw into"
    return ""


def _pictures(plan: Plan, args: argparse.Namespace) -> list[Drawing]:
    """The pictures that are asked for, each with its file and how it is drawn."""
    if args.picture is None:
        return []
    from ribway.viewer.loom_picture import draw_loom
    from ribway.viewer.picture import draw_picture
    from ribway.viewer.views import OVERVIEW, WHOLE_VIEWS

    looms = [loom.id for loom in plan.looms] if ALL_LOOMS in args.loom else list(dict.fromkeys(args.loom))
    walls: list[str] = list(dict.fromkeys(args.wall))
    sides: list[str | None] = list(dict.fromkeys(args.around)) or [None]
    whole = [] if looms or (walls and not args.around) else sides
    files = files_to_draw(args.picture, [*whole, *walls], looms, sides)
    drawings: list[Callable[[Path], object]] = [
        partial(draw_picture, plan, around=WHOLE_VIEWS[one] if one else OVERVIEW, cut=args.cut) for one in whole
    ]
    drawings += [partial(draw_picture, plan, wall=wall, cut=args.cut) for wall in walls]
    drawings += [
        partial(draw_loom, plan, loom, around=WHOLE_VIEWS[side] if side else "", cut=args.cut)
        for loom in looms
        for side in sides
    ]
    return list(zip(files, drawings, strict=True))


def _side_by_side(plans: Sequence[Plan], args: argparse.Namespace) -> list[Drawing]:
    """Alternatives side by side, from each side that is asked for."""
    from ribway.viewer.side_by_side import draw_side_by_side
    from ribway.viewer.views import OVERVIEW, WHOLE_VIEWS

    sides: list[str | None] = list(dict.fromkeys(args.around)) or [None]
    drawings = [
        partial(draw_side_by_side, plans, around=WHOLE_VIEWS[side] if side else OVERVIEW, cut=args.cut)
        for side in sides
    ]
    return list(zip(files_to_draw(args.picture, sides, ()), drawings, strict=True))


def _animations(plan: Plan, args: argparse.Namespace) -> list[Drawing]:
    if args.animation is None:
        return []
    from ribway.viewer.animation import draw_animation

    return [(args.animation, lambda file: draw_animation(plan, shown_steps(plan), file))]


def _drawn(drawings: list[Drawing]) -> int:
    """Draws one after the other; what was drawn is said."""
    for file, draw in drawings:
        try:
            draw(file)
        except OSError as error:
            say(f"{file}: cannot be written: {disk_reason(error)}")
            return BAD_INPUT
        print(f"drawn to {file}")
    return GOOD


def _look_through(args: argparse.Namespace) -> int:
    """The openings of a draft, to be confirmed, moved, renamed or deleted."""
    from ribway.viewer.draft.window import open_draft_window

    draft = read_draft(args.project)
    keeper = Keeper(draft)
    if not open_draft_window(draft.name, metal_of(draft), draft.review, keeper.save):
        say(f"{draft.file}: closed without saving: what was said since is lost")
    return GOOD


def files_to_draw(
    picture: Path, views: Sequence[str | None], looms: Sequence[str], sides: Sequence[str | None] = (None,)
) -> list[Path]:
    """Which file each picture goes to.

    Args:
        picture: the file that was named.
        views: the views asked for: walls, and from where the whole van is seen; None is the usual one.
        looms: the looms asked for.
        sides: from where each loom is seen; None is from where it is seen best.

    Returns:
        The file itself for a single picture; with several, the view's or loom's name goes into the file's.
    """
    parts = [
        *(view or "van" for view in views),
        *(f"loom-{loom}" + (f"-{side}" if side else "") for loom in looms for side in sides),
    ]
    if len(parts) == 1:
        return [picture]
    plain = ["".join(letter if letter.isalnum() or letter in "-_" else "-" for letter in part) for part in parts]
    return [picture.with_name(f"{picture.stem}-{part}{picture.suffix}") for part in plain]
