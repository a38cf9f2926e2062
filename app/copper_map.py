"""Places as ``ribway place`` wrote them, made ready to be drawn as a map."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
from pydantic import ValidationError

from ribway.models.placing import PlacingField, place_words
from ribway.models.printed import Units, grams_up, length
from ribway.models.project_faults import PlanFaults, whole_file
from ribway.models.text_file import read_text
from ribway.viewer.copper_map import MOST_MARKS, CopperMap, MarkedPlace

MOST_BYTES = 64_000_000
NOTE = "No plan with the device there does with less. Left blank: it cannot stand there."


def read_places(file: Path) -> PlacingField:
    """Read the places of a device.

    Args:
        file: as ``ribway place --out`` wrote it.

    Returns:
        The places with what was found of each.

    Raises:
        PlanFaults: the file is missing or unreadable, or holds no places.
    """
    text = read_text(file, MOST_BYTES, PlanFaults)
    try:
        return PlacingField.model_validate_json(text, context={"si": True})
    except ValidationError:
        message = "this holds no places of a device: write them with ribway place PROJECT DEVICE --out FILE.json"
        raise PlanFaults([whole_file(str(file), message, accepted="what ribway place writes")]) from None


def copper_map(field: PlacingField, units: Units) -> CopperMap:
    """What is drawn of a field.

    Args:
        field: the places with their bounds and plans.
        units: how lengths and masses are written.

    Returns:
        The map, its best planned places marked, best first.
    """
    marks = []
    for one in field.best[:MOST_MARKS]:
        words = place_words(field.places[one.at], lambda metres: length(metres, units))
        now = " (now)" if one.at == 0 else ""
        marks.append(MarkedPlace(one.at, f"{words}{now}: {grams_up(one.planned_kg or 0.0, units)} planned"))
    return CopperMap(
        device=field.name,
        points=np.array(field.points, dtype=np.float64).reshape(-1, 3),
        walls=field.walls,
        kg=np.array([math.nan if kg is None else kg for kg in field.bound_kg]),
        step_m=field.step_m,
        marks=tuple(marks),
        note=NOTE,
    )
