"""What a survey found, as the file beside the draft that a person goes through."""

from __future__ import annotations

import numpy as np

from ribway.models.review.found import Found, as_found
from ribway.models.review.hole import Hole, Spot
from ribway.router.shell.parts import Points
from ribway.router.survey.openings import FoundOpening
from ribway.router.survey.survey import Survey


def spots(points: Points) -> tuple[Spot, ...]:
    """Points as plain numbers.

    Args:
        points: ``(n, 3)`` [m].
    """
    return tuple((x, y, z) for x, y, z in np.asarray(points, dtype=np.float64).tolist())


def hole_of(one: FoundOpening) -> Hole:
    """A found opening as it is gone through.

    Args:
        one: as found.
    """
    return Hole(
        one.name, one.name, one.kind, one.member, "slot" if one.shape == "slot" else "round", one.bore_m,
        max(one.length_m, one.bore_m), one.skins, spots(one.line), spots(one.rim), one.sure,
    )  # fmt: skip


def found_of(survey: Survey, mesh: str) -> Found:
    """All openings of a survey.

    Args:
        survey: what was found.
        mesh: name of the surveyed file.
    """
    return Found(mesh=mesh, openings=tuple(as_found(hole_of(one)) for one in survey.openings))
