"""Every source that can drive a short to a place: batteries in parallel, chargers, the sun.

Batteries count as equal volts behind their own resistance, so that their conductances add where their ways meet. What limits
its own current (a charger, panels) adds that current and no more. What stands behind the fuse that is looked at is left out:
its current does not pass that fuse.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ribway.models.circuits import Device
from ribway.models.shop import Shop
from ribway.router.circuits.drawn import is_battery, limited_a
from ribway.router.sizes.feeding import CHARGING, Wire, internal_ohm
from ribway.sizing.protection.prospective import Way

PLAY_OHM = 1e-12


@dataclass(frozen=True)
class Reach:
    """What drives a short at a place, from one side of it.

    Args:
        siemens: of all batteries with their ways, together [S].
        given_a: of all that limits its own current [A].
        batteries: how many.
        unknown: whether the resistance of one of them is not known.
    """

    siemens: float = 0.0
    given_a: float = 0.0
    batteries: int = 0
    unknown: bool = False

    def __add__(self, other: Reach) -> Reach:
        return Reach(
            self.siemens + other.siemens,
            self.given_a + other.given_a,
            self.batteries + other.batteries,
            self.unknown or other.unknown,
        )

    def through(self, ohm: float) -> Reach:
        """The same behind a piece of cable [ohm]."""
        behind = 1.0 / (1.0 / self.siemens + ohm) if self.siemens > 0.0 else 0.0
        return Reach(behind, self.given_a, self.batteries, self.unknown)


class Sources:
    """The sources of a van and the cables between them.

    Args:
        wires: the network.
        devices: by id.
        shop: its settings.
    """

    def __init__(self, wires: Mapping[str, Wire], devices: Mapping[str, Device], shop: Shop) -> None:
        self._wires, self._devices, self._shop = wires, devices, shop
        self._beyond: dict[str, list[str]] = {}
        for name, wire in wires.items():
            if not wire.negative:
                self._beyond.setdefault(wire.before or wire.root, []).append(name)

    def far_batteries(self) -> list[tuple[Wire, Device]]:
        """Batteries at the fed end of a circuit, with the run that ends at them."""
        return [
            (wire, self._devices[name])
            for wire in self._wires.values()
            if wire.feed.circuit.load_can_feed
            for name in wire.run.draws
            if is_battery(self._devices[name])
        ]

    def way_of(self, battery: Device) -> list[str]:
        """Runs from a battery at a fed end to the head of everything."""
        return [run for end, one in self.far_batteries() if one is battery for run in self._chain(end, "before")]

    def behind(self, circuit: str) -> list[tuple[Device, list[Wire]]]:
        """Batteries behind a circuit, each with the runs on its way to it.

        Args:
            circuit: its id; for its own far end nothing is said.
        """
        out: list[tuple[Device, list[Wire]]] = []
        for end, battery in self.far_batteries():
            way = [self._wires[name] for name in self._chain(end, "before")]
            places = [place for place, wire in enumerate(way) if wire.feed.circuit.id == circuit]
            if places and places[0] > 0 and end.feed.circuit.id != circuit:
                out.append((battery, way[: places[0]]))
        return out

    def weakest_ohm(self, wire: Wire) -> float:
        """The most that the current of any one battery meets on its way to a run's end, but for the run's own copper [ohm].

        Only batteries whose current passes the fuse of the run's circuit, each as if the others were off; one whose own
        resistance nobody knows counts as having none.

        Args:
            wire: the run.
        """
        found = [self._inside(self._devices[wire.root], wire) + wire.before_hot_ohm]
        for end, battery in self.far_batteries():
            there = self._chain(end, "before")
            if end.root == wire.root and all(self._wires[name].feed is not wire.feed for name in there):
                apart = self._apart(wire, end, "before", "plus_ohm") + self._apart(wire, end, "back", "minus_ohm")
                found.append(self._inside(battery, wire) + apart - wire.copper_ohm)
        return max(found)

    def _inside(self, battery: Device, wire: Wire) -> float:
        return internal_ohm(battery, wire.feed.volts, self._shop) or 0.0

    def _chain(self, wire: Wire, way: str) -> list[str]:
        """A run and those by which its current comes, or goes back, to the head."""
        found, at = [wire.run.id], getattr(wire, way)
        while at:
            found.append(at)
            at = getattr(self._wires[at], way)
        return found

    def _apart(self, a: Wire, b: Wire, way: str, ohm: str) -> float:
        """Resistance of the pieces between two ends: those on the way of one of them alone [ohm]."""
        pieces = set(self._chain(a, way)) ^ set(self._chain(b, way))
        return float(sum(getattr(self._wires[name], ohm) for name in sorted(pieces)))

    def near(self, first: Wire, feeder_mm2: float) -> tuple[Way | None, float | None]:
        """The short right behind the fuse of a circuit: its way, and its greatest current [A].

        Args:
            first: the circuit's first run.
            feeder_mm2: area of the last cable before the fuse [mm2]; 0 right at the source.

        Returns:
            No way where no battery drives it; no current where one of them is not known.
        """
        place, circuit = first.before or first.root, first.feed.circuit.id
        here = self._at(place, circuit, "")
        if here.unknown or (here.batteries == 0 and here.given_a <= 0.0):
            return None, None
        if here.batteries == 0:
            return None, here.given_a
        before = self._wires[first.before].least_ohm if first.before else 0.0
        whole = 1.0 / here.siemens
        if before > whole - PLAY_OHM:  # a battery beside the place drives more than the one that its cable comes from
            before, feeder_mm2 = 0.0, 0.0
        way = Way(CHARGING * first.feed.volts, whole - before, before, feeder_mm2, here.given_a, here.batteries)
        return way, way.amps

    def _at(self, place: str, circuit: str, came: str) -> Reach:
        """What drives a short at a place but through one circuit, and but from where the question came."""
        found = self._own(place)
        wire = self._wires.get(place)
        if wire is not None:
            back = wire.before or wire.root
            if came != back:
                found += self._at(back, circuit, place).through(self._ohm(place))
        for name in self._beyond.get(place, []):
            if name != came and self._wires[name].feed.circuit.id != circuit:
                found += self._at(name, circuit, place).through(self._ohm(name))
        return found

    def _ohm(self, run: str) -> float:
        """Least resistance of one run there and back [ohm]."""
        wire = self._wires[run]
        return max(0.0, wire.least_ohm - (self._wires[wire.before].least_ohm if wire.before else 0.0))

    def _own(self, place: str) -> Reach:
        """What stands at a place itself: the head of everything, or what can feed at the end of a run."""
        wire = self._wires.get(place)
        if wire is None:
            return self._source(self._devices[place], next(one for one in self._wires.values() if one.root == place))
        total = Reach()
        if wire.feed.circuit.load_can_feed:
            for name in wire.run.draws:
                if self._devices[name].kind in ("source", "charger"):
                    total += self._source(self._devices[name], wire)
        return total

    def _source(self, device: Device, wire: Wire) -> Reach:
        if is_battery(device):
            own = internal_ohm(device, wire.feed.volts, self._shop)
            return Reach(batteries=1, unknown=True) if own is None else Reach(1.0 / own, 0.0, 1)
        given = limited_a(device, wire.feed.circuit, wire.feed.volts, self._shop)
        return Reach(unknown=True) if given is None else Reach(given_a=given)
