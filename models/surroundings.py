"""What lies round a cable outside the model of the shell."""

from __future__ import annotations

from typing import Literal, get_args

Surroundings = Literal["engine space", "under floor", "on roof", "cab"]
SURROUNDINGS: tuple[Surroundings, ...] = get_args(Surroundings)
