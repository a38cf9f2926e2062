"""The register of run numbers beside a project file: read with a clear sentence for all that is wrong in it, and added to."""

from __future__ import annotations

import errno
import json
import os
import re
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, get_args

from pydantic import ValidationError

from ribway.models.backup import put_file
from ribway.models.disk_words import disk_reason
from ribway.models.file_kinds import other_version
from ribway.models.project_faults import Fault, ProjectFaults, whole_file
from ribway.models.run_numbers import Identity, RunNumber, RunRole
from ribway.models.text_file import read_text
from ribway.models.yaml_text import Document, parse_yaml

NUMBERS_FORMAT_VERSION = 1
VERSION_KEY = "ribway_numbers"
MOST_BYTES = 2_000_000
HEAD = """\
# The numbers of this project's runs, as they stand on its cables. ribway reads this file and adds to it.
# A number is given once and never to another run, so a line stays when its run is gone: no number ever comes back on
# another cable. Keep this file with the project file, under version control too. A line says which run has a number:
# its circuit, what it is for in it, and its two ends. If a device or a circuit gets another id, write the new id in
# its lines here, and its runs keep their numbers.
"""
_KEYS = {"run", "circuit", "role", "from", "to", "nth", "zone", "before"}
_NEEDED = ("run", "role", "from", "to")
_BARE = re.compile(r"[A-Za-z][A-Za-z_-]*(?: [A-Za-z][A-Za-z_-]*)+$")
"""Two words or more, which YAML reads as text without quotes."""
_NO_TEXT = {"null", "true", "false", "yes", "no", "on", "off", "y", "n"}


class NotKeptError(Exception):
    """The register was not written, and why; it is as it was."""


def numbers_file(project: Path) -> Path:
    """The register of a project file: ``project.yaml`` has ``project.numbers.yaml`` beside it."""
    return project.with_name(f"{project.stem}.numbers.yaml")


def read_numbers(project: Path) -> tuple[RunNumber, ...]:
    """The numbers that were given to runs of a project.

    Args:
        project: the project file.

    Returns:
        As the register has them; nothing where there is none yet.

    Raises:
        ProjectFaults: the register is damaged, or says of a number or of a run two things.
    """
    file = numbers_file(project)
    if not file.exists() and not file.is_symlink():
        return ()
    return numbers_in(read_text(file, MOST_BYTES), str(file))


def numbers_in(text: str, file: str) -> tuple[RunNumber, ...]:
    """The numbers that a register's text holds.

    Args:
        text: the text.
        file: what to call the file in faults.

    Raises:
        ProjectFaults: as `read_numbers`.
    """
    if not text.strip():
        message = f"the register of run numbers is empty: put the last good one back, or take the file away{_LOST}"
        raise ProjectFaults([whole_file(file, message, accepted=f"{VERSION_KEY}: {NUMBERS_FORMAT_VERSION}")])
    document = parse_yaml(text, file)
    raw, faults = document.raw, [_fault(file, document, one.path, one.message) for one in document.problems]
    if VERSION_KEY not in raw:
        message = f"this is no register of run numbers: it has no {VERSION_KEY}: put the last good one back{_LOST}"
        raise ProjectFaults([whole_file(file, message, accepted=f"{VERSION_KEY}: {NUMBERS_FORMAT_VERSION}")])
    other = other_version(file, VERSION_KEY, "register", raw[VERSION_KEY], NUMBERS_FORMAT_VERSION)
    if other is not None:
        raise ProjectFaults([other])
    faults += [
        _fault(file, document, (key,), f"the key {key} is unknown here: accepted are {VERSION_KEY}, runs", str(key))
        for key in raw
        if key not in (VERSION_KEY, "runs")
    ]
    lines = raw.get("runs", [])
    if not isinstance(lines, list):
        faults.append(
            _fault(file, document, ("runs",), "runs is a list with a line for each run, and no list was found")
        )
        lines = []
    found: dict[int, RunNumber] = {}
    told = {one.path[1] for one in document.problems if len(one.path) > 1}
    for place, line in enumerate(lines):
        if place in told:
            continue
        one, wrong = _line(line)
        faults += [_fault(file, document, ("runs", place), words) for words in wrong]
        if one is not None:
            found[place] = one
    faults += [_fault(file, document, ("runs", place), words) for place, words in _doubled(found, document)]
    if faults:
        raise ProjectFaults(faults)
    return tuple(found.values())


_LOST = " (without it runs are numbered anew, and labels that are on cables already may mean other runs)"


def _fault(file: str, document: Document, path: tuple[str | int, ...], message: str, found: str = "") -> Fault:
    return whole_file(file, message, found=found, line=document.line_of(path))


def _line(line: object) -> tuple[RunNumber | None, list[str]]:
    """What one line of the list says, and what is wrong with it."""
    example = "{run: lamps-1, circuit: lamps, role: feed, from: board, to: lamp-1}"
    if not isinstance(line, Mapping):
        return None, [f"{_shown(line)} is no run: accepted is a line such as {example}"]
    strange = [str(key) for key in line if key not in _KEYS]
    missing = [key for key in _NEEDED if key not in line]
    wrong = [f"the key {key} is unknown here: accepted are {', '.join(sorted(_KEYS))}" for key in strange]
    if missing:
        wrong.append(f"the run lacks {', '.join(missing)}: accepted is a line such as {example}")
    if wrong:
        return None, wrong
    try:
        return RunNumber.model_validate(dict(line)), []
    except ValidationError as error:
        return None, list(dict.fromkeys(_refused(line, detail["loc"]) for detail in error.errors(include_url=False)))


def _refused(line: Mapping[str, Any], at: tuple[int | str, ...]) -> str:
    """A value that is none of what its key accepts."""
    key = "from" if at[0] == "from_" else str(at[0])
    accepted = {
        "role": ", ".join(get_args(RunRole)),
        "nth": "a whole number from 1",
        "zone": "a text, of a spare the part of the van that it leads to",
        "before": "a list of names",
    }.get(key, "a letter, then letters, digits, dots, dashes, underscores")
    return f"{key} is {_shown(line[key])}, and accepted is {accepted}"


def _doubled(found: Mapping[int, RunNumber], document: Document) -> Iterator[tuple[int, str]]:
    """Names and runs that stand in two lines: two people gave them, or somebody copied a line."""
    names: dict[str, int] = {}
    runs: dict[Identity, int] = {}
    for place, one in found.items():
        for name in one.names:
            first = names.setdefault(name, place)
            if first != place or one.names.count(name) > 1:
                line = document.line_of(("runs", first))
                yield place, f"{name} stands in line {line} already: a number belongs to one run: give this run another"
        first = runs.setdefault(one.identity, place)
        if first != place:
            line = document.line_of(("runs", first))
            yield (
                place,
                f"this run, {one.from_} to {one.to}, stands in line {line} already: take one of the two lines out",
            )


def _shown(value: object) -> str:
    text = value if isinstance(value, str) else json.dumps(value, default=str)
    return text if len(text) <= 60 else f"{text[:57]}..."


def numbers_text(numbers: Sequence[RunNumber]) -> str:
    """A register's text, one line a run.

    Args:
        numbers: in the order in which to write them.
    """
    lines = [f"{HEAD}{VERSION_KEY}: {NUMBERS_FORMAT_VERSION}", "runs:" if numbers else "runs: []"]
    for one in numbers:
        said = {"run": one.run, "circuit": one.circuit, "role": one.role, "from": one.from_, "to": one.to}
        if not one.circuit:
            del said["circuit"]
        parts = [f"{key}: {_plain(value)}" for key, value in said.items()]
        if one.nth > 1:
            parts.append(f"nth: {one.nth}")
        if one.zone:
            parts.append(f"zone: {one.zone if _BARE.match(one.zone) else json.dumps(one.zone)}")
        if one.before:
            parts.append(f"before: [{', '.join(map(_plain, one.before))}]")
        lines.append(f"  - {{{', '.join(parts)}}}")
    return "\n".join(lines) + "\n"


def _plain(text: str) -> str:
    """A word as YAML reads it back as text."""
    return f'"{text}"' if text.lower() in _NO_TEXT else text


def _same(one: RunNumber, other: RunNumber | None) -> bool:
    """Whether two lines are of one run: a spare may have been led to another device of its zone."""
    if other is None:
        return False
    led = not one.circuit and not other.circuit and one.zone == other.zone != ""
    return one.identity == other.identity or led


def keep_numbers(project: Path, numbers: Sequence[RunNumber]) -> tuple[RunNumber, ...]:
    """Write the register, if there is something new to write.

    Args:
        project: the project file.
        numbers: all that a plan knows: those of the register it was made with, and its own.

    Returns:
        What is new or otherwise in it.

    Raises:
        NotKeptError: the folder cannot be written, or somebody gave numbers meanwhile that the plan does not know.
        ProjectFaults: the register was damaged meanwhile.
    """
    file, there = numbers_file(project), read_numbers(project)
    owners = {name: one for one in numbers for name in one.names}
    strange = [one.run for one in there if not all(_same(one, owners.get(name)) for name in one.names)]
    if strange:
        raise NotKeptError(
            f"{file}: numbers were given meanwhile that this plan does not know ({', '.join(strange[:5])}): plan again"
        )
    fresh = tuple(one for one in numbers if one not in there)
    if fresh:
        try:
            if file.exists() and not os.access(file, os.W_OK):
                raise PermissionError(errno.EACCES, "may only be read")
            put_file(file, numbers_text(numbers).encode("utf-8"))
        except OSError as error:
            names = ", ".join(one.run for one in fresh[:5]) + (", ..." if len(fresh) > 5 else "")
            raise NotKeptError(
                f"{file}: cannot be written, {disk_reason(error)}: the numbers {names} are kept nowhere, and a later plan may "
                "give them to other runs; plan from a folder that can be written before cables are marked"
            ) from None
    return fresh
