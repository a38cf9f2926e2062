"""What a survey raises.

Tree::

    ValueError
    └── ShellError           router/shell/errors.py
        └── SurveyError      a mesh file cannot be surveyed; one sentence says what, and what to do
"""

from __future__ import annotations

from ribway.router.shell.errors import ShellError


class SurveyError(ShellError):
    """A mesh cannot be surveyed; the message says which file, what was found and what to do."""
