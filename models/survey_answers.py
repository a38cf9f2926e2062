"""survey.yaml: what was found out about a mesh, for a person to correct; a survey starts from it again."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, ValidationError

from ribway.models.base import Data
from ribway.models.fault_words import problems_of
from ribway.models.fields import Length
from ribway.models.project_faults import ProjectFaults, whole_file
from ribway.models.text_file import read_text
from ribway.models.yaml_text import parse_yaml

SURVEY_FILE = "survey.yaml"
MOST_BYTES = 1_000_000

SignedAxis = Literal["x", "y", "z", "-x", "-y", "-z"]
Side = Literal["front", "rear", "left", "right", "floor", "roof"]
FilePoint = tuple[float, float, float]


def _as_text(value: object) -> object:
    """A number of a file's own units is given as such; text is let through to be refused."""
    return tuple(float(one) for one in value) if isinstance(value, list) and len(value) == 3 else value


End = Annotated[Side | FilePoint, BeforeValidator(_as_text)]


class TapeDistance(Data):
    """One distance taped on the van: between two of its sides, or two points by the mesh file's own numbers."""

    between: tuple[End, End]
    distance: Length = Field(alias="is")


class SurveyAnswers(Data):
    """What a person says about a mesh file; what is left out is found out."""

    mesh: str | None = None
    unit: Literal["m", "cm", "mm", "in", "ft"] | None = None
    up: SignedAxis | None = None
    forward: SignedAxis | None = None
    straighten: bool = True
    tape: tuple[TapeDistance, ...] = ()
    not_openings: tuple[str, ...] = Field(default=(), description="names of found openings that are none")


def read_answers(path: Path) -> SurveyAnswers:
    """Read a survey.yaml.

    Args:
        path: the file.

    Raises:
        ProjectFaults: every fault of it.
    """
    document = parse_yaml(read_text(path, MOST_BYTES), str(path))
    raw: dict[str, Any] = document.raw
    found = [whole_file(str(path), one.message, line=document.line_of(one.path)) for one in document.problems]
    try:
        answers = SurveyAnswers.model_validate(raw)
    except ValidationError as error:
        problems = problems_of(error, raw, document.marks, in_project=False)
        found += [
            whole_file(str(path), f"{' / '.join(map(str, one.path))}: {one.message}", line=document.line_of(one.path))
            for one in problems
        ]
        raise ProjectFaults(found) from None
    if found:
        raise ProjectFaults(found)
    return answers
