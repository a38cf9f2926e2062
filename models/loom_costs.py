"""What a metre of loom is worth in copper, as text: ``20 g``."""

from __future__ import annotations

import re
from typing import Annotated

from pydantic import BeforeValidator, ValidationInfo, WithJsonSchema

MOST_G = 2000.0


def _kg(value: object, info: ValidationInfo) -> float:
    if isinstance(value, float) and info.context and info.context.get("si"):
        return value
    found = re.fullmatch(r"([0-9]{1,4}(?:[.,][0-9]{1,3})?) *g", value.strip()) if isinstance(value, str) else None
    grams = None if found is None else float(found[1].replace(",", "."))
    if grams is None or grams > MOST_G:
        raise ValueError(f"{value!r} is no copper a metre: give text like '20 g', up to {MOST_G:g} g")
    return grams / 1000.0


CopperPerM = Annotated[
    float,
    BeforeValidator(_kg),
    WithJsonSchema({"type": "string", "pattern": r"^[0-9]{1,4}([.,][0-9]{1,3})? *g$", "examples": ["20 g"]}),
]
