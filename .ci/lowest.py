"""Print the oldest releases that pyproject.toml allows, as constraints for pip: `name==bound`, one a line."""

import re
import sys
import tomllib
from pathlib import Path

BOUND = re.compile(r"(?P<name>[A-Za-z0-9._-]+)\s*>=\s*(?P<bound>[0-9][0-9.]*)\s*(?P<marker>;.*)?")


def pinned(requirement: str) -> str:
    """Turn one requirement into the pin of its lower bound.

    Args:
        requirement: As in pyproject.toml, e.g. `numpy>=2.0.0`, with or without a marker.

    Returns:
        The same name and marker with `==`, e.g. `numpy==2.0.0`.

    Raises:
        ValueError: The requirement has no lower bound, or more than that.
    """
    found = BOUND.fullmatch(requirement.strip())
    if found is None:
        raise ValueError(f"pyproject.toml: {requirement!r} is not of the form name>=version, with or without a marker")
    return f"{found['name']}=={found['bound']}{found['marker'] or ''}"


def constraints(pyproject: Path) -> list[str]:
    """Pin every dependency that a user or the tests need.

    Args:
        pyproject: Path of pyproject.toml.

    Returns:
        One pin for each dependency and for each of the test extra.
    """
    project = tomllib.loads(pyproject.read_text(encoding="utf-8"))["project"]
    return [pinned(item) for item in [*project["dependencies"], *project["optional-dependencies"]["test"]]]


if __name__ == "__main__":
    sys.stdout.write("\n".join(constraints(Path(__file__).parents[1] / "pyproject.toml")) + "\n")
