"""What can go wrong while drawing.

ViewError
├── CannotDraw     this machine has no graphics library that can draw
└── NothingToShow  the plan has no such wall, loom or run
"""

from __future__ import annotations


class ViewError(Exception):
    """Any fault of drawing that a person can do something about."""


class CannotDraw(ViewError):
    """This machine cannot draw; the message says what to install."""


class NothingToShow(ViewError):
    """The plan holds nothing by this name; the message says which names there are."""
