"""How many sizes of cable a shop keeps, as text: ``4 sizes``."""

from __future__ import annotations

import re
from typing import Annotated

from pydantic import BeforeValidator, ValidationInfo, WithJsonSchema


def _sizes(value: object, info: ValidationInfo) -> int:
    if type(value) is int and info.context and info.context.get("si"):
        return value
    found = re.fullmatch(r"([1-9][0-9]?) *(?:sizes?)?", value.strip()) if isinstance(value, str) else None
    if found is None:
        raise ValueError(f"{value!r} is no number of sizes: give text like '4 sizes'")
    return int(found[1])


SizeCount = Annotated[
    int,
    BeforeValidator(_sizes),
    WithJsonSchema({"type": "string", "pattern": r"^[1-9][0-9]? *(sizes?)?$", "examples": ["4 sizes"]}),
]
