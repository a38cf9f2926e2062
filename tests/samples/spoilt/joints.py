"""Plans with joints that bear too little or hide, and with loops that are missing; made from that of `joint_vans`."""

from __future__ import annotations

from samples.spoilt.changes import Spoilt, add, change

JOINTS = (
    Spoilt("joint-hidden", "plug", lambda p: change(p, "devices", "plug", behind="fixed panel")),
    Spoilt("joint-overloaded", "plug", lambda p: change(p, "devices", "plug", contact_a=5.0)),
    Spoilt("moving", "L", lambda p: change(p, "runs", "L", moving=())),
    Spoilt("moving", "P-1", lambda p: change(p, "devices", "plug", moving="hatch")),
    Spoilt("loop", "L", lambda p: change(p, "runs", "L", loop_m=0.3)),
    Spoilt("cut-short", "L", lambda p: add(p, "runs", "L", "loop_m", 0.2)),
    Spoilt("coarse-strand", "L", lambda p: change(p, "cables", "twin-2x1.5", system="sae"), "warning"),
    Spoilt("drop", "P-1", lambda p: change(p, "devices", "plug", contact_ohm=0.01)),
)
