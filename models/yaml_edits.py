"""Where in a YAML text one change goes: stretches of text replaced by others, all else left as it stands.

The places come from the nodes that ruamel.yaml composes; nothing is written back from data, so remarks, order, quotes and
line ends outside a stretch stay byte for byte.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from ruamel.yaml import YAML
from ruamel.yaml.error import YAMLError
from ruamel.yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode

from ribway.models.yaml_text import compose


@dataclass(frozen=True)
class Stretch:
    """One stretch of a text replaced by another.

    Args:
        start: first character.
        end: first character behind it.
        text: what takes its place.
    """

    start: int
    end: int
    text: str


Writer = Callable[[object, Node | None], str]
"""Writes a value on one line; the node is what it takes the place of, None if nothing stood there."""


def root_of(text: str) -> Node:
    """The topmost node of a YAML text that is known to parse.

    Raises:
        KeyError: the text holds nothing.
    """
    root = compose(text)
    if root is None:
        raise KeyError(text)
    return root


def with_stretches(text: str, stretches: Iterable[Stretch]) -> str | None:
    """A text with stretches replaced.

    Args:
        text: the text.
        stretches: in any order; those that start at one place are written in the order given.

    Returns:
        The changed text, or None if two stretches overlap.
    """
    parts, behind = [], 0
    for one in sorted(stretches, key=lambda stretch: stretch.start):
        if one.start < behind:
            return None
        parts += [text[behind : one.start], one.text]
        behind = one.end
    return "".join([*parts, text[behind:]])


def quoted(value: object, old: Node | None = None) -> str:
    """A value as YAML on one line, text always in double quotes, so that YAML cannot turn it into anything else.

    Args:
        value: text, number, yes/no value, mapping or list.
        old: not looked at.
    """
    return _flow(value, lambda one: json.dumps(one, ensure_ascii=False, allow_nan=False))


def as_before(value: object, old: Node | None = None) -> str:
    """A value as YAML on one line, in the quotes of what it replaces; without quotes where YAML reads the same text.

    Args:
        value: text, number, yes/no value, mapping or list.
        old: what it takes the place of.
    """
    style = old.style if isinstance(old, ScalarNode) else None

    def scalar(one: object) -> str:
        if isinstance(one, str) and one.isprintable():
            if style == "'":
                return "'" + one.replace("'", "''") + "'"
            if style != '"' and _reads_plain(one):
                return one
        return json.dumps(one, ensure_ascii=False, allow_nan=False)

    return _flow(value, scalar)


@lru_cache(maxsize=512)
def _reads_plain(text: str) -> bool:
    """Whether YAML reads a text without quotes as that text, in braces and out of them."""
    if not text or text != text.strip():
        return False
    try:
        for whole in (f"[{{k: {text}, l: 1}}]", f"- k: {text}\n  l: 1"):
            pairs = YAML(typ="rt").compose(whole).value[0].value
            node = pairs[0][1]
            if len(pairs) != 2 or not isinstance(node, ScalarNode) or node.value != text or node.anchor:
                return False
            if str(node.tag) != "tag:yaml.org,2002:str":
                return False
    except (YAMLError, ValueError, LookupError, TypeError, AttributeError):  # the reader on odd text
        return False
    # Other readers of YAML take these for yes and no.
    return text.lower() not in ("yes", "no", "on", "off", "y", "n")


def _flow(value: object, scalar: Callable[[object], str]) -> str:
    if isinstance(value, Mapping):
        pairs = (f"{key_text(str(key))}: {_flow(item, scalar)}" for key, item in value.items())
        return "{" + ", ".join(pairs) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(_flow(item, scalar) for item in value) + "]"
    return scalar(value)


def key_text(key: str) -> str:
    """A key as YAML, in quotes unless it is a plain word."""
    plain = re.fullmatch(r"[A-Za-z_][A-Za-z0-9_-]*", key) and key.lower() not in ("true", "false", "null")
    return key if plain else json.dumps(key, ensure_ascii=False)


def pairs_of(node: Node) -> list[tuple[Node, Node]]:
    """Key and value nodes of a mapping; none of anything else."""
    return list(node.value) if isinstance(node, MappingNode) else []


def step(node: Node, part: str | int) -> tuple[Node | None, Node]:
    """Key node (none in a list) and value node one level down.

    Raises:
        KeyError: there is nothing.
    """
    if isinstance(node, SequenceNode) and isinstance(part, int):
        return None, node.value[part]
    for key, value in pairs_of(node):
        if key.value == part:
            return key, value
    raise KeyError(part)


def node_at(root: Node, path: Sequence[str | int]) -> Node:
    """The node at a path."""
    for part in path:
        root = step(root, part)[1]
    return root


def in_flow(node: Node) -> bool:
    """Whether a mapping or list is written in braces or brackets."""
    return isinstance(node, MappingNode | SequenceNode) and bool(node.flow_style)


def end_of(text: str, node: Node) -> int:
    """Where a value's own text ends; a block's end mark lies behind the blank lines and remarks that follow it."""
    if isinstance(node, ScalarNode) or in_flow(node) or not node.value:
        return int(node.end_mark.index)
    last = pairs_of(node)[-1][1] if isinstance(node, MappingNode) else node.value[-1]
    return end_of(text, last)


def replacement(text: str, root: Node, path: Sequence[str | int], value: object, write: Writer) -> Stretch:
    """The stretch that gives a value in the place of another."""
    key, node = step(node_at(root, path[:-1]), path[-1])
    start, end = node.start_mark.index, end_of(text, node)
    new = write(value, node)
    if isinstance(node, ScalarNode) and node.style in ("|", ">"):
        return Stretch(start, end, new + "\n")
    in_block = isinstance(node, MappingNode | SequenceNode) and not in_flow(node)
    if key is not None and (in_block or start == end):
        colon = text.index(":", key.end_mark.index) + 1
        return Stretch(colon, end if in_block else colon, f" {new}")
    return Stretch(start, end, new)


def removal(text: str, root: Node, path: Sequence[str | int]) -> Stretch:
    """The stretch that takes a key or an item out."""
    holder = node_at(root, path[:-1])
    key, node = step(holder, path[-1])
    start, end = (key or node).start_mark.index, end_of(text, node)
    if in_flow(holder):
        after = re.compile(r"\s*,\s*").match(text, end)
        if after:
            return Stretch(start, after.end(), "")
        before = re.compile(r",\s*$").search(text[:start])
        return Stretch(before.start() if before else start, end, "")
    line_start = text.rfind("\n", 0, start) + 1
    line_end = text.find("\n", end)
    line_end = len(text) if line_end < 0 else line_end + 1
    lead = text[line_start:start]
    if not lead.strip() or (key is None and not lead.replace("-", "").strip()):
        return Stretch(line_start, line_end, "")
    # The first key of a list item shares its line with the dash: the next key moves up to it.
    following = re.compile(r"[ ]*").match(text, line_end)
    return Stretch(start, following.end() if following else line_end, "")


def insertion(text: str, holder: Node, key: str, value: object, write: Writer) -> Stretch:
    """The stretch that gives a mapping one more key, behind all others."""
    if in_flow(holder) or not pairs_of(holder):
        entry = f"{key_text(key)}: {write(value, None)}"
        end = holder.end_mark.index - 1
        return Stretch(end, end, f", {entry}" if pairs_of(holder) else entry)
    first, _ = pairs_of(holder)[0]
    indent = " " * first.start_mark.column
    entry = f"{indent}{key_text(key)}: {write(value, None)}"
    return _line_behind(text, end_of(text, pairs_of(holder)[-1][1]), [entry])


def new_list(text: str, holder: Node, key: str, value: object, write: Writer) -> Stretch:
    """The stretch that gives a mapping a list of one item, behind all other keys."""
    if in_flow(holder) or not pairs_of(holder):
        return insertion(text, holder, key, [value], write)
    first, _ = pairs_of(holder)[0]
    indent = " " * first.start_mark.column
    lines = [f"{indent}{key_text(key)}:", f"{indent}  - {write(value, None)}"]
    return _line_behind(text, end_of(text, pairs_of(holder)[-1][1]), lines)


def addition(text: str, holder: Node, value: object, write: Writer) -> Stretch:
    """The stretch that gives a list one more item, behind all others and written as the last one is."""
    if in_flow(holder) or not holder.value:
        end = holder.end_mark.index - 1
        entry = write(value, None)
        return Stretch(end, end, f", {entry}" if holder.value else entry)
    last: Node = holder.value[-1]
    column = holder.start_mark.column
    dash = " " * column + "-" + " " * max(1, last.start_mark.column - column - 1)
    lines = [dash + write(value, None)]
    if isinstance(last, MappingNode) and not in_flow(last) and isinstance(value, Mapping) and value:
        entries = [f"{key_text(str(key))}: {write(item, None)}" for key, item in value.items()]
        lines = [dash + entries[0], *(" " * len(dash) + entry for entry in entries[1:])]
    return _line_behind(text, end_of(text, last), lines)


def _line_behind(text: str, end: int, lines: Sequence[str]) -> Stretch:
    """Lines put behind the line on which something ends."""
    newline = "\r\n" if "\r\n" in text else "\n"
    whole = newline.join(lines)
    line_end = text.find("\n", end)
    if text[end - 1 : end] == "\n":
        return Stretch(end, end, whole + newline)
    if line_end < 0:
        return Stretch(len(text), len(text), newline + whole + newline)
    return Stretch(line_end + 1, line_end + 1, whole + newline)
