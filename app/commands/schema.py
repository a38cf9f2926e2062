"""``ribway schema``: the project file's JSON Schema on standard output."""

from __future__ import annotations

import argparse
import json

from ribway.models.schema import project_schema
from ribway.speech import GOOD


def run(args: argparse.Namespace) -> int:
    """Print the schema.

    Args:
        args: nothing of it is used.

    Returns:
        The exit code.
    """
    print(json.dumps(project_schema(), indent=2))  # ASCII: right in whatever encoding it is redirected to a file
    return GOOD
