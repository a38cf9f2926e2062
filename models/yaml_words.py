"""Why a text is no YAML, in plain words and not in those of the library that reads it."""

from __future__ import annotations

import re

_ADVICE = "check the quotes, brackets, colons and the indentation there and just above"
_WORDS: tuple[tuple[str, str], ...] = (
    (r"\\t", "a tab stands where spaces must be: indent with spaces only"),
    (r"undefined alias", "a name with * stands here that no & above has given: put it in quotes if it is text"),
    (r"duplicate anchor", "a name with & stands here that was given before: give each its own"),
    (r"mapping values are not allowed", "a second colon stands in this line, or it is indented more than what it belongs to"),
    (r"another document", "a second document begins here (---): one file holds one project"),
    (r"expected <block end>|did not find expected key", f"this line does not fit those above: {_ADVICE}"),
    (r"could not find expected ':'|expected ':'", "the colon behind a key is missing here or just above"),
    (r"expected ',' or '[\]}]'", "a comma or a closing bracket is missing here or just above"),
    (r"unexpected end of stream", "a quote is opened and never closed"),
    (r"cannot start any token", "a value begins with a sign that YAML keeps for itself: put it in quotes"),
    (r"escape|hexdecimal", 'a backslash in double quotes begins a sign that is none: write \\\\ or use single quotes'),
    (r"sequence entries are not allowed", "a list item (-) stands where none can be: begin the list on a line of its own"),
    (r"alphabetic or numeric character", "a name must follow & or *: put it in quotes if it is text"),
    (r"incompatible YAML document|%YAML|YAML version", "the version of YAML in the first line is not read: leave that line out"),
    (r"directive|tag handle|tag|URI", "a tag or directive (!, %) is not read here: leave it out, or quote it if it is text"),
    (r"indentation|block scalar|chomping", f"the text behind | or > is not indented as it must be: {_ADVICE}"),
)  # fmt: skip
_SIGN = re.compile(r"#x([0-9a-fA-F]+)")


def yaml_reason(problem: str) -> str:
    """Why a text is no YAML.

    Args:
        problem: what the library says of it.

    Returns:
        The rest of a sentence.
    """
    for pattern, words in _WORDS:
        if re.search(pattern, problem):
            return words
    return _ADVICE


def strange_sign(text: str) -> tuple[int, str] | None:
    """The first control character of a text.

    Args:
        text: the text.

    Returns:
        Its line, counted from 1, and its name as U+0007; None if there is none that YAML 1.2 refuses (chapter 5.1).
    """
    found = re.search("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]", text)
    return (text.count("\n", 0, found.start()) + 1, f"U+{ord(found[0]):04X}") if found else None
