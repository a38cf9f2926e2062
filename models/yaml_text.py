"""YAML text to plain data, with the line and the written form of every value kept.

The text is composed into nodes by ruamel.yaml (YAML 1.2, the resolver of its round-trip loader), and the nodes are
turned into data here: so that duplicate keys, values that YAML parted at a comma and values that vanished behind a
``#`` are found all at once, each with its line.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import lru_cache
from typing import Any, Literal

from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError, YAMLError
from ruamel.yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode

from ribway.models.project_faults import IndexPath, Problem, ProjectFaults, whole_file
from ribway.models.yaml_words import strange_sign, yaml_reason

MOST_VALUES = 100_000
"""Values a file may hold, anchors followed: so that a few lines of anchors cannot grow into gigabytes."""
MOST_LEVELS = 50

Tag = Literal["text", "number", "yes/no value", "nothing", "date", "mapping", "list"]

_TAGS: dict[str, Tag] = {
    "str": "text",
    "int": "number",
    "float": "number",
    "bool": "yes/no value",
    "null": "nothing",
    "timestamp": "date",
    "map": "mapping",
    "seq": "list",
    "merge": "text",
}


@dataclass(frozen=True)
class Unreadable:
    """Stands where a value could not be read, so that nothing mistakes it for a missing one."""


@dataclass(frozen=True)
class Mark:
    """Where a value stands in the text.

    Args:
        line: counted from 1.
        written: a scalar as it was written; empty for mappings and lists.
        tag: what YAML took it for.
        start: first character of the value in the text.
        end: first character behind it.
    """

    line: int
    written: str
    tag: Tag
    start: int
    end: int


@dataclass(frozen=True)
class Document:
    """What a YAML text holds.

    Args:
        raw: the data; `Unreadable` where a problem was found.
        marks: where each value stands.
        problems: what YAML itself did to values; the paths are those of the data.
    """

    raw: dict[str, Any]
    marks: Mapping[IndexPath, Mark]
    problems: tuple[Problem, ...]

    def line_of(self, path: IndexPath) -> int:
        """Line of the value at a path, or of the nearest thing that holds it; 0 if the data has no lines."""
        for length in range(len(path), -1, -1):
            if path[:length] in self.marks:
                return self.marks[path[:length]].line
        return 0


def parse_yaml(text: str, file: str) -> Document:
    """Read YAML text.

    Args:
        text: the file's text.
        file: what to call the file in faults.

    Returns:
        Data, marks and problems.

    Raises:
        ProjectFaults: the text does not parse, is empty, or is no mapping.
    """
    deep = whole_file(
        file, f"lists or mappings are nested more than {MOST_LEVELS} deep, and a project needs ten levels"
    )
    if _bracket_depth(text) > MOST_LEVELS:
        raise ProjectFaults([deep])
    strange = strange_sign(text)
    if strange is not None:
        message = f"the character {strange[1]} has no place in a text: take it out"
        raise ProjectFaults([whole_file(file, message, accepted="YAML 1.2", line=strange[0])])
    try:
        node = compose(text)
    except MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        line, column = (mark.line + 1, mark.column + 1) if mark else (0, 0)
        start = error.context_mark.line + 1 if error.context_mark else line
        begun = f"; what it belongs to begins in line {start}" if start < line else ""
        message = f"this is no YAML (column {column}): {yaml_reason(str(error.problem or error.context or ''))}{begun}"
        raise ProjectFaults([whole_file(file, message, accepted="YAML 1.2", line=line)]) from None
    except (
        YAMLError,
        ValueError,
        LookupError,
        TypeError,
        AttributeError,
    ) as error:  # defects of the reader on odd text
        message = f"this is no YAML: {yaml_reason(str(error))}"
        raise ProjectFaults([whole_file(file, message, accepted="YAML 1.2")]) from None
    except RecursionError:
        raise ProjectFaults([deep]) from None
    if node is None:
        raise ProjectFaults([whole_file(file, "the file holds nothing: a project has ribway, name, vehicle and so on")])
    if not isinstance(node, MappingNode):
        message = "the file must begin with keys (ribway: 1, name: ..., vehicle: ...), but a list or a text was found"
        raise ProjectFaults([whole_file(file, message, line=node.start_mark.line + 1)])
    builder = _Builder(text)
    try:
        raw = builder.value(node, ())
    except _TooManyError:
        message = f"the file holds more than {MOST_VALUES} values once its anchors are followed"
        raise ProjectFaults([whole_file(file, message)]) from None
    return Document(raw if isinstance(raw, dict) else {}, builder.marks, tuple(builder.problems))


@lru_cache(maxsize=8)
def compose(text: str) -> Node | None:
    """The nodes of a YAML text; those of the last few texts are kept, since an edit reads a text more than once.

    Args:
        text: the text.

    Returns:
        The topmost node, not to be changed; None if the text holds nothing.

    Raises:
        YAMLError: the text does not parse; the reader also fails in ways of its own on odd text.
    """
    root: Node | None = YAML(typ="rt").compose(text)
    return root


def _bracket_depth(text: str) -> int:
    """How deep brackets and braces are nested: found before parsing, which takes ages over thousands of open ones."""
    depth = deepest = 0
    for sign in text:
        if sign in "[{":
            depth += 1
            deepest = max(deepest, depth)
        elif sign in "]}":
            depth = max(0, depth - 1)
    return deepest


class _TooManyError(Exception):
    """More values than any project has."""


@dataclass
class _Builder:
    """Turns nodes into data and notes marks and problems on the way."""

    text: str
    marks: dict[IndexPath, Mark] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    open_nodes: list[int] = field(default_factory=list)

    def value(self, node: Node, path: IndexPath, behind: int | None = None) -> object:
        """Data of a node; ``behind`` is where its key ends in the text, if it has one."""
        if len(self.marks) >= MOST_VALUES:
            raise _TooManyError
        tag = _TAGS.get(str(node.tag).removeprefix("tag:yaml.org,2002:"))
        written = node.value if isinstance(node, ScalarNode) else ""
        self.marks[path] = Mark(
            node.start_mark.line + 1, written, tag or "text", node.start_mark.index, node.end_mark.index
        )
        if tag is None:
            return self.refuse(path, str(node.tag), f"the tag {node.tag} is not read here: leave it out")
        if id(node) in self.open_nodes:
            return self.refuse(path, "", "an anchor that holds itself is not read here")
        if isinstance(node, ScalarNode):
            return self.scalar(node, tag, path, node.start_mark.index if behind is None else behind)
        self.open_nodes.append(id(node))
        try:
            if isinstance(node, MappingNode):
                return self.mapping(node, path)
            return self.sequence(node, path) if isinstance(node, SequenceNode) else None
        finally:
            self.open_nodes.pop()

    def refuse(self, path: IndexPath, found: str, message: str, accepted: str = "") -> Unreadable:
        self.problems.append(Problem(path, found, accepted, message))
        return Unreadable()

    def scalar(self, node: ScalarNode, tag: Tag, path: IndexPath, start: int) -> object:
        if tag != "nothing":
            return _scalar(node.value, str(node.tag))
        if _may_remove(path) and node.value:
            return None
        line_end = self.text.find("\n", start)
        rest = self.text[start : line_end if line_end >= 0 else None].strip().removeprefix(":").lstrip()
        behind = f", since YAML takes {rest} for a remark: put it in quotes" if rest.startswith("#") else ""
        advice = ", or leave the key out" if behind else ": write a value behind the key, or leave the key out"
        if _may_remove(path):
            advice = "; write null to remove what the base says"
        return self.refuse(path, node.value, f"nothing stands here{behind}{advice}")

    def mapping(self, node: MappingNode, path: IndexPath) -> object:
        data: dict[str, object] = {}
        previous: Node | None = None
        for key_node, value_node in node.value:
            if not isinstance(key_node, ScalarNode):
                self.refuse(path, "", "a list or mapping stands where a key should be")
                continue
            key = str(key_node.value)
            there = (*path, key)
            line = key_node.start_mark.line + 1
            if node.flow_style and previous is not None and self.parted(previous, key_node):
                return self.comma(path, previous, key_node)
            previous = value_node
            if key in data:
                first = self.marks[there].line
                message = f"the key {key} stands here twice, in line {first} and in line {line}: keep one of them"
                self.problems.append(Problem(there, key, "each key once", message))
                continue
            data[key] = self.value(value_node, there, key_node.end_mark.index)
            mark = self.marks[there]
            self.marks[there] = Mark(line, mark.written, mark.tag, mark.start, mark.end)
        return data

    def sequence(self, node: SequenceNode, path: IndexPath) -> object:
        for item, after in zip(node.value, node.value[1:], strict=False):
            if node.flow_style and self.parted(item, after):
                return self.comma(path, item, after)
        return [self.value(item, (*path, index)) for index, item in enumerate(node.value)]

    def parted(self, node: Node, after: Node) -> bool:
        """Whether YAML parted one decimal number at its comma: ``2,5 mm²`` in brackets or braces."""
        if not (isinstance(node, ScalarNode) and isinstance(after, ScalarNode)) or node.style or after.style:
            return False
        touching = after.start_mark.index - node.end_mark.index == 1
        return touching and bool(re.search(r"\d$", node.value)) and bool(re.match(r"\d", after.value))

    def comma(self, path: IndexPath, node: Node, after: Node) -> Unreadable:
        whole = self.text[node.start_mark.index : after.end_mark.index]
        message = f'YAML parts {whole} at its comma: put it in quotes, "{whole}"'
        return self.refuse(path, whole, message, f'"{whole}"')


def _may_remove(path: IndexPath) -> bool:
    """Whether nothing is a value here: inside an alternative's change it removes what the base says."""
    return len(path) > 3 and path[0] == "alternatives" and path[2] == "change"


def _scalar(written: str, tag: str) -> object:
    """A scalar that is no null, as Python has it."""
    kind = tag.removeprefix("tag:yaml.org,2002:")
    try:
        if kind == "bool":
            return written.lower() == "true"
        if kind == "int":
            digits = written.replace("_", "")
            return int(digits, 0 if digits.lstrip("+-")[:2].lower() in ("0x", "0o", "0b") else 10)
        if kind == "float":
            return float(written.replace("_", "").lower().replace(".inf", "inf").replace(".nan", "nan"))
        if kind == "timestamp":
            return date.fromisoformat(written[:10])
    except ValueError:
        return written
    return written
