"""``ribway new``: a project folder to start from."""

from __future__ import annotations

import argparse
import os
import shutil
import tempfile
from pathlib import Path

from ribway.models.catalogue.loading import load_catalogue
from ribway.models.disk_words import disk_reason
from ribway.models.equipment.table import csv_bytes, fresh_grid
from ribway.models.equipment.workbook import workbook_bytes
from ribway.models.file_kinds import PROJECT_FILE
from ribway.models.tape import LINES
from ribway.outputs import OutputRefusedError
from ribway.speech import GOOD

METRIC = "metric"
FEET = "feet and inches"

_PROJECT = """\
# A project of ribway. Fill in equipment.xlsx (or equipment.csv), then:  ribway plan .
# and for the papers:  ribway plan . --out papers
# Every quantity carries its unit, and every place is said as the tape says it.

ribway: 1                      # version of this file's format
name: {name}
revision: A

{vehicle}
shop:
  units: {units}
{shop}
# One row for each thing with a wire: name, kind and place are enough.
equipment: equipment.xlsx      # or equipment.csv

# What you write here goes before the sheet, thing by thing: same id, only what is different.
# devices:
#   - {{id: fridge, amps: 4.2 A, confirmed: true}}
# circuits:
#   - {{id: fridge, fuse: 15 A}}
"""
_PRESET = """\
vehicle:
  preset: {preset}          # short-high, medium-high or long-high: the one that comes nearest
  # What you have measured takes the place of the preset's value; all else is assumed, and the papers say so.
  # parameters:
  #   length: {length}           # from the datum to the rear sill
  #   waist_width: {waist}
  #   roof_edge_height: {edge}
  datum:
    name: front edge of the cargo floor   # where the hook of the tape goes
"""
_TAPE = """\
vehicle:
  tape:                        # fill in what the tape says; the hook goes to the front edge of the cargo floor
{lines}
    # holes:                   # what you know of the holes; typical rows are assumed where nothing is said
    #   - {hole}
"""
_TAPE_FORMS = {
    "ribs_left": "{ribs}",
    "ribs_right": "{ribs}",
    "side_door": "{{side: right, front: {length}, rear: {length}}}",
    "wheel_arch": "{{front: {length}, length: {length}, height: {length}}}",
    "rib": "{{depth: {small}, face_width: {small}}}",
}
_TAPE_EXAMPLES = {
    METRIC: {"length": "1.20 m", "small": "55 mm", "ribs": "0.42 0.88 1.36 m", "hole": "L2-L7: 25 mm at 420 mm"},
    FEET: {"length": "47.2 in", "small": "2.2 in", "ribs": "16.5 34.6 53.5 in", "hole": "L2-L7: 1 in at 16 in"},
}
_LENGTHS = {
    METRIC: {"length": "3.72 m", "waist": "1.83 m", "edge": "1.63 m", "shop": ""},
    FEET: {"length": '"12\' 2 1/2\\""', "waist": "72 in", "edge": "64.2 in", "shop": "  stock: awg\n"},
}
_PLACEHOLDERS = {
    METRIC: ("left 0.6 m back 0.3 m up", "left 0.7 m back 0.8 m up", "rear left high"),
    FEET: ("left 2' back 1' up", "left 28 in back 32 in up", "rear left high"),
}


def run(args: argparse.Namespace) -> int:
    """Make the folder.

    Args:
        args: ``folder``, ``preset``, ``tape``, ``units``, ``rows``.

    Returns:
        The exit code.
    """
    folder: Path = args.folder
    check_empty(folder)
    try:
        _publish(folder, files_of(folder.absolute().name, args.preset, args.units, args.rows, args.tape))
    except OSError as error:
        raise OutputRefusedError(f"{folder}: cannot be made: {disk_reason(error)}") from error
    first = "the tape's lines in project.yaml and " if args.tape else ""
    print(f"made {folder}: fill in {first}equipment.xlsx, then run: ribway plan {folder}")
    print(f"and for the papers: ribway plan {folder} --out {folder}-papers")
    return GOOD


def check_empty(folder: Path) -> None:
    """Make sure that a new project harms nothing.

    Args:
        folder: where it is to be.

    Raises:
        OutputRefusedError: there is a file of that name, or a folder with something in it.
    """
    if folder.is_symlink() or (folder.exists() and not folder.is_dir()):
        raise OutputRefusedError(f"{folder}: this is no folder: give the name of a new or empty one")
    try:
        there = sorted(item.name for item in folder.iterdir()) if folder.exists() else []
    except OSError as error:
        raise OutputRefusedError(f"{folder}: cannot be read: {disk_reason(error)}") from error
    if there:
        more = f" and {len(there) - 3} more" if len(there) > 3 else ""
        shown = ", ".join(there[:3])
        raise OutputRefusedError(
            f"{folder}: the folder holds {shown}{more}: give a new or empty one, nothing was written"
        )


def files_of(name: str, preset: str, units: str, rows: int, tape: bool = False) -> dict[str, bytes]:
    """The files of a new project.

    Args:
        name: of the project.
        preset: of its shell.
        units: metric, or feet and inches.
        rows: empty rows that the workbook has lists for.
        tape: whether the shell is to be filled in line by line off a tape, instead of the preset.

    Returns:
        Contents by file name.
    """
    quoted = '"' + "".join(sign if sign.isprintable() and sign not in '"\\' else " " for sign in name) + '"'
    vehicle = _tape(units) if tape else _PRESET.format(preset=preset, **_LENGTHS[units])
    text = _PROJECT.format(name=quoted, units=units, vehicle=vehicle, shop=_LENGTHS[units]["shop"])
    battery, board, lamp = _PLACEHOLDERS[units]
    grid = fresh_grid(
        [
            {"name": "# House battery", "kind": "house battery", "place": battery, "notes": "rows with # are ignored"},
            {"name": "# Fuse board", "kind": "fuse board", "place": board},
            {
                "name": "# Reading light",
                "kind": "reading light",
                "place": lamp,
                "notes": "a rough place will do at first",
            },
        ]
    )
    return {
        PROJECT_FILE: text.encode("utf-8"),
        "equipment.xlsx": workbook_bytes(grid, load_catalogue(), spare_rows=rows),
        "equipment.csv": csv_bytes(grid),
    }


def _tape(units: str) -> str:
    """The lines of the tape, empty, each below what it is and how it is written: behind it nothing is in the way."""
    examples = _TAPE_EXAMPLES[units]
    lines = []
    for key, what in LINES.items():
        form = _TAPE_FORMS.get(key, "{length}").format(**examples)
        lines.append(f"    # {what.split(':')[0]}; such as {form}\n    {key}:")
    return _TAPE.format(lines="\n".join(lines), hole=examples["hole"])


def _publish(folder: Path, files: dict[str, bytes]) -> None:
    """Make the folder whole or not at all."""
    folder = folder.absolute()
    folder.parent.mkdir(parents=True, exist_ok=True)
    fresh = Path(tempfile.mkdtemp(dir=folder.parent, prefix=f".{folder.name}."))
    try:
        for name, data in files.items():
            (fresh / name).write_bytes(data)
        mask = os.umask(0)
        os.umask(mask)
        fresh.chmod(0o777 & ~mask)
        if folder.exists():
            folder.rmdir()
        fresh.rename(folder)
    finally:
        shutil.rmtree(fresh, ignore_errors=True)
