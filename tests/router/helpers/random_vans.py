"""Whole vans put together at random: shells, supplies, patterns, returns, joints, boards, ways and settings in any mixture."""

from __future__ import annotations

import random
from collections.abc import Sequence
from typing import Any

LENGTHS = {"short-high": 2.5, "medium-high": 3.3, "long-high": 4.2}
LAMPS = ("chain", "switched chain", "switch drop", "two-way", "dimmer", "relay", "home")
SWITCHES = {"switched chain": 1, "switch drop": 1, "two-way": 2, "dimmer": 1, "relay": 1}
Entry = dict[str, Any]


class RandomVan:
    """A project's data with a chance of everything.

    Args:
        seed: of the van.
        circuits: at most so many circuits of loads.
    """

    def __init__(self, seed: int, circuits: int) -> None:
        self._draw = random.Random(seed)
        preset = self._draw.choice(sorted(LENGTHS))
        self._length = LENGTHS[preset]
        self.vehicle: Entry = {"preset": preset}
        self.devices: list[Entry] = []
        self.circuits: list[Entry] = []
        self.runs: list[Entry] = []
        self._boards = ["board"]
        self._supplies()
        for number in range(self._draw.randint(2, circuits)):
            self._draw.choice((self._load, self._load, self._lamps, self._data))(f"C{number}")
        if self._chance(0.4):
            self._mains()
        if self._chance(0.4):
            self._returns()
        self._shell()
        self.shop = self._settings()

    @property
    def data(self) -> Entry:
        """As a project file holds it."""
        return {
            "ribway": 1, "name": "Random van", "vehicle": self.vehicle, "devices": self.devices, "circuits": self.circuits,
            "runs": self.runs, "shop": self.shop,
        }  # fmt: skip

    def place(self, *walls: str) -> Entry:
        """Somewhere on one of the walls; any if none is named."""
        wall = self._draw.choice(walls or ("left", "right", "roof", "floor", "bulkhead"))
        back = {"back": f"{self._draw.uniform(0.15, self._length - 0.2):.2f} m"}
        side = {self._draw.choice(("left", "right")): f"{self._draw.uniform(0.05, 0.6):.2f} m"}
        if wall in ("left", "right"):
            return {"wall": wall, **back, "up": f"{self._draw.uniform(0.15, 1.5):.2f} m"}
        if wall == "bulkhead":
            return {"wall": wall, "up": f"{self._draw.uniform(0.25, 1.5):.2f} m", **side}
        return {"wall": wall, **back, **side}

    def moved(self, refused: Sequence[str]) -> None:
        """Other places for what the shell refused; joints' and boards' neighbours go to the walls."""
        for device in self.devices:
            if device["id"] in refused:
                device["at"] = self.place("left", "right") if device.get("kind") else self.place()

    def _chance(self, share: float) -> bool:
        return self._draw.random() < share

    def _some(self, **offers: tuple[float, Any]) -> Entry:
        """Each of some entries with its chance."""
        return {key: value for key, (share, value) in offers.items() if self._chance(share)}

    def _add(self, name: str, at: Entry, **more: Any) -> str:
        self.devices.append({"id": name, "name": name.capitalize(), "at": at, **more})
        return name

    def _join(self, name: str, source: str, loads: Sequence[str], **more: Any) -> None:
        self.circuits.append({"id": name, "name": f"Circuit {name}", "from": source, "to": list(loads), **more})

    def _supplies(self) -> None:
        short = {"short_circuit_a": f"{self._draw.choice((400, 1000))} A"}
        self._add("battery", self.place("left"), kind="source", **(short if self._chance(0.6) else {}))
        self._add("board", self.place("left"), kind="board")
        self._join("M0", "battery", ["board"])
        if self._chance(0.4):
            self._boards.append(self._add("rear-board", self.place("left", "right"), kind="board"))
            self._join("M1", "board", ["rear-board"])
        if self._chance(0.4):
            self._add("charger", self.place("left"), kind="charger", amps="20 A")
            self._join("M2", "battery", ["charger"], load_can_feed=True)
            self._add("engine", self.place("bulkhead"), kind="source")
            self._join("M3", "engine", ["charger"])

    def _load(self, name: str) -> None:
        amps = self._draw.choice((0.1, 0.5, 2, 5, 8, 12))
        more = self._some(
            start_amps=(0.2, f"{amps + 8} A"), cut_out_volts=(0.1, "10.2 V"), load=(0.2, "constant power"),
            terminal=(0.1, "6 mm2"), states=(0.1, ["parked"]), hours_per_day=(0.1, "3 h"),
        )  # fmt: skip
        load = self._add(f"load-{name}", self.place(), amps=f"{amps} A", **more)
        says = self._some(
            drop=(0.2, "8 %"), never_with=(0.3, "one of them"), duty=(0.1, {"on": "20 s", "off": "10 min"}),
        )  # fmt: skip
        board = self._draw.choice(self._boards)
        self._join(name, board, [load], **says)
        run: Entry = {"circuit": name, "from": board, "to": load}
        if self._chance(0.1):
            self.runs.append({**run, "taped": f"{self._draw.uniform(5, 8):.1f} m"})
        elif self._chance(0.1):
            joint = self._add(f"plug-{name}", self.place("left", "right"), kind="joint", contact_amps="30 A")
            self.runs.append({**run, "through": [joint]})

    def _lamps(self, name: str) -> None:
        pattern = self._draw.choice(LAMPS)
        wall = self._draw.choice(("roof", "left", "right"))
        to = [
            self._add(f"lamp-{name}-{at}", self.place(wall), amps="0.4 A", **self._some(tail=(0.5, "0.2 m")))
            for at in range(self._draw.randint(2, 4))
        ]
        for at in range(SWITCHES.get(pattern, 0)):
            kind = "controller" if pattern == "dimmer" else "switch"
            to.append(self._add(f"switch-{name}-{at}", self.place("left", "right"), kind=kind))
        self._join(name, self._draw.choice(self._boards), to, pattern=pattern)

    def _data(self, name: str) -> None:
        logger = self._add(f"logger-{name}", self.place("left", "right"), kind="controller", amps="0.2 A")
        probe = self._add(f"probe-{name}", self.place(), kind="sensor")
        self._join(name, logger, [probe], kind="data")
        self._join(f"{name}p", self._draw.choice(self._boards), [logger])

    def _mains(self) -> None:
        self._add("inlet", self.place("right"), kind="source")
        self._add("ac-board", self.place("right"), kind="board")
        self._join("A0", "inlet", ["ac-board"], kind="ac")
        for at in range(self._draw.randint(1, 3)):
            self._join(
                f"A{at + 1}",
                "ac-board",
                [self._add(f"outlet-{at}", self.place(), kind="outlet", amps="4 A")],
                kind="ac",
            )

    def _returns(self) -> None:
        single = [one for one in self.circuits if one["id"][0] == "C" and "pattern" not in one and "kind" not in one]
        if self._chance(0.5):
            self._add("earth", self.place("left", "right"), kind="earth point", allowed_by_maker=True)
            self._join("bond", "battery", ["earth"], pattern="bond")
            says = {"return": "chassis"}
        else:
            says = {"return": "shared", "group": "aft"}
        for one in single:
            if one["from"] == "board" and self._chance(0.5):
                one.update(says)

    def _shell(self) -> None:
        if self._chance(0.3):
            self.vehicle["lining"] = {"roof": "20 mm"}
        if self._chance(0.3):
            back = self._draw.uniform(0.4, 1.2)
            path = [
                {"wall": "left", "back": f"{at:.2f} m", "up": "1.1 m", "stand_off": "75 mm"}
                for at in (back, back + 0.9)
            ]
            self.vehicle["ways"] = [{"name": "tube", "kind": "duct", "bore": "32 mm", "path": path}]
        holes = {f"L{self._draw.randint(2, 4)}{self._draw.choice('abc')}" for _ in range(4)}
        states: Sequence[Entry] = ({"state": "blocked"}, {"size": "20 mm", "state": "measured"}, {"taken": "9 mm"})
        self.vehicle["openings"] = [{"name": name, **self._draw.choice(states)} for name in sorted(holes)]

    def _settings(self) -> Entry:
        return self._some(
            stock=(0.2, "awg"), units=(0.2, "feet and inches"), lay=(0.2, "taut"), volts=(0.2, "24 V"),
            rules=(0.3, self._draw.choice(("33CFR183", "NEC", "ISO13297"))), derating=(0.2, "heat"), lay_depth=(0.1, "1 mm"),
            data_power=(0.1, "apart"), bundle_rule=(0.1, "none"), fill_limit=(0.1, "30 %"),
        )  # fmt: skip
