"""Plans that say wrong things of runs and ways that a person gave."""

from __future__ import annotations

from ribway.models.plan.plan import Plan
from samples.spoilt.changes import Spoilt, change, leg


def _cut_short(plan: Plan) -> Plan:
    """The leg through the rib as a stretch outside of which the tape said half a metre."""
    outside = change(plan, "ways", "over-L1", kind="outside", taped_m=0.5)
    return leg(outside, "fridge-1", 2, kind="outside", name="over-L1")


GIVEN = (
    Spoilt("measured", "fridge-1", lambda p: change(p, "runs", "fridge-1", measured="taped")),
    Spoilt("measured", "fridge-1", lambda p: leg(p, "fridge-1", 1, kind="taped")),
    Spoilt("by-hand", "fridge-1", lambda p: change(p, "runs", "fridge-1", measured="by hand", by_hand=("over-L1",))),
    Spoilt("by-hand", "fridge-1", lambda p: change(p, "runs", "fridge-1", by_hand=("L1a",))),
    Spoilt("no-length", "over-L1", lambda p: change(p, "ways", "over-L1", kind="outside", shares=())),
    Spoilt("not-square", "fridge-1", lambda p: leg(p, "fridge-1", 2, kind="furniture", sharp_m=0.001)),
    Spoilt("taped-short", "fridge-1", _cut_short),
    Spoilt("ambient", "fridge-1", lambda p: leg(p, "fridge-1", 1, zone="engine space")),
)
