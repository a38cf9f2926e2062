"""The JSON Schema: held against an independent validator, on what is right and on what is misspelt."""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from ruamel.yaml import YAML

from ribway.models.schema import accepted_keys, project_schema, required_keys

FILE = Path(__file__).parents[1] / "samples" / "projects" / "small.yaml"


@pytest.fixture
def raw() -> dict[str, Any]:
    """The sample project as another reader of YAML gives it."""
    return dict(YAML(typ="safe", pure=True).load(FILE))


def errors(raw: dict[str, Any]) -> list[str]:
    found = Draft202012Validator(project_schema()).iter_errors(raw)
    return sorted(".".join(str(part) for part in error.absolute_path) + " " + str(error.validator) for error in found)


def test_it_is_a_schema_of_2020_12() -> None:
    schema = project_schema()
    Draft202012Validator.check_schema(schema)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert schema["title"] == "ribway project"


def test_the_sample_project_is_valid(raw: dict[str, Any]) -> None:
    assert errors(raw) == []


@pytest.mark.parametrize(
    ("path", "value", "found"),
    [
        (("shop", "slck"), "5 %", "shop additionalProperties"),
        (("shop", "slack"), 5, "shop.slack type"),
        (("shop", "slack"), "5", "shop.slack pattern"),
        (("shop", "slack"), None, "shop.slack type"),
        (("devices", 0, "at", "back"), "1.2", "devices.0.at.back pattern"),
        (("devices", 0, "at", "wall"), "lft", "devices.0.at.wall enum"),
        (("devices", 0, "id"), "12v", "devices.0.id pattern"),
        (("circuits", 0, "source"), "battery", "circuits.0 additionalProperties"),
        (("circuits", 0, "to"), [], "circuits.0.to minItems"),
        (("circuits", 0, "drop"), 5, "circuits.0.drop anyOf"),
        (("ribway",), 2, "ribway const"),
    ],
)
def test_what_reading_refuses_the_schema_refuses(
    raw: dict[str, Any], path: tuple[str | int, ...], value: object, found: str
) -> None:
    holder: Any = raw
    for part in path[:-1]:
        holder = holder[part]
    holder[path[-1]] = value
    assert errors(raw) == [found]


def test_a_missing_key_is_refused(raw: dict[str, Any]) -> None:
    del raw["circuits"][0]["from"]
    assert errors(raw) == ["circuits.0 required"]


def test_the_copy_handed_out_is_the_callers_own() -> None:
    before = copy.deepcopy(project_schema())
    project_schema()["properties"].clear()
    assert project_schema() == before


def test_keys_are_those_of_the_file_not_of_the_code() -> None:
    keys = accepted_keys(("circuits", 0))
    assert keys is not None
    assert {"from", "to"} <= set(keys)
    assert not {"source", "loads"} & set(keys)
    assert required_keys(("circuits", 0)) == ("id", "name", "from", "to")
    assert accepted_keys(("vehicle", "parameters")) is None
    assert accepted_keys(("no", "such")) is None
