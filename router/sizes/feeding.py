"""The DC network of the finished van: which run feeds which, resistances on the way, volts at every device.

Volts are solved with everything running that draws in a state of the van, and while each motor starts, from the nominal
voltage and, where it is stated in ohms, the battery's own resistance; loads keep their current, power or resistance as they
are said to.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ribway.models.circuits import NEGATIVES, Circuit, Device
from ribway.models.shop import Shop
from ribway.router.circuits.drawn import at_other_volts, limit_percent, own_amps
from ribway.router.circuits.runs import Feed, Run
from ribway.sizing.errors import NoOperatingPointError
from ribway.sizing.feeders.states import STATES
from ribway.sizing.network.devices import device_volts
from ribway.sizing.network.parts import Load, LoadKind, Network, Piece, Source

CHARGING = 1.2
"""Highest over nominal voltage, 14.4 V on 12 V: common practice, no source."""
HEAD = "source "
"""Before the name of a source, so that no run is called the same."""
KINDS: dict[str, LoadKind] = {"constant current": "amps", "constant power": "watts", "resistance": "ohms"}


@dataclass(frozen=True)
class Wire:
    """A laid run as part of the network.

    Its current comes by the run before it. It goes back by its own second core to where it began, or by another run: the
    bond of the body, the negative that circuits share.

    Args:
        run: the run.
        feed: its circuit.
        root: the device at the head of everything, that makes the current.
        before: run that feeds it, in its circuit or the one above; empty at the root.
        back: run by whose way back its current goes on; empty if that begins at the root.
        plus_ohm, minus_ohm: of what it adds to the way there and to the way back, hot [ohm].
        copper_ohm: of its cores in line, hot [ohm].
        before_hot_ohm: there and back from the root to its end but for its own copper [ohm].
        least_ohm: the least that a short at its end meets in cables from the root [ohm]: there and back, or only there where
            the body, which the negative is bonded to, may lead it back.
    """

    run: Run
    feed: Feed
    root: str
    before: str
    back: str
    plus_ohm: float
    minus_ohm: float
    copper_ohm: float
    before_hot_ohm: float
    least_ohm: float

    @property
    def closed(self) -> bool:
        """Whether a short at its end goes back by the way that is known: not along a core that only leads to another."""
        return self.feed.circuit.return_ != "chassis" or bool(self.run.draws)

    @property
    def negative(self) -> bool:
        """Whether it only leads current back, so that nothing is drawn through it."""
        return self.feed.circuit.pattern in NEGATIVES


@dataclass(frozen=True)
class SeenVolts:
    """Volts at a device: running, the lowest while anything starts, and what starts then."""

    running_v: float
    lowest_v: float
    lowest_when: str


def wires_of(
    feeds: Sequence[Feed], runs: Mapping[str, Run], ohms: Mapping[str, tuple[float, float]]
) -> dict[str, Wire]:
    """All DC runs of circuits that are laid as a whole.

    Args:
        feeds: circuits.
        runs: by id.
        ohms: resistance of one core, hot, and the least it may be, by laid run [ohm].
    """
    whole = [feed for feed in feeds if feed.circuit.kind == "dc" and all(run in ohms for run in feed.runs)]
    feed_of = {run: feed for feed in whole for run in feed.runs}
    bonded = any(feed.circuit.pattern == "bond" for feed in feeds)
    passing = {(feed.circuit.id, device): run for feed in whole for run in feed.runs for device in runs[run].draws}
    powers = {device: circuit for feed in whole if feed.circuit.pattern not in NEGATIVES for circuit, device in
              ((feed.circuit.id, load) for load in feed.circuit.loads)}  # fmt: skip

    def before(run: str) -> str:
        feed = feed_of[run]
        if runs[run].after:
            return runs[run].after
        above = feed.parent or (powers.get(feed.circuit.source, "") if feed.circuit.pattern in NEGATIVES else "")
        return passing.get((above, feed.circuit.source), "") if above != feed.circuit.id else ""

    def back(run: str) -> str:
        by = runs[run].returns_by
        return by if by in feed_of else before(run)

    def summed(run: str, hot: int) -> tuple[float, float]:
        """What a run adds to the way there, and to the way back [ohm]."""
        one, core = runs[run], ohms[run][1 - hot]
        extra = hot * one.extra_ohm  # contacts and the body may be better than said: the least has none of them
        if feed_of[run].circuit.pattern in NEGATIVES:
            return 0.0, 0.0 if bonded and not hot else core + extra
        if one.cores_in_line == 1:
            return core + extra, 0.0
        return core + extra / 2.0, 0.0 if bonded and not hot else core + extra / 2.0

    def way(run: str, hot: int) -> float:
        """There and back to a run's end [ohm]."""
        total, at = 0.0, run
        while at:
            total, at = total + summed(at, hot)[0], before(at)
        at = run
        while at:
            total, at = total + summed(at, hot)[1], back(at)
        return total

    out: dict[str, Wire] = {}
    for name, feed in feed_of.items():
        head = name
        while before(head):
            head = before(head)
        cores = runs[name].cores_in_line
        plus, minus = summed(name, 1)
        rest = way(name, 1) - cores * ohms[name][0], way(name, 0)
        root = feed_of[head].circuit.source
        out[name] = Wire(runs[name], feed, root, before(name), back(name), plus, minus, cores * ohms[name][0], *rest)
    return out


def internal_ohm(device: Device, nominal_v: float, shop: Shop) -> float | None:
    """A source's own resistance [ohm]; None if nobody said anything of it."""
    if device.internal_ohms is not None:
        return device.internal_ohms
    short = device.short_circuit_a
    if short is None and device.panels is None:
        short = shop.source_short_circuit
    return None if short is None or short <= 0.0 else CHARGING * nominal_v / short


def kept(device: Device, circuit: Circuit, volts: float, shop: Shop) -> tuple[LoadKind, float]:
    """What a device keeps whatever its voltage: amps [A], watts [W] or ohms [ohm]; 0 A if it draws nothing.

    Args:
        device: the device.
        circuit: what feeds it.
        volts: nominal voltage of that [V].
        shop: its settings.
    """
    amps, _ = own_amps(device, volts, limit_percent(circuit, shop), at_other_volts(circuit, shop))
    if amps <= 0.0:
        return "amps", 0.0
    if device.amps is None and device.output is not None:
        return "watts", amps * min(device.output.lowest_input, volts)
    kind = KINDS[device.load]
    if kind == "watts":
        return kind, device.watts if device.watts is not None else amps * volts
    return (kind, volts / amps) if kind == "ohms" else (kind, amps)


def _closed(wires: Sequence[Wire]) -> list[Wire]:
    """Wires whose current comes and goes by others of them: where a feeder has no route, its body return leads nowhere."""
    kept = list(wires)
    while True:
        names = {"", *(wire.run.id for wire in kept)}
        closed = [wire for wire in kept if wire.before in names and wire.back in names]
        if len(closed) == len(kept):
            return closed
        kept = closed


def seen_volts(
    wires: Mapping[str, Wire], devices: Mapping[str, Device], shop: Shop
) -> tuple[dict[str, SeenVolts], dict[str, str]]:
    """Volts at every device that draws, in the worst state of the van.

    Args:
        wires: the network.
        devices: by id.
        shop: its settings.

    Returns:
        Volts by device; and by source, in words, why its wires cannot feed what hangs on it.
    """
    found: dict[str, SeenVolts] = {}
    faults: dict[str, str] = {}
    for root in dict.fromkeys(wire.root for wire in wires.values()):
        mine = _closed([wire for wire in wires.values() if wire.root == root])
        if not mine:
            continue
        nominal_v = mine[0].feed.volts
        # Nominal volts are those at the terminals under load, unless the battery's resistance is stated as such.
        source = Source(nominal_v, devices[root].internal_ohms or 0.0, f"{HEAD}{root}+", f"{HEAD}{root}-")
        pieces: list[Piece] = []
        for wire in mine:
            there, back, end = wire.before or HEAD + root, wire.back or HEAD + root, wire.run.id
            if not wire.negative:
                pieces.append(Piece(f"{end}+", f"{there}+", f"{end}+", wire.plus_ohm))
            pieces.append(Piece(f"{end}-", f"{back}-", f"{end}-", wire.minus_ohm))
        solved: set[tuple[str, ...]] = set()
        for state in STATES:
            loads = _loads(mine, devices, shop, state)
            key = tuple(load.id for load in loads)
            if not loads or key in solved:
                continue
            solved.add(key)
            try:
                seen = device_volts(Network(source, tuple(pieces), tuple(loads)))
            except NoOperatingPointError as fault:
                faults[root] = str(fault)
                continue
            for one in seen:
                name = one.load.split("/")[1]
                when = one.lowest_when.split("/")[1] if one.lowest_when else ""
                new = SeenVolts(one.running_v, one.lowest_v, when)
                old = found.get(name)
                found[name] = new if old is None else _worse(old, new)
    return found, faults


def _worse(old: SeenVolts, new: SeenVolts) -> SeenVolts:
    lowest = new if new.lowest_v < old.lowest_v else old
    return SeenVolts(min(old.running_v, new.running_v), lowest.lowest_v, lowest.lowest_when)


def _loads(wires: Sequence[Wire], devices: Mapping[str, Device], shop: Shop, state: str) -> list[Load]:
    out: list[Load] = []
    for wire in (one for one in wires if not one.negative):
        circuit, volts = wire.feed.circuit, wire.feed.volts
        for name in wire.run.draws:
            device, where = devices[name], f"{wire.run.id}/{name}"
            if circuit.pattern == "control":
                out.append(Load(where, f"{wire.run.id}+", f"{wire.run.id}-", "amps", circuit.control_amps))
                continue
            # A charger or a battery at the fed end gives; a board's stated current is the sum of what hangs on it.
            gives = circuit.load_can_feed and device.kind in ("charger", "source")
            if gives or device.kind == "board" or (device.states and state not in device.states):
                continue
            kind, value = kept(device, circuit, volts, shop)
            run, start = own_amps(device, volts, limit_percent(circuit, shop), at_other_volts(circuit, shop))
            if run <= 0.0 and start <= 0.0:
                continue
            starts = start if start > run else None
            plus, minus = f"{wire.run.id}+", f"{wire.run.id}-"
            out.append(Load(where, plus, minus, kind, value, starts, device.cut_out_volts))
    return out
