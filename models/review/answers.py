"""What a person ticked and typed on the page of a draft: a small file, each answer of it checked before any is taken."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from pydantic import Field, ValidationError

from ribway.models.base import Data
from ribway.models.fault_words import problems_of
from ribway.models.fields import SignedLength
from ribway.models.project_faults import Fault, ProjectFaults, whole_file
from ribway.models.review.hole import Mark
from ribway.models.review.review import Review, ReviewError, freed, marked, moved, renamed_together, replaced
from ribway.models.text_file import read_text
from ribway.models.yaml_text import Document, parse_yaml

MOST_BYTES = 2_000_000
MARKS: Mapping[str, Mark] = {"confirm": "confirmed", "delete": "deleted", "open": "open"}


class Move(Data):
    """How far an opening is from where it was found."""

    forward: SignedLength = 0.0
    left: SignedLength = 0.0
    up: SignedLength = 0.0


class Answer(Data):
    """What is said of one opening; what is left out stays."""

    name: str = Field(description="as the draft calls it")
    say: Literal["confirm", "delete", "open"] | None = None
    rename: str | None = None
    move: Move | None = None
    free: bool = Field(default=False, description="of a deleted one: what names it leaves it out")
    instead: str | None = Field(default=None, description="of a deleted one: the opening that is named in its place")


class Answers(Data):
    """An answers file."""

    ribway_answers: Literal[1]
    draft: str = Field(default="", description="name of the draft; only for a person to read")
    openings: tuple[Answer, ...] = ()


@dataclass(frozen=True)
class AnswersFile:
    """An answers file as it was read.

    Args:
        file: what to call it in faults.
        answers: what it says.
        lines: line of each opening's answer, by its number; 0 where that is not known.
    """

    file: str
    answers: Answers
    lines: tuple[int, ...]


def read_answers_file(path: Path) -> AnswersFile:
    """Read an answers file: YAML, of which JSON is a part.

    Args:
        path: the file.

    Raises:
        ProjectFaults: every fault that the file alone shows.
    """
    document = parse_yaml(read_text(path, MOST_BYTES), str(path))
    raw: dict[str, Any] = document.raw
    found = [whole_file(str(path), one.message, line=document.line_of(one.path)) for one in document.problems]
    try:
        answers = Answers.model_validate(raw)
    except ValidationError as error:
        for one in problems_of(error, raw, document.marks, in_project=False):
            line = document.line_of(one.path)
            place = _with_line(_place(raw, one.path), line)
            found.append(Fault(str(path), place, one.found, one.accepted, one.message, line))
        raise ProjectFaults(found) from None
    if found:
        raise ProjectFaults(found)
    return AnswersFile(str(path), answers, tuple(_lines(document, len(answers.openings))))


def _lines(document: Document, count: int) -> Iterator[int]:
    for number in range(count):
        yield document.line_of(("openings", number))


def _with_line(place: str, line: int) -> str:
    return f"{place}, line {line}" if line else place


def _place(raw: Mapping[str, Any], path: tuple[str | int, ...]) -> str:
    """A place in the file in words: the opening by its name, where it has one."""
    parts = [str(part) for part in path]
    if len(path) > 1 and path[0] == "openings" and isinstance(path[1], int):
        entry = raw["openings"][path[1]]
        name = entry.get("name") if isinstance(entry, Mapping) else None
        parts[1] = str(name) if name else f"number {path[1] + 1}"
    return " / ".join(parts)


def answered(review: Review, file: AnswersFile) -> Review:
    """A review with all answers of a file taken.

    Args:
        review: before.
        file: the answers.

    Raises:
        ProjectFaults: every answer that cannot be taken: an opening that is not there or answered twice, a name that
            cannot be had, a move that is too far. None is taken then.
    """
    faults: list[Fault] = []
    seen: set[str] = set()
    names: dict[str, str] = {}
    changed = review
    for answer, line in zip(file.answers.openings, file.lines, strict=True):

        def refuse(why: str, name: str = answer.name, at: int = line) -> None:
            faults.append(Fault(file.file, _with_line(f"openings / {name}", at), "", "", why, at))

        if answer.name in seen:
            refuse(f"opening {answer.name} is answered twice: leave one of them")
            continue
        seen.add(answer.name)
        try:
            review.hole(answer.name)
            if answer.say is not None:
                changed = marked(changed, answer.name, MARKS[answer.say])
            if answer.move is not None:
                changed = moved(changed, answer.name, (answer.move.forward, answer.move.left, answer.move.up))
            if (answer.free or answer.instead is not None) and answer.say != "delete":
                refuse(f"opening {answer.name} is not deleted: free and instead go with say: delete")
                continue
            if answer.free and answer.instead is not None:
                refuse(f"opening {answer.name} has free and instead: say one of them")
                continue
            if answer.free:
                changed = freed(changed, answer.name)
            if answer.rename is not None:
                if answer.say == "delete":
                    refuse(f"opening {answer.name} is deleted and renamed: say one of them")
                    continue
                names[answer.name] = answer.rename
        except ReviewError as error:
            refuse(str(error))
    for answer, line in zip(file.answers.openings, file.lines, strict=True):
        try:
            if answer.instead is not None and answer.name in seen and not faults:
                changed = replaced(changed, answer.name, answer.instead)
        except ReviewError as error:
            faults.append(Fault(file.file, _with_line(f"openings / {answer.name}", line), "", "", str(error), line))
    try:
        changed = renamed_together(changed, names)
    except ReviewError as error:
        faults += [Fault(file.file, "openings", "", "", sentence) for sentence in error.sentences]
    if faults:
        raise ProjectFaults(faults)
    return changed
