"""What devices pass on to circuits that hang on them, in the van's worst state; of a set never together only one counts."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass

from ribway.models.circuits import NEGATIVES, Circuit, Device, Kind
from ribway.models.project import Project
from ribway.router.circuits.drawn import GENERATORS, at_other_volts, driven_a, limit_percent, nominal_v, own_amps
from ribway.sizing.feeders.states import STATES, Draw, FeederLoad, feeder_load


@dataclass(frozen=True)
class _Hanging:
    """A draw, and the circuit nearest the source that is never loaded with others of a set."""

    draw: Draw
    apart: str = ""
    circuit: str = ""


@dataclass(frozen=True, eq=False)
class _Tree:
    """What hangs on what: a project with its devices by id and its circuits by what feeds them."""

    project: Project
    devices: Mapping[str, Device]
    by_source: Mapping[str, Sequence[Circuit]]

    @classmethod
    def of(cls, project: Project) -> _Tree:
        """The tree of a project."""
        by_source: dict[str, list[Circuit]] = {}
        for circuit in project.circuits:
            by_source.setdefault(circuit.source, []).append(circuit)
        return cls(project, {one.id: one for one in project.devices}, by_source)

    def draws(self, device: Device, kind: Kind) -> list[Draw]:
        """All that hangs on a device in circuits of one kind, each set of never together as one."""
        return _resolved(self.below(device, kind, ()))

    def below(self, device: Device, kind: Kind, above: tuple[str, ...]) -> list[_Hanging]:
        """All behind a device; nothing if it makes its own current, or is a board that states its (the user's diversity).

        Args:
            device: what feeds it.
            kind: of the circuits.
            above: devices that lead here, so that a ring ends.
        """
        if device.kind in GENERATORS or device.id in above:
            return []
        if device.kind == "board" and own_amps(device, 1.0)[0] > 0.0:
            return []
        return self.circuits_of(device.id, kind, above)

    def circuits_of(self, source: str, kind: Kind, above: tuple[str, ...]) -> list[_Hanging]:
        """All behind the circuits of a device, whatever that is; arguments as for `below`."""
        out: list[_Hanging] = []
        for circuit in self.by_source.get(source, []):
            if circuit.kind == kind and circuit.pattern not in NEGATIVES:
                mine = self._circuit(circuit, (*above, source))
                if circuit.never_with is not None:  # sets within it first, each as one draw
                    mine = [_Hanging(draw, circuit.never_with, circuit.id) for draw in _resolved(mine)]
                out += mine
        return out

    def _circuit(self, circuit: Circuit, above: tuple[str, ...]) -> list[_Hanging]:
        out: list[_Hanging] = []
        shop = self.project.shop
        for load in circuit.loads:
            one, name = self.devices[load], f"{circuit.id}/{load}"
            if circuit.pattern == "control":
                out.append(_Hanging(Draw(name, dict.fromkeys(STATES, circuit.control_amps))))
                continue
            volts, limit = nominal_v(circuit, self.project), limit_percent(circuit, shop)
            run, start = own_amps(one, volts, limit, at_other_volts(circuit, shop))
            gives = one.kind in ("charger", "source") and circuit.load_can_feed
            given = driven_a(one) if gives else None
            if given is not None:
                run = start = given
            if run > 0.0 or start > 0.0:
                amps = dict.fromkeys(one.states or STATES, run)
                out.append(_Hanging(Draw(name, amps, gives, one.share / 100.0, start if start > run else None)))
            out += self.below(one, circuit.kind, above)
        return out


def device_amps(
    project: Project, devices: Mapping[str, Device], by_source: Mapping[str, Sequence[Circuit]]
) -> dict[str, tuple[float, float]]:
    """Running and starting current of every device [A], what it passes on to circuits of the feeding kind included."""
    tree = _Tree(project, devices, by_source)
    found: dict[str, tuple[float, float]] = {}
    for circuit in project.circuits:
        if circuit.kind != "data":
            for load in circuit.loads:
                if load not in found:
                    volts, limit = nominal_v(circuit, project), limit_percent(circuit, project.shop)
                    own = own_amps(devices[load], volts, limit, at_other_volts(circuit, project.shop))
                    found[load] = _passing(tree, devices[load], circuit.kind, own)
    for name, device in devices.items():
        if name not in found:
            own = own_amps(device, project.shop.volts, project.shop.drop.other, project.shop)
            found[name] = _passing(tree, device, "dc", own)
    return found


def _passing(tree: _Tree, device: Device, kind: Kind, own: tuple[float, float]) -> tuple[float, float]:
    """A device's own current, running and starting, with what it passes on [A]."""
    (run, start), below = own, tree.draws(device, kind)
    if not below:
        return run, start
    load = feeder_load(below)
    return run + load.worst.amps, run + load.worst.amps + max(start - run, load.start_a - load.worst.amps)


def feeder_of(device: Device, kind: Kind, project: Project) -> FeederLoad | None:
    """The states of what a board or another device passes on; None if it passes nothing on, or states its current."""
    below = _Tree.of(project).draws(device, kind)
    return feeder_load(below) if below else None


def of_circuits(sources: Iterable[str], kind: Kind, project: Project, without: Collection[str] = ()) -> list[Draw]:
    """All that hangs on the circuits of one kind of some devices, whatever these are, each set of never together as one.

    Args:
        sources: ids of the devices.
        kind: of the circuits.
        project: what the user said.
        without: loads that do not count.
    """
    tree = _Tree.of(project)
    hanging = [one for source in sources for one in tree.circuits_of(source, kind, ())]
    return _resolved([one for one in hanging if one.draw.id.rpartition("/")[2] not in without])


def _resolved(hanging: Sequence[_Hanging]) -> list[Draw]:
    """Draws that add up: the circuits of each set, on whatever boards they hang, as one."""
    sets: dict[str, dict[str, list[Draw]]] = {}
    for one in hanging:
        if one.apart:
            sets.setdefault(one.apart, {}).setdefault(one.circuit, []).append(one.draw)
    alone = [one.draw for one in hanging if not one.apart]
    return alone + [_one_of(name, tuple(circuits.values())) for name, circuits in sets.items()]


def _one_of(name: str, circuits: Sequence[Sequence[Draw]]) -> Draw:
    """Circuits that are never loaded together as one draw: in each state the worst of them."""
    loads = [feeder_load(draws) for draws in circuits]
    amps = {state: max(one.states[at].amps for one in loads) for at, state in enumerate(STATES)}
    start = max(one.start_a for one in loads)
    return Draw(f"one of {name}", amps, start_a=start if start > max(amps.values()) else None)
