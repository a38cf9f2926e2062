"""Values of the command line's options: argparse makes a sentence of what is refused."""

from __future__ import annotations

import argparse
import os
import re
from pathlib import Path

from ribway.sheets.sticker_grid import Grid, parse_grid, parse_label_grid

_LONGEST_NAME = 240  # bytes: 255 on most disks, less what a file is called while it is being written
_LONGEST_PATH = 4000  # bytes: 4096 on Linux


def step(text: str) -> float:
    """A distance between places [m]."""
    from ribway.models.lengths import parse_length

    try:
        metres = parse_length(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(str(error)) from None
    if not 0.02 <= metres <= 1.0:
        raise argparse.ArgumentTypeError(f"{text} makes no sense between places: accepted are 2 cm to 1 m")
    return metres


def size(text: str) -> tuple[float, float]:
    """Width and height in mm, as metres."""
    found = re.fullmatch(r"([1-9][0-9]{0,3})x([1-9][0-9]{0,3})", text)
    if found is None:
        raise argparse.ArgumentTypeError(f"{text} is no size: give width x height in mm, such as 300x200")
    return int(found[1]) / 1000.0, int(found[2]) / 1000.0


def count(text: str) -> int:
    """How many of something."""
    number = int(text) if text.isdigit() else 0
    if not 1 <= number <= 10_000:
        raise argparse.ArgumentTypeError(f"{text} makes no sense: accepted are 1 to 10000")
    return number


def share(text: str) -> float:
    """A share [%], with its sign or without."""
    from ribway.models.amounts import parse_percent

    try:
        return parse_percent(text if text.endswith("%") else f"{text} %")
    except ValueError as error:
        raise argparse.ArgumentTypeError(str(error)) from None


def kg(text: str) -> float:
    """A weight of copper [kg]; argparse makes a sentence of the error."""
    found = re.fullmatch(r"([0-9]{1,4}(?:[.,][0-9]{1,4})?) ?(kg|g)?", text)
    if found is None:
        raise argparse.ArgumentTypeError(f"{text} is no weight: give kilograms, such as 0.2, or grams, such as 200g")
    return float(found[1].replace(",", ".")) / (1000.0 if found[2] == "g" else 1.0)


def volts(text: str) -> float:
    """A system voltage [V], with its unit or without."""
    from ribway.models.amounts import parse_volts

    try:
        found = parse_volts(text if text[-1:].isalpha() else f"{text} V")
    except ValueError as error:
        raise argparse.ArgumentTypeError(str(error)) from None
    if not 6.0 <= found <= 60.0:
        raise argparse.ArgumentTypeError(f"{text} makes no sense as a van's DC voltage: accepted are 6 V to 60 V")
    return found


def rows(text: str) -> int:
    """A number of rows; argparse makes a sentence of the error."""
    number = int(text) if text.isdigit() else 0
    if not 1 <= number <= 1000:
        raise argparse.ArgumentTypeError(f"{text} rows make no sense: accepted are 1 to 1000")
    return number


def port(text: str) -> int:
    """A port's number; argparse makes a sentence of the error."""
    number = int(text) if text.isdigit() else -1
    if not 0 <= number <= 65535:
        raise argparse.ArgumentTypeError(f"{text} is no port: accepted are 0 (any that is free) to 65535")
    return number


def grid(text: str) -> Grid:
    """A grid of stickers; argparse makes a sentence of the error."""
    try:
        return parse_grid(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(str(error)) from None


def path(text: str) -> Path:
    """A path that an operating system can take; argparse makes a sentence of the error."""
    if not text or "\0" in text:
        raise argparse.ArgumentTypeError("the name is empty" if not text else "the name holds a null character")
    named = Path(text)
    if len(os.fsencode(text)) > _LONGEST_PATH or any(len(os.fsencode(part)) > _LONGEST_NAME for part in named.parts):
        raise argparse.ArgumentTypeError(f"the name is longer than the {_LONGEST_NAME} bytes that a disk takes")
    return named


def label_grid(text: str) -> Grid:
    """A grid of labels, sizes and margins with it; argparse makes a sentence of the error."""
    try:
        return parse_label_grid(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(str(error)) from None
