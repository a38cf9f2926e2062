"""The one base class of everything that goes on disk: frozen, no unknown keys, no NaN or infinity."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict


class Data(BaseModel):
    """Read-only plain data. Unknown keys are refused, so that a misspelt one is never silently lost."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False, populate_by_name=True, strict=False)
