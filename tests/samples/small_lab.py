"""A small project on a small van, to be damaged and boxed in."""

from __future__ import annotations

from typing import Any

# A van of three ribs a side: enough metal for every kind of fault, and quickly built.
SMALL: dict[str, Any] = {
    "ribway": 1,
    "name": "small lab",
    "vehicle": {
        "preset": "short-high",
        "parameters": {
            "length": "1.70 m",
            "rib_stations_left": ["0.40 m", "0.84 m", "1.30 m"],
            "rib_stations_right": ["0.40 m", "0.84 m", "1.30 m"],
            "side_door": None,
            "wheel_arch": None,
        },
        "openings": [],
        "ways": [],
        "keep_outs": [],
    },
    "shop": {"spare": "none"},
    "devices": [
        {"id": "battery", "name": "Battery", "kind": "source", "at": {"wall": "left", "back": "0.60 m", "up": "0.3 m"}},
        {"id": "board", "name": "Board", "kind": "board", "at": {"wall": "left", "back": "1.05 m", "up": "0.7 m"}},
        {
            "id": "fridge",
            "name": "Fridge",
            "at": {"wall": "right", "back": "1.05 m", "up": "0.5 m"},
            "amps": "5 A",
            "start_amps": "8 A",
        },
        {"id": "lamp", "name": "Lamp", "at": {"wall": "roof", "back": "1.05 m"}, "amps": "0.5 A"},
        {"id": "radio", "name": "Radio", "at": {"wall": "left", "back": "1.50 m", "up": "1.2 m"}, "amps": "1 A"},
    ],
    "circuits": [
        {"id": "main", "name": "Main feed", "from": "battery", "to": ["board"]},
        {"id": "C1", "name": "Fridge", "from": "board", "to": ["fridge"]},
        {"id": "C2", "name": "Lamp", "from": "board", "to": ["lamp"]},
        {"id": "C3", "name": "Radio", "from": "board", "to": ["radio"]},
    ],
    "runs": [],
}
