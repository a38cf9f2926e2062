"""How tables and lines come to the terminal: plain enough for 80 columns, no colour and a pipe."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from typing import TextIO

from rich import box
from rich.console import Console
from rich.table import Table


class _Console(Console):
    """A console that leaves it to the command what a reader that goes away means."""

    def on_broken_pipe(self) -> None:
        """Let the error go on: rich would end the process with an exit code of its own."""
        raise BrokenPipeError


def make_console(stream: TextIO | None = None, width: int | None = None) -> Console:
    """A console that takes text as it is: names from a project file are never read as markup.

    Args:
        stream: where to; standard output if None.
        width: columns; the terminal's own if None.

    Returns:
        The console.
    """
    return _Console(file=stream or sys.stdout, width=width, markup=False, emoji=False, highlight=False)


def table_of(title: str, columns: Sequence[str], rows: Sequence[Sequence[str]], *, head: bool = True) -> Table:
    """A table with a rule under its head.

    Args:
        title: what it shows.
        columns: headings; one that ends with ``>`` is aligned right.
        rows: cells.
        head: whether the headings are shown.

    Returns:
        The table; long cells are folded, never cut off.
    """
    table = Table(
        title=title,
        title_justify="left",
        title_style="bold",
        box=box.SIMPLE_HEAD,
        pad_edge=False,
        padding=(0, 1, 0, 0),
        show_header=head,
    )
    for heading in columns:
        right = heading.endswith(">")
        table.add_column(heading.rstrip(">"), justify="right" if right else "left", overflow="fold")
    for row in rows:
        table.add_row(*(clean(cell) for cell in row))
    return table


def clean(text: str) -> str:
    """Text without control characters, which could come from a file and would steer the terminal.

    Args:
        text: any text.

    Returns:
        The text with each of them shown as a space.
    """
    return "".join(sign if sign.isprintable() or sign == "\n" else " " for sign in text)
