"""found.json: what a survey found, beside the draft of it, so that a person can go through it; written by ribway alone."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Literal

from pydantic import Field, ValidationError

from ribway.models.base import Data
from ribway.models.project_faults import ProjectFaults, whole_file
from ribway.models.review.hole import Hole, Mark, Spot
from ribway.models.text_file import read_text

FOUND_FILE = "found.json"
MOST_BYTES = 50_000_000


class FoundHole(Data):
    """An opening as the survey found it, lengths in metres; see `Hole`."""

    name: str = Field(min_length=1)
    kind: str
    member: str
    shape: Literal["round", "slot"]
    bore_m: float = Field(ge=0.0)
    length_m: float = Field(ge=0.0)
    skins: tuple[str, str]
    line: tuple[Spot, ...] = Field(min_length=2)
    rim: tuple[Spot, ...]
    sure: float = Field(ge=0.0, le=1.0)
    mark: Mark = "open"


class Found(Data):
    """All openings that a survey found."""

    ribway_found: Literal[1] = 1
    mesh: str = Field(default="", description="what was surveyed")
    openings: tuple[FoundHole, ...] = ()


def found_text(found: Found) -> str:
    """The file's text: one opening a line.

    Args:
        found: what to write.
    """
    head = json.dumps({"ribway_found": found.ribway_found, "mesh": found.mesh}, ensure_ascii=False)
    lines = ",\n".join(json.dumps(one.model_dump(), ensure_ascii=False) for one in found.openings)
    return f'{head[:-1]}, "openings": [\n{lines}\n]}}\n'


def read_found(path: Path) -> Found:
    """Read a found.json.

    Args:
        path: the file.

    Raises:
        ProjectFaults: it cannot be used.
    """
    text = read_text(path, MOST_BYTES)
    try:
        return Found.model_validate_json(text)
    except ValidationError as error:
        first = error.errors()[0]
        place = " / ".join(str(part) for part in first["loc"]) or "file"
        message = f"{place}: {first['msg']}; this file is written by ribway survey: survey the mesh again"
        raise ProjectFaults([whole_file(str(path), message)]) from None


def as_hole(one: FoundHole) -> Hole:
    """An opening that the project does not list, as it is gone through.

    Args:
        one: as found.
    """
    return Hole(
        one.name, one.name, one.kind, one.member, one.shape, one.bore_m, one.length_m, one.skins, one.line, one.rim,
        one.sure, mark=one.mark,
    )  # fmt: skip


def as_found(hole: Hole) -> FoundHole:
    """An opening as it is to be written after it was gone through.

    Args:
        hole: as it is now.
    """

    def rounded(points: tuple[Spot, ...]) -> tuple[Spot, ...]:
        return tuple((round(x, 5) + 0.0, round(y, 5) + 0.0, round(z, 5) + 0.0) for x, y, z in points)

    return FoundHole(
        name=hole.name, kind=hole.kind, member=hole.member, shape=hole.shape, bore_m=round(hole.bore_m, 6),
        length_m=round(hole.length_m, 6), skins=hole.skins, line=rounded(hole.line), rim=rounded(hole.rim),
        sure=round(hole.sure, 3), mark=hole.mark,
    )  # fmt: skip
