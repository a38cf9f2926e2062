"""Volts at every device, solved again and again until nothing moves: running, and while each motor starts."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Final

from ribway.models.plan.results import Finding, PlanCircuit, PlanDevice, PlanRun
from ribway.router.audit.book import Book
from ribway.router.audit.conductors import METALS
from ribway.router.audit.drop import hot_ohm
from ribway.router.audit.feeders import MAKES_ITS_OWN, STATES
from ribway.router.audit.findings import error
from ribway.router.audit.wiring import NEGATIVES, SPARE, before, drawn_behind

PLAY_V: Final = 0.005
PURE_M_PER_OHM_MM2: Final = 58.0
"""Annealed copper of 100 % conductivity at 20 deg C (IEC 60028)."""
SWEEPS: Final = 400
STILL_V: Final = 1e-7


class Tree:
    """All DC runs of the plan: how current comes to each, and how it goes back.

    Args:
        book: the plan.
    """

    def __init__(self, book: Book) -> None:
        self.book = book
        self.runs = [
            book.runs[name]
            for circuit in book.plan.circuits
            if circuit.kind == "dc" and book.whole(circuit)
            for name in circuit.runs
        ]
        self._known = {run.id for run in self.runs}
        self._feeding = self._by_fed_device()
        self._there: dict[str, list[PlanRun]] = {}
        self._ohms: dict[str, dict[str, float]] = {}
        self._least_ohm: dict[str, float] = {}
        self.heads = {run.id: self.book.circuits[self.there(run)[0].circuit].source for run in self.runs}

    def there(self, run: PlanRun) -> list[PlanRun]:
        """Runs from the head of everything to a run, it at the end."""
        if run.id not in self._there:
            found = [run]
            while (above := self._fed_by(found[0])) is not None and all(above is not one for one in found):
                found.insert(0, above)
            self._there[run.id] = found
        return self._there[run.id]

    def ohms(self, run: PlanRun) -> dict[str, float]:
        """Resistance of every piece of the way to a run's end and back, hot [ohm], by a name of its own."""
        if run.id not in self._ohms:
            self._ohms[run.id] = self._pieces(run, self._hot)
        return self._ohms[run.id]

    def least_ohm(self, run: PlanRun) -> float:
        """Least resistance of the cables to a run's end and back [ohm]: pure copper of 58 MS/m (IEC 60028), laid taut.

        Where the negative is bonded to the body, a short may go back by the body, so only the way there counts.
        """
        if run.id not in self._least_ohm:
            bonded = any(one.pattern == "bond" for one in self.book.plan.circuits)
            counts = (" there",) if bonded else (" there", " back")
            pieces = self._pieces(run, self._least)
            self._least_ohm[run.id] = sum(ohm for name, ohm in pieces.items() if name.endswith(counts))
        return self._least_ohm[run.id]

    def _pieces(self, run: PlanRun, piece: Callable[[PlanRun], float]) -> dict[str, float]:
        out: dict[str, float] = {}
        for one in self.there(run):
            if not self._leads_back_alone(one):
                out[f"{one.id} there"] = piece(one)
        at: PlanRun | None = run
        while at is not None:
            circuit = self.book.circuits[at.circuit]
            joined = self._joined(at)
            if joined is not None:
                if circuit.return_ == "chassis":
                    out[f"body at {at.id}"] = self.book.plan.rules.body_ohm
                at = joined
                continue
            if self._cores(at) == 2 or self._leads_back_alone(at):
                out[f"{at.id} back"] = piece(at)
            at = self._fed_by(at)
        return out

    def _hot(self, run: PlanRun) -> float:
        return run.cut_m * hot_ohm(self.book, run) + self.book.devices[run.to].contact_ohm

    def _least(self, run: PlanRun) -> float:
        cable = self.book.cable_of(run)
        return run.taut_m / (PURE_M_PER_OHM_MM2 * cable.area_mm2) * METALS[cable.metal][0]

    def _cores(self, run: PlanRun) -> int:
        return 1 if len([core for core in run.wire_functions if core != SPARE]) == 1 else 2

    def _leads_back_alone(self, run: PlanRun) -> bool:
        return self.book.circuits[run.circuit].pattern in NEGATIVES

    def _joined(self, run: PlanRun) -> PlanRun | None:
        """The run of another circuit by which a run's current goes back."""
        circuit = self.book.circuits[run.circuit]
        back = self.book.circuits.get(circuit.negative)
        if back is None or (circuit.return_ == "chassis" and run.to != circuit.earth):
            return None
        ends = [self.book.runs[name] for name in back.runs if name in self._known]
        if circuit.return_ == "shared":
            ends = [one for one in ends if one.to == run.to]
        return ends[-1] if ends else None

    def _fed_by(self, run: PlanRun) -> PlanRun | None:
        circuit = self.book.circuits[run.circuit]
        through = before(self.book, run)
        if through is not None:
            return through
        if self.book.devices[circuit.source].kind in MAKES_ITS_OWN:
            return None
        return next((one for one in self._feeding.get(circuit.source, ()) if one.circuit != circuit.id), None)

    def _by_fed_device(self) -> dict[str, list[PlanRun]]:
        """Runs by the devices that take their current from them."""
        found: dict[str, list[PlanRun]] = {}
        for run in self.runs:
            for device in drawn_behind(self.book, run) if not self._leads_back_alone(run) else ():
                found.setdefault(device, []).append(run)
        return found


def loads_of(tree: Tree, state: str) -> dict[tuple[str, str], PlanDevice]:
    """What draws in a state, by run and device; a charger at the fed end gives, a board passes on."""
    found: dict[tuple[str, str], PlanDevice] = {}
    for run in tree.runs:
        circuit = tree.book.circuits[run.circuit]
        if circuit.pattern in NEGATIVES:
            continue
        for name in drawn_behind(tree.book, run):
            device = tree.book.devices[name]
            gives = device.kind in ("charger", "source") and circuit.load_can_feed
            asleep = bool(device.states) and state not in device.states
            if circuit.pattern == "control" or not (gives or device.kind == "board" or asleep):
                found[run.id, name] = device
    return found


def settled(
    tree: Tree, head: str, state: str, starting: tuple[str, str] | None
) -> Mapping[tuple[str, str], float] | None:
    """Volts at everything that hangs on a head; None if it does not settle above nothing."""
    book = tree.book
    drawing = {key: one for key, one in loads_of(tree, state).items() if tree.heads[key[0]] == head}
    if not drawing:
        return {}
    nominal = next(book.circuits[run.circuit].volts for run in tree.runs if tree.heads[run.id] == head)
    ways = {key: {**tree.ohms(book.runs[key[0]]), "source": book.devices[head].sag_ohm} for key in drawing}
    volts = dict.fromkeys(drawing, nominal)
    for _ in range(SWEEPS):
        through: dict[str, float] = {}
        for key, device in drawing.items():
            amps = _amps(device, book.circuits[book.runs[key[0]].circuit], volts[key], key == starting)
            for piece in ways[key]:
                through[piece] = through.get(piece, 0.0) + amps
        found = {key: nominal - sum(ohm * through[piece] for piece, ohm in ways[key].items()) for key in drawing}
        if min(found.values()) <= 0.0:
            return None
        moved = max(abs(found[key] - volts[key]) for key in drawing)
        volts = found
        if moved < STILL_V:
            return volts
    return None


def _amps(device: PlanDevice, circuit: PlanCircuit, volts: float, starts: bool) -> float:
    if circuit.pattern == "control":
        return circuit.control_a
    if starts:
        return device.start_amps
    if device.keeps_w is not None:
        return device.keeps_w / volts
    return volts / device.keeps_ohm if device.keeps_ohm is not None else device.amps


def check_volts(book: Book) -> Iterator[Finding]:
    """Volts of every device that draws, as the plan says them, and that a cut-out is told."""
    tree = book.once(Tree)
    running: dict[str, float] = {}
    lowest: dict[str, float] = {}
    for head in dict.fromkeys(tree.heads.values()):
        for state in STATES:
            seen = settled(tree, head, state, None)
            if seen is None:
                continue
            for (_, name), volts in seen.items():
                running[name] = min(volts, running.get(name, volts))
                lowest[name] = min(volts, lowest.get(name, volts))
            for key in seen:
                device = book.devices[key[1]]
                control = book.circuits[book.runs[key[0]].circuit].pattern == "control"
                if device.start_amps > device.amps and not control:
                    for (_, name), volts in (settled(tree, head, state, key) or {}).items():
                        lowest[name] = min(volts, lowest[name])
            if not any(device.states for device in book.plan.devices):
                break
    told = {name for one in book.plan.findings if one.code == "cut-out" for name in one.about.split(", ")}
    for device in book.plan.devices:
        for said, found, when in (
            (device.running_v, running.get(device.id), "running"),
            (device.lowest_v, lowest.get(device.id), "at the lowest"),
        ):
            if said is not None and found is not None and abs(said - found) > PLAY_V:
                yield error(
                    "device-volts", device.id, f"said to see {said:.3f} V {when}; solved anew it sees {found:.3f} V"
                )
        least, needs = device.lowest_v, device.cut_out_v
        if least is not None and needs is not None and least < needs and device.id not in told:
            yield error(
                "cut-out-untold", device.id,
                f"sees {least:.2f} V, cuts out below {needs:g} V, and no finding says so",
            )  # fmt: skip
