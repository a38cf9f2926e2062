"""Values of the wrong kind anywhere in a project are faults, and never a crash of the checks that compare its parts."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from ruamel.yaml import YAML

from ribway.models.project_faults import ProjectFaults
from ribway.models.reading import check_text

FILE = Path(__file__).parents[1] / "samples" / "projects" / "small.yaml"
GOOD = YAML(typ="safe").load(FILE.read_text(encoding="utf-8"))
FOREIGN_WORDS = ("Input should", "pydantic", "validation", "Field required", "Extra inputs", "Value error", "type=")


ODD = (5, 1e308, True, None, [], {}, [{}], [[]], {"a": 1}, [None], "no")
PLACES = [
    *(("devices", 1, key) for key in ("id", "kind", "at", "name", "amps")),
    *(("circuits", 1, key) for key in ("id", "kind", "from", "to", "pattern", "load_can_feed", "volts", "cable")),
    ("circuits", 0, "kind"),
    ("circuits", 0, "to"),
    *(("runs", 0, key) for key in ("circuit", "from", "to", "via")),
    *((top,) for top in ("devices", "circuits", "runs", "alternatives", "vehicle", "shop", "equipment", "ribway")),
]


@pytest.mark.parametrize("place", PLACES, ids=lambda place: " / ".join(map(str, place)))
def test_values_of_the_wrong_kind_are_faults_and_no_crash(place: tuple[str | int, ...]) -> None:
    """Checks of what the parts say of one another step over what is malformed; every odd value is refused or read."""
    refused = 0
    for value in ODD:
        data: Any = json.loads(json.dumps(GOOD))
        data["circuits"].append({"id": "both", "name": "Both", "pattern": "relay", "from": "board", "to": ["fan"]})
        holder = data
        for step in place[:-1]:
            holder = holder[step]
        holder[place[-1]] = value
        try:
            check_text(json.dumps(data), "van.yaml", FILE.parent)
        except ProjectFaults as error:
            refused += 1
            said = str(error)
        else:
            said = ""
        assert not [word for word in FOREIGN_WORDS if word in said], said
    assert refused >= 5
