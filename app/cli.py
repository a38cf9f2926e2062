"""The command line: nothing slow is imported before it is known what is wanted."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from importlib import import_module
from pathlib import Path

from ribway import speech
from ribway.asked_values import count, kg, share, size, step, volts
from ribway.sheets.sticker_grid import Grid, parse_grid, parse_label_grid
from ribway.streams import drop_output, prepare_streams

PRESETS = ("short-high", "medium-high", "long-high")
WALLS = ("left", "right", "roof", "floor", "bulkhead", "rear")

_LONGEST_NAME = 240  # bytes: 255 on most disks, less what a file is called while it is being written
_LONGEST_PATH = 4000  # bytes: 4096 on Linux
_EXIT_CODES = """\
exit codes:
  0    done
  1    this machine cannot do it (cannot draw, disk full), or a defect of ribway
  2    bad input: every fault on a line of its own, nothing written
  3    good input, but no safe plan; plan.json says complete: false
  130  interrupted, nothing written
"""


class _Version(argparse.Action):
    """Prints the version; looked up only when asked for."""

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        from importlib.metadata import version

        print(f"ribway {version('ribway')}")
        parser.exit()


def make_parser() -> argparse.ArgumentParser:
    """The command line's grammar.

    Returns:
        The parser; the name of the command lands in ``command``.
    """
    parser = argparse.ArgumentParser(
        prog="ribway",
        description="Plans the cabling of a converted van before its walls are closed.",
        epilog=_EXIT_CODES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    parser.add_argument("--version", action=_Version, nargs=0, help="print the version and end")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", required=True)

    new = _command(commands, "new", "make a project folder to start from: a project file and an equipment sheet")
    new.add_argument("folder", type=_path, metavar="DIR", help="a new or empty folder")
    new.add_argument("--preset", choices=PRESETS, default="medium-high", help="the shell that comes nearest")
    new.add_argument("--tape", action="store_true", help="with lines to fill in off a tape instead of the preset")
    new.add_argument("--units", choices=("metric", "feet and inches"), default="metric", help="how lengths are printed")
    new.add_argument("--rows", type=_rows, default=40, metavar="N", help="empty rows of the sheet, 40 if not said")

    sheet = _command(commands, "sheet", "write the equipment as a sheet, notes and own columns kept")
    _project(sheet)
    sheet.add_argument("--out", type=_path, metavar="FILE", help=".xlsx or .csv; the project's own sheet if not said")

    plan = _command(commands, "plan", "route, measure and size every cable, and write the papers")
    _project(plan)
    plan.add_argument("--out", type=_path, metavar="DIR", help="folder to write; without it the plan is only shown")
    plan.add_argument("--alternative", default="", metavar="NAME", help="plan this alternative instead of the base")
    plan.add_argument("--no-picture", action="store_true", help="draw no pictures")
    plan.add_argument(
        "--papers-anyway", action="store_true", help="write papers even if the plan is not complete, marked NOT READY"
    )

    plan.add_argument(
        "--stickers", type=_grid, metavar="AxD", help="hole stickers across and down on A4, 3x8 if not said"
    )
    plan.add_argument(
        "--sticker-holes", choices=("used", "all"), default="used", help="stickers for the holes in use, or for all"
    )

    compare = _command(commands, "compare", "plan the base and all alternatives, and set them side by side")
    _project(compare)
    compare.add_argument("--out", type=_path, metavar="DIR", help="folder for the comparison and all the plans")
    compare.add_argument(
        "--sizes", type=count, nargs="+", default=[], metavar="N", help="and the base with N sizes of DC cable at most"
    )
    compare.add_argument(
        "--volts",
        type=volts,
        nargs="+",
        default=[],
        metavar="V",
        help="and the base at these system voltages: 12 24 48",
    )
    compare.add_argument(
        "--others", type=count, default=0, metavar="N", help="and up to N plans of the base that truly differ from it"
    )
    compare.add_argument(
        "--differ", type=count, default=4, metavar="D", help="in so many passages of cables through openings; 4"
    )
    compare.add_argument("--within", type=share, default=5.0, metavar="P%", help="for so much more at most; 5 %%")

    explain = _command(commands, "explain", "show how a run's length and size, or a circuit's fuse, came about")
    _project(explain, "project file, its folder, or a plan.json")
    explain.add_argument("name", metavar="RUN|CIRCUIT", help="id of the run or circuit")
    explain.add_argument("--others", type=count, default=0, metavar="N", help="of a run: N other routes as well")
    explain.add_argument("--alternative", default="", metavar="NAME", help="in this alternative instead of the base")
    explain.add_argument("--rates", type=_path, metavar="FILE", help="the workshop's prices, for what a cable costs")

    place = _command(commands, "place", "where to put a device so that the cables take least copper")
    _project(place)
    place.add_argument("device", nargs="?", metavar="DEVICE", help="id of the device; what is fixed on it goes along")
    place.add_argument(
        "--wall",
        nargs="+",
        choices=(*WALLS[:-1], "all"),
        default=[],
        help="look on these; the device's own if not said",
    )
    place.add_argument(
        "--second", action="store_true", help="where a second board goes that is fed by DEVICE, and what it feeds"
    )
    place.add_argument("--holes", action="store_true", help="which of the holes that may be drilled are worth it")
    place.add_argument("--step", type=step, metavar="LENGTH", help="between places, such as 5 cm; 10 cm")
    place.add_argument("--size", type=size, metavar="WxH", help="room that it takes round its place, in mm")
    place.add_argument("--plans", type=count, default=12, metavar="N", help="plan this many places at most; 12")
    place.add_argument("--alternative", default="", metavar="NAME", help="in this alternative instead of the base")
    place.add_argument("--out", type=_path, metavar="FILE.json", help="write all places with their bounds to this file")

    suppose = _command(commands, "suppose", "what a small change would do to the plan; the project stays as it is")
    _project(suppose)
    suppose.add_argument(
        "--move", action="append", default=[], metavar="DEVICE=PLACE",
        help="such as 'fridge=right, back 2.1 m, up 60 cm'; what is not said stays",
    )  # fmt: skip
    suppose.add_argument("--take-out", action="append", default=[], metavar="DEVICE", help="without this device")
    suppose.add_argument("--block", action="append", default=[], metavar="OPENING", help="with this opening blocked")
    suppose.add_argument(
        "--anew-if-saves", type=kg, metavar="KG", help="plan all routes anew if that saves more copper than this"
    )
    suppose.add_argument("--write", action="store_true", help="write the change into the project file, after a backup")

    view = _command(commands, "view", "look at a plan in 3D, or draw it to a file")
    _project(view, "project file, its folder, or a plan.json; a folder as compare writes it is drawn side by side")
    view.add_argument("--alternative", default="", metavar="NAME", help="this alternative instead of the base")
    view.add_argument("--picture", type=_path, metavar="FILE.png", help="draw to this file instead of opening a window")
    view.add_argument(
        "--wall", nargs="+", choices=WALLS, default=[], help="with --picture: these walls, each straight on"
    )
    view.add_argument(
        "--openings", action="store_true", help="go through the openings, as with a draft, instead of the plan"
    )
    view.add_argument(
        "--loom", nargs="+", default=[], metavar="LOOM", help="with --picture: these looms, each by itself; all for all"
    )
    view.add_argument(
        "--places", type=_path, metavar="FILE.json", help="with --picture: copper by place, as ribway place wrote it"
    )
    view.add_argument(
        "--animation", type=_path, metavar="FILE.gif", help="draw the order of pulling, cable by cable, to this file"
    )

    serve = _command(commands, "serve", "open a project in the browser, and plan it while it is edited")
    _project(serve, "project file, or its folder; a folder that is yet to be made begins a new project")
    serve.add_argument("--port", type=_port, default=8140, metavar="N", help="port to listen on, 8140 if not said")
    serve.add_argument(
        "--host", default="127.0.0.1", metavar="ADDRESS", help="address to listen on; this machine alone if not said"
    )

    page = _command(commands, "page", "write a plan as one HTML file: 3D view, tables, room for notes")
    _project(page, "plan.json, its folder, a folder of plans as compare writes it, or a project")
    page.add_argument("--out", type=_path, metavar="FILE.html", help="the file to write; named by the plan if not said")
    page.add_argument("--openings", action="store_true", help="of the openings to look at, as of a draft")

    papers = _command(commands, "papers", "write the workshop's papers of a plan: PDF, CSV, one workbook")
    _project(papers, "plan.json, its folder, or a project")
    papers.add_argument("--alternative", default="", metavar="NAME", help="of this alternative instead of the base")
    papers.add_argument("--only", default="", metavar="NAME,...", help="these papers alone; a wrong name lists all")
    papers.add_argument("--out", type=_path, metavar="DIR", help="folder to write; named by the plan if not said")
    papers.add_argument("--format", default="", metavar="pdf,csv,xlsx,svg", help="these formats alone")
    papers.add_argument(
        "--labels", type=_label_grid, metavar="AxD[:WxH[:LxT[:GxG]]]",
        help="labels across and down, their width x height, left x top margin and gaps in mm; 3x8 on A4 if not said",
    )  # fmt: skip
    papers.add_argument("--stickers", type=_label_grid, metavar="AxD[:...]", help="hole stickers, likewise")
    papers.add_argument("--sticker-holes", choices=("used", "all"), default="used", help="for the holes in use, or all")
    papers.add_argument("--rates", type=_path, metavar="FILE.yaml", help="the shop's prices and minutes")
    papers.add_argument(
        "--board", choices=("page", "full"), default="page", help="loom boards on a page each, or in full size"
    )

    diff = _command(commands, "diff", "what a later plan does otherwise than an earlier one, run by run")
    diff.add_argument("old", type=Path, metavar="OLD", help="plan.json, its folder, or a project")
    diff.add_argument("new", type=Path, metavar="NEW", help="likewise, the later one")
    diff.add_argument("--out", type=Path, metavar="FILE.csv", help="write the changes of runs to this file as well")

    survey = _command(commands, "survey", "find parts and openings in any mesh of a van, and draft a project of it")
    survey.add_argument(
        "mesh", type=Path, metavar="MESH", help="GLB, OBJ, PLY, STL, 3MF ..., or a corrected survey.yaml"
    )
    survey.add_argument(
        "--out", type=Path, metavar="DIR", help="folder for the draft; without it the survey is only shown"
    )
    survey.add_argument(
        "--picture", type=Path, metavar="FILE.png", help="draw the found openings, numbered, to this file"
    )
    survey.add_argument(
        "--answers", type=Path, metavar="FILE", help="MESH is a draft: put what was ticked on its page into it"
    )

    audit = _command(commands, "audit", "check a saved plan from scratch")
    audit.add_argument("plan", type=_path, metavar="PLAN", help="plan.json or its folder")

    _command(commands, "schema", "print the project file's JSON Schema, for an editor")
    return parser


def _command(
    commands: argparse._SubParsersAction[argparse.ArgumentParser], name: str, what: str
) -> argparse.ArgumentParser:
    return commands.add_parser(name, help=what, description=f"{what[0].upper()}{what[1:]}.", allow_abbrev=False)


def _rows(text: str) -> int:
    """A number of rows; argparse makes a sentence of the error."""
    number = int(text) if text.isdigit() else 0
    if not 1 <= number <= 1000:
        raise argparse.ArgumentTypeError(f"{text} rows make no sense: accepted are 1 to 1000")
    return number


def _port(text: str) -> int:
    """A port's number; argparse makes a sentence of the error."""
    number = int(text) if text.isdigit() else -1
    if not 0 <= number <= 65535:
        raise argparse.ArgumentTypeError(f"{text} is no port: accepted are 0 (any that is free) to 65535")
    return number


def _grid(text: str) -> Grid:
    """A grid of stickers; argparse makes a sentence of the error."""
    try:
        return parse_grid(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(str(error)) from None


def _path(text: str) -> Path:
    """A path that an operating system can take; argparse makes a sentence of the error."""
    if not text or "\0" in text:
        raise argparse.ArgumentTypeError("the name is empty" if not text else "the name holds a null character")
    path = Path(text)
    if len(os.fsencode(text)) > _LONGEST_PATH or any(len(os.fsencode(part)) > _LONGEST_NAME for part in path.parts):
        raise argparse.ArgumentTypeError(f"the name is longer than the {_LONGEST_NAME} bytes that a disk takes")
    return path


def _label_grid(text: str) -> Grid:
    """A grid of labels, sizes and margins with it; argparse makes a sentence of the error."""
    try:
        return parse_label_grid(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(str(error)) from None


def _project(parser: argparse.ArgumentParser, what: str = "project file, or its folder") -> None:
    parser.add_argument("project", type=_path, metavar="PROJECT", help=what)


def main(argv: Sequence[str] | None = None) -> int:
    """Run the command.

    Args:
        argv: the words behind the command's name; those of the process if None.

    Returns:
        The exit code.
    """
    prepare_streams()
    try:
        code = _run(make_parser().parse_args(argv))
        sys.stdout.flush()
    except KeyboardInterrupt:
        speech.say("ribway: interrupted, nothing was written")
        return speech.INTERRUPTED
    except BrokenPipeError:
        drop_output()  # whoever read it has enough of it
        return speech.BROKEN_PIPE
    except OSError as error:
        from ribway.models.disk_words import FAILING, disk_reason

        if error.filename is not None and error.errno not in FAILING:
            speech.say(f"{error.filename}: cannot be used: {disk_reason(error)}")
            return speech.BAD_INPUT
        drop_output()
        speech.say(f"{error.filename or 'standard output'}: cannot be written: {disk_reason(error)}")
        return speech.UNABLE
    return code


def _run(args: argparse.Namespace) -> int:
    """Call the command's own module, and say what it found to be wrong."""
    from ribway.models.disk_words import FAILING
    from ribway.models.project_faults import InputFaults
    from ribway.outputs import OutputRefusedError
    from ribway.viewer.errors import ViewError

    try:
        run: Callable[[argparse.Namespace], int] = import_module(f"ribway.commands.{args.command}").run
        return run(args)
    except InputFaults as error:
        speech.say_all(error.faults)
        return speech.BAD_INPUT
    except OutputRefusedError as error:
        speech.say(error)
        cause = error.__cause__
        return speech.UNABLE if isinstance(cause, OSError) and cause.errno in FAILING else speech.BAD_INPUT
    except (ViewError, speech.DefectError) as error:
        speech.say(error)
        return speech.UNABLE
