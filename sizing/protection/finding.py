"""What is wrong with a protection, in words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

ProtectionRule = Literal[
    "breaking capacity", "position", "both ends", "step-down", "far-end short", "short-circuit heat", "ways of a board"
]


@dataclass(frozen=True)
class ProtectionFinding:
    """A broken rule.

    Attributes:
        rule: which.
        where: the fuse, run or board.
        says: one sentence: what is wrong and what would cure it.
        serious: whether nothing may be built from a plan in which it is so.
    """

    rule: ProtectionRule
    where: str
    says: str
    serious: bool = True
