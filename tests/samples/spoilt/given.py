"""Plans that say wrong things of runs and ways that a person gave."""

from __future__ import annotations

from samples.spoilt.changes import Spoilt, change, leg

GIVEN = (
    Spoilt("measured", "fridge-1", lambda p: change(p, "runs", "fridge-1", measured="taped")),
    Spoilt("measured", "fridge-1", lambda p: leg(p, "fridge-1", 1, kind="taped")),
    Spoilt("by-hand", "fridge-1", lambda p: change(p, "runs", "fridge-1", measured="by hand", by_hand=("over-L1",))),
    Spoilt("by-hand", "fridge-1", lambda p: change(p, "runs", "fridge-1", by_hand=("L1a",))),
    Spoilt("ambient", "fridge-1", lambda p: leg(p, "fridge-1", 1, zone="engine space")),
)
