"""What the data models refuse, in plain sentences."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from ribway.models.faults import SpellingError
from ribway.models.fields import WITH_UNIT
from ribway.models.key_paths import existing_part
from ribway.models.nearest import nearest_word
from ribway.models.project_faults import IndexPath, Problem
from ribway.models.schema import schema_at
from ribway.models.yaml_text import Mark, Unreadable


def problems_of(
    error: ValidationError, raw: object, marks: Mapping[IndexPath, Mark], *, in_project: bool = True
) -> list[Problem]:
    """Turn what a model refused into problems, one for each value.

    Args:
        error: what the model raised.
        raw: the data it was given.
        marks: how the values were written, by path; may be empty.
        in_project: whether it is a project file: `unknown_keys` finds its unknown keys, so they are left out here.

    Returns:
        The problems, in the order in which the model met them.
    """
    by_path: dict[IndexPath, list[tuple[ErrorDetails, IndexPath]]] = {}
    for detail in error.errors(include_url=False):
        if (in_project and detail["type"] == "extra_forbidden") or isinstance(detail["input"], Unreadable):
            continue
        there = existing_part(raw, detail["loc"])
        rest = detail["loc"][len(there) :]
        missing = detail["type"] == "missing" and rest
        by_path.setdefault((*there, rest[0]) if missing else there, []).append((detail, rest))
    return [_problem(path, [detail for detail, _ in found], marks.get(path)) for path, found in by_path.items()]


def _problem(path: IndexPath, details: list[ErrorDetails], mark: Mark | None) -> Problem:
    """One problem out of everything that was refused about one value: each choice it could have been refuses it."""
    words = [_words(path, detail) for detail in details]
    found, accepted, message = words[0]
    if details[0]["type"] == "missing":
        return Problem(path, "", accepted, message)
    wanted = " or ".join(dict.fromkeys(part for _, part, _ in words if part))
    wants_text = any(_is_about_text(detail) for detail in details)
    tag = _not_text(details[0]["input"])
    if tag and wants_text:
        written = mark.written if mark is not None else found
        example = _example(path)
        quoted = f"with its unit, like {example}" if _has_unit(path) else f'"{written}"'
        message = f"{written} is a {tag} to YAML, not text: put it in quotes, {quoted}"
        return Problem(path, written, wanted or quoted, message)
    judged = [word for word, detail in zip(words, details, strict=True) if _is_judged(detail)]
    if judged:
        return Problem(path, *judged[0])
    if len(words) > 1:
        meant = nearest_word(found, wanted.split(", "))
        hint = f"; did you mean {meant}?" if meant else ""
        return Problem(path, found, wanted, f"{_shown(found)} is not accepted here: accepted are {wanted}{hint}")
    return Problem(path, found, accepted, message)


def _not_text(value: object) -> str:
    """What YAML took a value for if it is neither text nor a group; empty otherwise."""
    if isinstance(value, bool):
        return "yes/no value"
    if isinstance(value, int | float):
        return "number"
    return "date" if isinstance(value, date) else ""


def _is_about_text(detail: ErrorDetails) -> bool:
    """Whether the refused value would have been accepted, or read at least, had it been text."""
    chosen = f"'{text_of(detail['input'])}'" in str(detail.get("ctx", {}).get("expected", ""))
    return detail["type"] == "string_type" or _raised(detail) is not None or chosen


def _is_judged(detail: ErrorDetails) -> bool:
    """Whether the value was read as what it should be, and then refused for what it says."""
    return detail["type"] == "value_error" and _raised(detail) is None


def _raised(detail: ErrorDetails) -> SpellingError | None:
    error = detail.get("ctx", {}).get("error")
    return error if isinstance(error, SpellingError) else None


def _quantity(path: IndexPath) -> dict[str, Any]:
    """The choice with an example that the schema has at a path; empty if there is none."""
    part = schema_at(path) or {}
    return next((choice for choice in (part, *part.get("anyOf", [])) if choice.get("examples")), {})


def _example(path: IndexPath) -> str:
    """An example of what the schema accepts at a path."""
    examples = _quantity(path).get("examples")
    return f'"{examples[0]}"' if examples else ""


def _has_unit(path: IndexPath) -> bool:
    return _quantity(path).get("pattern") == WITH_UNIT


def _shown(found: str) -> str:
    return f'"{found}"'


def text_of(value: object) -> str:
    """What a value is, for a sentence: scalars as written, the rest by kind and size.

    Args:
        value: any data.

    Returns:
        A short text.
    """
    if isinstance(value, Mapping):
        return f"keys ({', '.join(str(key) for key in list(value)[:6])})"
    if isinstance(value, list | tuple):
        return f"a list of {len(value)} items"
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "true" if value else "false"
    text = str(value)
    return text if len(text) <= 60 else f"{text[:57]}..."


Words = tuple[str, str, str]


def _words(path: IndexPath, detail: ErrorDetails) -> Words:
    """What was found, what is accepted, and the sentence, for one refusal."""
    context: dict[str, Any] = detail.get("ctx", {})
    found = text_of(detail["input"])
    spelling = _raised(detail)
    if spelling is not None:
        return spelling.found or found, spelling.accepted, str(spelling)
    kind = detail["type"]
    if kind == "missing":
        example = _example(path)
        like = f", like {example}" if example else ""
        what = "an item of this list" if isinstance(path[-1], int) else path[-1]
        return "", str(path[-1]), f"{what} is missing here: it must be given{like}"
    if kind == "extra_forbidden":
        return str(path[-1]), "", f"the key {path[-1]} is unknown here"
    if kind == "value_error":
        return found, "", str(context.get("error", "this is not accepted"))
    if kind == "literal_error":
        choices = re.findall(r"'((?:[^'\\]|\\.)*)'", str(context.get("expected", "")))
        accepted = ", ".join(choices)
        meant = nearest_word(found, choices)
        hint = f"; did you mean {meant}?" if meant else ""
        return found, accepted, f"{_shown(found)} is not accepted here: accepted are {accepted}{hint}"
    if kind in _BOUNDS:
        words, key = _BOUNDS[kind]
        accepted = f"{words} {context.get(key)}"
        return found, accepted, f"{found} is out of range: accepted is {accepted}"
    for pattern, accepted in _WANTED.items():
        if re.fullmatch(pattern, kind):
            return found, accepted, _KINDS.get(kind, _wanted)(found, accepted)
    return found, "", f"{found} is not accepted here"


def _wanted(found: str, accepted: str) -> str:
    return f"{accepted} is accepted here, but {found} was found"


def _id(found: str, accepted: str) -> str:
    return f"{_shown(found)} is no id: accepted are {accepted}"


def _list(found: str, accepted: str) -> str:
    return f"{accepted} is accepted here, but {found} was found: write [{found}]"


def _too_few(found: str, accepted: str) -> str:
    return f"{found} is too few: {accepted} is needed"


_BOUNDS = {
    "greater_than_equal": ("a number not below", "ge"),
    "greater_than": ("a number above", "gt"),
    "less_than_equal": ("a number not above", "le"),
    "less_than": ("a number below", "lt"),
}
_WANTED = {
    "string_pattern_mismatch": "letters, digits, _ . and -, beginning with a letter, 40 characters at most",
    "string_.*": "one text",
    "int_.*": "a whole number without quotes",
    "float_.*|finite_number": "a plain finite number without quotes",
    "bool_.*": "true or false",
    "too_short": "one item or more",
    "too_long": "a shorter list",
    "tuple_.*|list_.*": "a list",
    "dict_.*|model_.*|mapping_.*": "a group of keys",
}
_KINDS: dict[str, Callable[[str, str], str]] = {
    "string_pattern_mismatch": _id,
    "too_short": _too_few,
    "tuple_type": _list,
}
