"""A rates file: YAML to `Rates`, all faults at once."""

from __future__ import annotations

from pathlib import Path

from pydantic import ValidationError

from ribway.models.fault_words import problems_of
from ribway.models.key_paths import names_of
from ribway.models.project_faults import Fault, Problem, ProjectFaults
from ribway.models.rates.rates import Rates
from ribway.models.text_file import read_text
from ribway.models.yaml_text import Document, parse_yaml

MOST_BYTES = 2_000_000


def read_rates(path: Path) -> Rates:
    """Read a workshop's prices and minutes.

    Args:
        path: the file.

    Returns:
        The rates.

    Raises:
        ProjectFaults: missing or unreadable file, no YAML, or values that are not accepted, each with its line.
    """
    document = parse_yaml(read_text(path, MOST_BYTES), str(path))
    problems = list(document.problems)
    try:
        rates = Rates.model_validate(document.raw)
    except ValidationError as error:
        problems += problems_of(error, document.raw, document.marks, in_project=False)
    if problems:
        raise ProjectFaults([_fault(problem, document, str(path)) for problem in problems])
    return rates


def _fault(problem: Problem, document: Document, file: str) -> Fault:
    line = document.line_of(problem.path)
    names = " / ".join(names_of(document.raw, problem.path))
    place = ", ".join(part for part in (names, f"line {line}" if line else "") if part)
    return Fault(file, place, problem.found, problem.accepted, problem.message, line)
