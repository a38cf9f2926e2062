"""The command line's grammar: every command with what may be said to it."""

from __future__ import annotations

import argparse
from typing import TypeAlias

from ribway.asked_values import count, grid, kg, label_grid, path, port, rows, share, size, step, volts

PRESETS = ("short-high", "medium-high", "long-high")
WALLS = ("left", "right", "roof", "floor", "bulkhead", "rear")
PAPERS = ("a4", "letter", "a3", "a2", "a1", "a0")
AROUND = ("rear-left", "rear-right", "above")

_Commands: TypeAlias = "argparse._SubParsersAction[argparse.ArgumentParser]"

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

    for add in (
        _new, _sheet, _plan, _compare, _explain, _place, _suppose, _view,
        _serve, _page, _papers, _diff, _survey, _audit, _schema,
    ):  # fmt: skip
        add(commands)
    return parser


def _new(commands: _Commands) -> None:
    parser = _command(commands, "new", "make a project folder to start from: a project file and an equipment sheet")
    parser.add_argument("folder", type=path, metavar="DIR", help="a new or empty folder")
    parser.add_argument("--preset", choices=PRESETS, default="medium-high", help="the shell that comes nearest")
    parser.add_argument("--tape", action="store_true", help="with lines to fill in off a tape instead of the preset")
    parser.add_argument(
        "--units", choices=("metric", "feet and inches"), default="metric", help="how lengths are printed"
    )
    parser.add_argument("--rows", type=rows, default=40, metavar="N", help="empty rows of the sheet, 40 if not said")


def _sheet(commands: _Commands) -> None:
    parser = _command(commands, "sheet", "write the equipment as a sheet, notes and own columns kept")
    _project(parser)
    parser.add_argument("--out", type=path, metavar="FILE", help=".xlsx or .csv; the project's own sheet if not said")


def _plan(commands: _Commands) -> None:
    parser = _command(commands, "plan", "route, measure and size every cable, and write the papers")
    _project(parser)
    parser.add_argument("--out", type=path, metavar="DIR", help="folder to write; without it the plan is only shown")
    parser.add_argument("--alternative", default="", metavar="NAME", help="plan this alternative instead of the base")
    parser.add_argument("--no-picture", action="store_true", help="draw no pictures")
    _no_numbers(parser)
    parser.add_argument(
        "--papers-anyway", action="store_true", help="write papers even if the plan is not complete, marked NOT READY"
    )
    parser.add_argument(
        "--stickers", type=grid, metavar="AxD", help="hole stickers across and down on A4, 3x8 if not said"
    )
    parser.add_argument(
        "--sticker-holes", choices=("used", "all"), default="used", help="stickers for the holes in use, or for all"
    )


def _compare(commands: _Commands) -> None:
    parser = _command(commands, "compare", "plan the base and all alternatives, and set them side by side")
    _project(parser)
    parser.add_argument("--out", type=path, metavar="DIR", help="folder for the comparison and all the plans")
    parser.add_argument("--runs", action="store_true", help="all that each run does otherwise, run by run")
    parser.add_argument(
        "--sizes", type=count, nargs="+", default=[], metavar="N", help="and the base with N sizes of DC cable at most"
    )
    parser.add_argument(
        "--volts",
        type=volts,
        nargs="+",
        default=[],
        metavar="V",
        help="and the base at these system voltages: 12 24 48",
    )
    parser.add_argument(
        "--others", type=count, default=0, metavar="N", help="and up to N plans of the base that truly differ from it"
    )
    parser.add_argument(
        "--differ", type=count, default=4, metavar="D", help="in so many passages of cables through openings; 4"
    )
    parser.add_argument("--within", type=share, default=5.0, metavar="P%", help="for so much more at most; 5 %%")


def _explain(commands: _Commands) -> None:
    parser = _command(commands, "explain", "show how a run's length and size, or a circuit's fuse, came about")
    _project(parser, "project file, its folder, or a plan.json")
    parser.add_argument("name", metavar="RUN|CIRCUIT", help="id of the run or circuit")
    parser.add_argument("--others", type=count, default=0, metavar="N", help="of a run: N other routes as well")
    parser.add_argument("--alternative", default="", metavar="NAME", help="in this alternative instead of the base")
    parser.add_argument("--rates", type=path, metavar="FILE", help="the workshop's prices, for what a cable costs")


def _place(commands: _Commands) -> None:
    parser = _command(commands, "place", "where to put a device so that the cables take least copper")
    _project(parser)
    parser.add_argument("device", nargs="?", metavar="DEVICE", help="id of the device; what is fixed on it goes along")
    parser.add_argument(
        "--wall",
        nargs="+",
        choices=(*WALLS[:-1], "all"),
        default=[],
        help="look on these; the device's own if not said",
    )
    parser.add_argument(
        "--second", action="store_true", help="where a second board goes that is fed by DEVICE, and what it feeds"
    )
    parser.add_argument("--third", action="store_true", help="the same for two further boards")
    parser.add_argument("--holes", action="store_true", help="which of the holes that may be drilled are worth it")
    parser.add_argument("--step", type=step, metavar="LENGTH", help="between places, such as 5 cm; 10 cm")
    parser.add_argument("--size", type=size, metavar="WxH", help="room that it takes round its place, in mm")
    parser.add_argument("--plans", type=count, default=12, metavar="N", help="plan this many places at most; 12")
    parser.add_argument("--alternative", default="", metavar="NAME", help="in this alternative instead of the base")
    parser.add_argument("--out", type=path, metavar="FILE.json", help="write all places with their bounds to this file")


def _suppose(commands: _Commands) -> None:
    parser = _command(commands, "suppose", "what a small change would do to the plan; the project stays as it is")
    _project(parser)
    parser.add_argument(
        "--move", action="append", default=[], metavar="DEVICE=PLACE",
        help="such as 'fridge=right, back 2.1 m, up 60 cm'; what is not said stays",
    )  # fmt: skip
    parser.add_argument("--take-out", action="append", default=[], metavar="DEVICE", help="without this device")
    parser.add_argument("--block", action="append", default=[], metavar="OPENING", help="with this opening blocked")
    parser.add_argument(
        "--anew-if-saves", type=kg, metavar="KG", help="plan all routes anew if that saves more copper than this"
    )
    parser.add_argument("--write", action="store_true", help="write the change into the project file, after a backup")


def _view(commands: _Commands) -> None:
    parser = _command(commands, "view", "look at a plan in 3D, or draw it to a file")
    _project(parser, "project file, its folder, or a plan.json; a folder as compare writes it is drawn side by side")
    parser.add_argument("--alternative", default="", metavar="NAME", help="this alternative instead of the base")
    parser.add_argument(
        "--picture", type=path, metavar="FILE.png", help="draw to this file instead of opening a window"
    )
    parser.add_argument(
        "--wall", nargs="+", choices=WALLS, default=[], help="with --picture: these walls, each straight on"
    )
    parser.add_argument(
        "--around",
        nargs="+",
        choices=AROUND,
        default=[],
        help="with --picture: the whole van, or each --loom, seen from these sides",
    )
    parser.add_argument(
        "--cut", nargs="+", choices=WALLS, default=[], help="with --picture: the metal of these walls cut away"
    )
    parser.add_argument(
        "--openings", action="store_true", help="go through the openings, as with a draft, instead of the plan"
    )
    parser.add_argument(
        "--loom", nargs="+", default=[], metavar="LOOM", help="with --picture: these looms, each by itself; all for all"
    )
    parser.add_argument(
        "--places", type=path, metavar="FILE.json", help="with --picture: copper by place, as ribway place wrote it"
    )
    parser.add_argument(
        "--animation", type=path, metavar="FILE.gif", help="draw the order of pulling, cable by cable, to this file"
    )


def _serve(commands: _Commands) -> None:
    parser = _command(commands, "serve", "open a project in the browser, and plan it while it is edited")
    _project(parser, "project file, or its folder; a folder that is yet to be made begins a new project")
    parser.add_argument("--port", type=port, default=8140, metavar="N", help="port to listen on, 8140 if not said")
    parser.add_argument(
        "--host", default="127.0.0.1", metavar="ADDRESS", help="address to listen on; this machine alone if not said"
    )


def _page(commands: _Commands) -> None:
    parser = _command(commands, "page", "write a plan as one HTML file: 3D view, tables, room for notes")
    _project(parser, "plan.json, its folder, a folder of plans as compare writes it, or a project")
    parser.add_argument(
        "--out", type=path, metavar="FILE.html", help="the file to write; named by the plan if not said"
    )
    parser.add_argument("--openings", action="store_true", help="of the openings to look at, as of a draft")


def _papers(commands: _Commands) -> None:
    parser = _command(commands, "papers", "write the workshop's papers of a plan: PDF, CSV, one workbook")
    _project(parser, "plan.json, its folder, or a project")
    parser.add_argument("--alternative", default="", metavar="NAME", help="of this alternative instead of the base")
    parser.add_argument("--only", default="", metavar="NAME,...", help="these papers alone; a wrong name lists all")
    parser.add_argument("--out", type=path, metavar="DIR", help="folder to write; named by the plan if not said")
    parser.add_argument("--format", default="", metavar="pdf,csv,xlsx,svg", help="these formats alone")
    parser.add_argument(
        "--labels", type=label_grid, metavar="AxD[:WxH[:LxT[:GxG]]]",
        help="labels across and down, their width x height, left x top margin and gaps in mm; 3x8 on A4 if not said",
    )  # fmt: skip
    parser.add_argument("--stickers", type=label_grid, metavar="AxD[:...]", help="hole stickers, likewise")
    parser.add_argument("--sticker-holes", choices=("used", "all"), default="used", help="for the holes in use, or all")
    parser.add_argument("--rates", type=path, metavar="FILE.yaml", help="the shop's prices and minutes")
    parser.add_argument(
        "--board",
        choices=("page", "full", "gaps"),
        default="page",
        help="loom boards on a page each, in full size, or in full size without sheets that straight bundles alone pass",
    )
    parser.add_argument(
        "--board-paper",
        choices=PAPERS,
        default="a4",
        help="paper of boards in full size: the bigger, the fewer to join",
    )
    _no_numbers(parser)


def _diff(commands: _Commands) -> None:
    parser = _command(commands, "diff", "what a later plan does otherwise than an earlier one, run by run")
    parser.add_argument("old", type=path, metavar="OLD", help="plan.json, its folder, or a project")
    parser.add_argument("new", type=path, metavar="NEW", help="likewise, the later one")
    parser.add_argument("--out", type=path, metavar="FILE.csv", help="write the changes of runs to this file as well")


def _survey(commands: _Commands) -> None:
    parser = _command(commands, "survey", "find parts and openings in any mesh of a van, and draft a project of it")
    parser.add_argument(
        "mesh", type=path, metavar="MESH", help="GLB, OBJ, PLY, STL, 3MF ..., or a corrected survey.yaml"
    )
    parser.add_argument(
        "--out", type=path, metavar="DIR", help="folder for the draft; without it the survey is only shown"
    )
    parser.add_argument(
        "--picture", type=path, metavar="FILE.png", help="draw the found openings, numbered, to this file"
    )
    parser.add_argument(
        "--answers", type=path, metavar="FILE", help="MESH is a draft: put what was ticked on its page into it"
    )


def _audit(commands: _Commands) -> None:
    parser = _command(commands, "audit", "check a saved plan from scratch")
    parser.add_argument("plan", type=path, metavar="PLAN", help="plan.json or its folder")


def _schema(commands: _Commands) -> None:
    _command(commands, "schema", "print the project file's JSON Schema, for an editor")


def _command(commands: _Commands, name: str, what: str) -> argparse.ArgumentParser:
    return commands.add_parser(name, help=what, description=f"{what[0].upper()}{what[1:]}.", allow_abbrev=False)


def _no_numbers(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--no-numbers",
        action="store_true",
        help="neither read nor write the register of run numbers beside the project",
    )


def _project(parser: argparse.ArgumentParser, what: str = "project file, or its folder") -> None:
    parser.add_argument("project", type=path, metavar="PROJECT", help=what)
