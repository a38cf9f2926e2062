"""What the negotiation is given and what it hands back."""

from __future__ import annotations

from dataclasses import dataclass

from ribway.router.paths.admission import Item
from ribway.router.paths.search import Path


@dataclass(frozen=True)
class Job:
    """One run as the search sees it.

    Args:
        item: the cable.
        start, end: portal indices.
        weight: what a metre of it costs against a metre of the others (kilograms of copper and a little).
        via: ways it must pass, in order.
        avoid: ways it must not pass.
        exact: it passes the ways of ``via`` and no others.
        keeps_out: airs that it must not lie in.
    """

    item: Item
    start: int
    end: int
    weight: float
    via: tuple[int, ...]
    avoid: frozenset[int]
    exact: bool = False
    keeps_out: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Outcome:
    """Paths of all jobs.

    Args:
        paths: one a job; None where no path could be given that respects every limit.
        sweeps: how often all were looked at.
    """

    paths: tuple[Path | None, ...]
    sweeps: int
