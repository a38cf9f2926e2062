"""Currents by Kirchhoff's first law: what a run carries is what is drawn beyond it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from ribway.models.plan.results import Finding, PlanCircuit, PlanRun
from ribway.router.audit.book import Book
from ribway.router.audit.feeders import MAKES_ITS_OWN, nothing, passed_on
from ribway.router.audit.findings import error, warning
from ribway.router.audit.wiring import NEGATIVES, drawn_behind, fed_through

PLAY_A: Final = 0.002


def feeders(book: Book, circuit: PlanCircuit) -> list[PlanCircuit]:
    """Circuits of the same kind that a circuit's source is fed by; none if the source makes its own."""
    if circuit.kind == "data" or book.devices[circuit.source].kind in MAKES_ITS_OWN:
        return []
    if circuit.pattern in NEGATIVES:
        return []
    powered = [one for one in book.plan.circuits if one.pattern not in NEGATIVES and one.kind == circuit.kind]
    return [one for one in powered if one.id != circuit.id and circuit.source in one.loads]


class Currents:
    """What every device draws in a circuit, found once each.

    Args:
        book: the plan.
    """

    def __init__(self, book: Book) -> None:
        self._book = book
        self._known: dict[tuple[str, str], tuple[float, float]] = {}

    def drawn(self, device: str, kind: str, above: tuple[str, ...] = ()) -> tuple[float, float]:
        """Running and starting current that a device draws [A], what it passes on to its own circuits included."""
        if (device, kind) in self._known:
            return self._known[device, kind]
        one = self._book.devices[device]
        own, own_start = one.amps, max(one.start_amps, one.amps)
        fed = any(
            circuit.source == device and circuit.kind == kind and circuit.pattern not in NEGATIVES
            for circuit in self._book.plan.circuits
        )
        below = passed_on(self._book, one, kind, above) if fed else nothing()
        run, start = below.run, below.start
        if not fed:
            found = own, own_start
        elif one.kind == "board":
            # A board's own figure is the sum of what it feeds, or what the user states its feeder is to be made for.
            found = (
                (own, max(own_start, own + start - run))
                if 0.0 < own < run - PLAY_A
                else (max(own, run), max(own, start))
            )
        else:
            found = own + run, own + run + max(own_start - own, start - run)
        if device not in above:
            self._known[device, kind] = found
        return found

    def summed(self, device: str, kind: str) -> float:
        """What all circuits of one kind that a device feeds draw together in the worst state [A]."""
        return passed_on(self._book, self._book.devices[device], kind).run

    def circuit(self, circuit: PlanCircuit, above: tuple[str, ...] = ()) -> tuple[float, float]:
        """Running and starting current of a whole circuit [A]; a control lead carries the coil's to each switch."""
        if circuit.pattern == "control":
            total = circuit.control_a * len(circuit.loads)
            return total, total
        if circuit.pattern == "bond":
            return self._bond(circuit)
        ends = [run.to for run in self._runs(circuit)] if self._book.whole(circuit) else list(circuit.loads)
        return self._sum(dict.fromkeys(ends), circuit, above)

    def run(self, run: PlanRun) -> tuple[float, float]:
        """Running and starting current of one run [A]: all that is drawn through it, along its circuit's pattern."""
        circuit = self._book.circuits[run.circuit]
        if circuit.pattern == "control":
            return circuit.control_a, circuit.control_a
        if circuit.pattern == "bond":
            return self._bond(circuit)
        behind = [device for one in fed_through(self._book, run) for device in drawn_behind(self._book, one)]
        return self._sum(dict.fromkeys(behind), circuit, (circuit.source,))

    def _bond(self, bond: PlanCircuit) -> tuple[float, float]:
        """All that comes back through the body [A]."""
        back = [self.circuit(one) for one in self._book.plan.circuits if one.negative == bond.id]
        run = sum(amps for amps, _ in back)
        return run, run + max((begin - amps for amps, begin in back), default=0.0)

    def _runs(self, circuit: PlanCircuit) -> list[PlanRun]:
        return [self._book.runs[run] for run in circuit.runs if run in self._book.runs]

    def _sum(self, devices: dict[str, None], circuit: PlanCircuit, above: tuple[str, ...]) -> tuple[float, float]:
        source = self._book.devices[circuit.source]
        if (
            source.kind == "source" and source.gives_a is not None
        ):  # a solar field drives what it can, whatever is asked
            return source.gives_a, source.gives_a
        drawn = [self._into(device, circuit, above) for device in devices]
        run = sum(amps for amps, _ in drawn)
        return run, run + max((begin - amps for amps, begin in drawn), default=0.0)

    def _into(self, device: str, circuit: PlanCircuit, above: tuple[str, ...]) -> tuple[float, float]:
        """What a device draws from a circuit, or drives into it where it is a source at its far end."""
        given = self._book.devices[device].gives_a
        if circuit.load_can_feed and given is not None:
            return given, given
        return self.drawn(device, circuit.kind, above)


def check_currents(book: Book) -> Iterator[Finding]:
    """Each circuit a tree that reaches its loads, and each current the sum of what lies beyond."""
    currents = Currents(book)
    for circuit in book.plan.circuits:
        if not book.whole(circuit):
            continue
        broken = list(_tree(book, circuit))
        yield from broken
        if broken or circuit.kind == "data":
            continue
        amps, start = currents.circuit(circuit)
        if abs(circuit.design_a - amps) > PLAY_A:
            yield error("current", circuit.id, f"designed for {circuit.design_a:g} A; its devices draw {amps:g} A")
        if circuit.start_a < start - PLAY_A:
            yield error(
                "start-current", circuit.id, f"starts with {circuit.start_a:g} A; its devices start with {start:g} A"
            )
        for run in (book.runs[name] for name in circuit.runs):
            amps, _ = currents.run(run)
            if abs(run.design_a - amps) > PLAY_A:
                yield error("current", run.id, f"designed for {run.design_a:g} A; {amps:g} A is drawn beyond it")
    yield from _fed_by_nothing(book)
    for device in book.plan.devices:
        fed, stated = currents.summed(device.id, "dc"), device.amps
        if device.kind == "board" and 0.0 < stated < fed - PLAY_A:
            yield warning(
                "feeder-diversity", device.id,
                f"{device.name} counts as {stated:g} A, its circuits draw {fed:g} A: its feeder is made for less",
                "leave out the board's own amps, unless they never run together",
            )  # fmt: skip


def _fed_by_nothing(book: Book) -> Iterator[Finding]:
    """Boards whose circuits get their power from nowhere: no circuit reaches them, and no source lies at the far end."""
    for device in book.plan.devices:
        own = [one for one in book.plan.circuits if one.source == device.id and one.kind != "data"]
        reached = any(device.id in one.loads and one.kind != "data" for one in book.plan.circuits)
        ends = {book.devices[load].kind for one in own for load in one.loads}
        if device.kind == "board" and own and not reached and not ends & set(MAKES_ITS_OWN):
            yield error(
                "nothing-feeds-it", device.id,
                f"nothing feeds {device.name}, and {', '.join(one.id for one in own)} hang on it",
                "a circuit from the battery to it, with a fuse at the battery",
            )  # fmt: skip


def _tree(book: Book, circuit: PlanCircuit) -> Iterator[Finding]:
    """Runs from the source outwards: each begins where one before it ends, no device is reached twice."""
    runs = [book.runs[name] for name in circuit.runs]
    reached, left = {circuit.source}, list(runs)
    while left:
        ready = [run for run in left if run.from_ in reached]
        if not ready:
            names = ", ".join(run.id for run in left)
            yield error(
                "not-fed",
                circuit.id,
                f"{names} begin where nothing of the circuit from {book.called(circuit.source)} ends",
            )
            return
        for run in ready:
            if run.to in reached and run.to != circuit.earth:
                yield error("ring", circuit.id, f"{book.called(run.to)} is reached twice, the second time by {run.id}")
                return
            reached.add(run.to)
        left = [run for run in left if run not in ready]
    missing = [load for load in circuit.loads if load not in reached]
    if missing:
        yield error("load-not-reached", circuit.id, f"no run reaches {', '.join(map(book.called, missing))}")
