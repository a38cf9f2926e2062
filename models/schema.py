"""The project file as a JSON Schema, for editors and for finding the keys that a place accepts."""

from __future__ import annotations

import copy
from collections.abc import Iterator, Mapping
from functools import lru_cache
from typing import Any

from ribway.models.project import Project
from ribway.models.project_faults import IndexPath

DIALECT = "https://json-schema.org/draft/2020-12/schema"
SCHEMA_ID = "urn:ribway:project:1"
SHEET_KEY = "equipment"
_FROM_SHEET = ("devices", "circuits")


def project_schema() -> dict[str, Any]:
    """The project file as a JSON Schema.

    Returns:
        A schema of JSON Schema 2020-12 with titles, descriptions and text patterns; keys as they are written in the
        file (``from``, ``to``). Nothing (null) is no value anywhere but in an alternative's change.
    """
    return copy.deepcopy(_schema())


@lru_cache(maxsize=1)
def _schema() -> dict[str, Any]:
    body = Project.model_json_schema(by_alias=True)
    body["properties"]["ribway"]["const"] = body["properties"]["ribway"].pop("maximum")
    # A sheet brings devices and circuits, so a file that names one need not have any of its own.
    body["required"] = [key for key in body["required"] if key not in _FROM_SHEET]
    body["anyOf"] = [{"required": [SHEET_KEY]}, {"required": list(_FROM_SHEET)}]
    plain = _without_nothing(body)
    return {"$schema": DIALECT, "$id": SCHEMA_ID, **plain, "title": "ribway project"}


def _without_nothing(value: Any) -> Any:
    """Drop null from every choice (an optional key is left out, not left empty), and defaults that are no text."""
    if isinstance(value, list):
        return [_without_nothing(item) for item in value]
    if not isinstance(value, dict):
        return value
    kept = {key: _without_nothing(item) for key, item in value.items() if not _hidden(key, item)}
    choices = kept.get("anyOf")
    if isinstance(choices, list) and {"type": "null"} in choices:
        real = [choice for choice in choices if choice != {"type": "null"}]
        del kept["anyOf"]
        kept = {**real[0], **kept} if len(real) == 1 else {**kept, "anyOf": real}
    return kept


def _hidden(key: str, value: object) -> bool:
    """Quantities have SI numbers as defaults, which nobody may write in the file."""
    return key == "default" and not isinstance(value, str | bool)


def schema_at(path: IndexPath) -> dict[str, Any] | None:
    """The part of the project's schema that a place follows.

    Args:
        path: keys and positions from the top of the project file.

    Returns:
        The schema with its reference followed, or None where anything goes or nothing is known.
    """
    part: dict[str, Any] | None = _schema()
    for step in path:
        if part is None:
            return None
        part = _child(part, step)
    return part


def _child(part: Mapping[str, Any], step: str | int) -> dict[str, Any] | None:
    for choice in _choices(part):
        child: object = None
        if isinstance(step, int):
            fixed = choice.get("prefixItems", [])
            child = fixed[step] if step < len(fixed) else choice.get("items")
        elif step in choice.get("properties", {}):
            child = choice["properties"][step]
        elif isinstance(choice.get("additionalProperties"), dict):
            child = choice["additionalProperties"]
        if isinstance(child, dict):
            return _followed(child)
    return None


def _choices(part: Mapping[str, Any]) -> Iterator[dict[str, Any]]:
    yield dict(part)
    for choice in part.get("anyOf", []):
        yield _followed(choice)


def _followed(part: dict[str, Any]) -> dict[str, Any]:
    reference = part.get("$ref")
    if not isinstance(reference, str):
        return part
    target = _schema()["$defs"][reference.rsplit("/", 1)[1]]
    return {**target, **{key: value for key, value in part.items() if key != "$ref"}}


def accepted_keys(path: IndexPath) -> tuple[str, ...] | None:
    """The keys that a mapping may hold.

    Args:
        path: the mapping's place in the project file.

    Returns:
        The keys in the order of the model, or None if any key goes or the place holds no mapping.
    """
    part = schema_at(path)
    if part is None or "properties" not in part or part.get("additionalProperties") is not False:
        return None
    return tuple(part["properties"])


def required_keys(path: IndexPath) -> tuple[str, ...]:
    """The keys that a mapping must hold.

    Args:
        path: the mapping's place in the project file.

    Returns:
        The keys, none if the place is unknown.
    """
    part = schema_at(path)
    return tuple(part.get("required", ())) if part else ()
