"""From circuits to runs: which cables there are, between which devices, and what current each carries."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from ribway.models.circuits import Circuit, Device, Kind, RunEntry
from ribway.models.project import Project
from ribway.router.errors import NameFault
from ribway.router.faults import Collector

Purpose = Literal["main", "circuit", "spare"]

FEEDER_ENDS = frozenset({"source", "board", "inverter", "charger"})
GENERATORS = frozenset({"source", "inverter", "charger"})
"""What makes its own current: neither load nor drop of what feeds it reaches what it feeds."""
SPARE = "spare"
DRAW_CORD = "draw cord"


@dataclass(frozen=True)
class Run:
    """One cable that has to be laid.

    Args:
        id: never reused within a project.
        circuit: id of its circuit; empty for a spare.
        a, b: ids of the devices at its ends; ``a`` is nearer the source.
        kind: dc, ac or data.
        purpose: main (feeds a board or a source), circuit or spare.
        cable: this spelling and no other, if given.
        least: no thinner than this spelling, if given.
        via, avoid: ways it must use in this order, or must not use.
        tail_a_m, tail_b_m: tails the user gave [m].
        amps: greatest running current [A].
        start_amps: greatest current while a device on it starts [A].
    """

    id: str
    circuit: str
    a: str
    b: str
    kind: Kind
    purpose: Purpose
    cable: str | None
    least: str | None
    via: tuple[str, ...]
    avoid: tuple[str, ...]
    tail_a_m: float | None
    tail_b_m: float | None
    amps: float
    start_amps: float


@dataclass(frozen=True)
class Feed:
    """A circuit with its runs as a tree from the source outwards.

    Args:
        circuit: what the project says.
        volts: nominal [V].
        runs: ids in order from the source; each run's ``a`` is the source or an earlier run's ``b``.
        amps: running current at the source [A].
        start_amps: current at the source while the worst device starts [A].
        parent: circuit that feeds this circuit's board; empty if its source is fed by none.
    """

    circuit: Circuit
    volts: float
    runs: tuple[str, ...]
    amps: float
    start_amps: float
    parent: str


def derive(project: Project) -> tuple[tuple[Run, ...], tuple[Feed, ...]]:
    """All runs of a project, without spares, and the circuits they make.

    Args:
        project: what the user said; device names are already checked.

    Returns:
        Runs in the order of the project file, and feeds with parents before children.

    Raises:
        RouterFaults: runs that do not fit their circuit.
    """
    devices = {device.id: device for device in project.devices}
    by_source: dict[str, list[Circuit]] = {}
    fed_by: dict[str, str] = {}
    for circuit in project.circuits:
        by_source.setdefault(circuit.source, []).append(circuit)
        if circuit.kind != "data":
            for load in circuit.loads:
                if devices[load].kind not in GENERATORS:
                    fed_by[load] = circuit.id
    amps = _device_amps(project, devices, by_source)
    wanted: dict[str, list[RunEntry]] = {}
    for entry in project.runs:
        wanted.setdefault(entry.circuit, []).append(entry)
    collector = Collector()
    runs: list[Run] = []
    feeds: list[Feed] = []
    for circuit in project.circuits:
        backwards = [load for load in circuit.loads if devices[load].kind == "source"]
        if circuit.kind != "data" and backwards and not circuit.load_can_feed:
            collector.add(
                NameFault(
                    f"circuits / {circuit.id} / to",
                    f"{', '.join(backwards)} is a source and stands at the fed end",
                    "write the circuit from the source outwards, or say load_can_feed: true if both ends feed it",
                )
            )
        pairs = _pairs(circuit, wanted.get(circuit.id, []), collector)
        volts = nominal_v(circuit, project)
        made = _runs_of(circuit, pairs, wanted.get(circuit.id, []), devices, amps, collector)
        runs += made
        loads = [amps[load] for load in dict.fromkeys(b for _, b in pairs)] if circuit.kind != "data" else []
        total = sum(run for run, _ in loads)
        start = total + max((begin - run for run, begin in loads), default=0.0)
        feeds.append(Feed(circuit, volts, tuple(run.id for run in made), total, start, fed_by.get(circuit.source, "")))
    collector.raise_all()
    return tuple(runs), _parents_first(feeds)


def _device_amps(
    project: Project, devices: Mapping[str, Device], by_source: Mapping[str, Sequence[Circuit]]
) -> dict[str, tuple[float, float]]:
    """Running and starting current of every device, what it passes on to circuits of the feeding kind included."""
    found: dict[str, tuple[float, float]] = {}

    def of(name: str, volts: float, kind: Kind, above: tuple[str, ...]) -> tuple[float, float]:
        if name in found:
            return found[name]
        device = devices[name]
        run, start = own_amps(device, volts)
        # A board with currents of its own keeps them (the user's diversity); anything else adds what it passes on.
        if device.kind not in GENERATORS and not (device.kind == "board" and run > 0.0) and name not in above:
            below = [
                of(load, circuit.volts or volts, kind, (*above, name))
                for circuit in by_source.get(name, [])
                if circuit.kind == kind
                for load in circuit.loads
            ]
            steps = [start - run, *(begin - amps for amps, begin in below)]
            run += sum(amps for amps, _ in below)
            start = run + max(steps)
        found[name] = (run, start)
        return found[name]

    for circuit in project.circuits:
        if circuit.kind != "data":
            for load in circuit.loads:
                of(load, nominal_v(circuit, project), circuit.kind, (circuit.source,))
    for name in devices:
        of(name, project.shop.volts, "dc", ())
    return found


def nominal_v(circuit: Circuit, project: Project) -> float:
    """Nominal voltage of a circuit [V]."""
    return circuit.volts or (230.0 if circuit.kind == "ac" else project.shop.volts)


def own_amps(device: Device, volts: float) -> tuple[float, float]:
    """What a device itself draws, running and starting [A]."""
    run = device.amps if device.amps is not None else (device.watts or 0.0) / volts
    return run, max(device.start_amps or 0.0, run)


def _pairs(circuit: Circuit, wanted: Sequence[RunEntry], collector: Collector) -> list[tuple[str, str]]:
    if circuit.pattern == "home":
        return [(circuit.source, load) for load in circuit.loads]
    if circuit.pattern == "chain":
        return list(zip((circuit.source, *circuit.loads[:-1]), circuit.loads, strict=True))
    pairs: list[tuple[str, str]] = []
    reached = {circuit.source}
    for entry in wanted:
        if entry.a not in reached:
            collector.add(
                NameFault(
                    f"runs / {entry.id or circuit.id}",
                    f"{entry.a} is not fed yet at that point of circuit {circuit.id}",
                    f"runs in order from {circuit.source} outwards, each starting where one before it ends",
                )
            )
        reached.add(entry.b)
        pairs.append((entry.a, entry.b))
    missing = [load for load in circuit.loads if load not in reached]
    if missing:
        collector.add(
            NameFault(
                f"circuits / {circuit.id} / to", f"no stated run reaches {', '.join(missing)}", "a run to each load"
            )
        )
    return pairs


def _runs_of(
    circuit: Circuit,
    pairs: Sequence[tuple[str, str]],
    wanted: Sequence[RunEntry],
    devices: Mapping[str, Device],
    amps: Mapping[str, tuple[float, float]],
    collector: Collector,
) -> list[Run]:
    entries = {(entry.a, entry.b): entry for entry in wanted}
    for key in entries:
        if key not in pairs:
            collector.add(
                NameFault(
                    f"runs / {entries[key].id or circuit.id}",
                    f"circuit {circuit.id} has no run from {key[0]} to {key[1]}",
                    "one of " + ", ".join(f"{a} to {b}" for a, b in pairs),
                )
            )
    out = []
    for number, (a, b) in enumerate(pairs, start=1):
        entry = entries.get((a, b))
        below = downstream(pairs, (a, b))
        loads = [amps[name] for name in below] if circuit.kind != "data" else []
        run = sum(value for value, _ in loads)
        start = run + max((begin - value for value, begin in loads), default=0.0)
        name = circuit.id if len(pairs) == 1 else f"{circuit.id}-{number}"
        purpose: Purpose = "main" if circuit.kind == "dc" and devices[b].kind in FEEDER_ENDS else "circuit"
        out.append(
            Run(
                entry.id if entry and entry.id else name,
                circuit.id,
                a,
                b,
                circuit.kind,
                purpose,
                (entry.cable if entry else None) or circuit.cable,
                circuit.least,
                entry.via if entry else (),
                entry.avoid if entry else (),
                _tail(entry.tail_a if entry else None, devices[a]),
                _tail(entry.tail_b if entry else None, devices[b]),
                run,
                start,
            )
        )
    return out


def _tail(stated: float | None, device: Device) -> float | None:
    return stated if stated is not None else device.tail


def downstream(pairs: Sequence[tuple[str, str]], pair: tuple[str, str]) -> list[str]:
    """Devices that a run feeds: its own far end and all that hangs on it."""
    reached = [pair[1]]
    for a, b in pairs:
        if (a, b) != pair and a in reached and b not in reached:
            reached.append(b)
    return reached


def _parents_first(feeds: Sequence[Feed]) -> tuple[Feed, ...]:
    done: list[Feed] = []
    names: set[str] = {""}
    rest = list(feeds)
    while rest:
        ready = [feed for feed in rest if feed.parent in names or feed.parent == feed.circuit.id]
        if not ready:
            return (*done, *rest)
        done += ready
        names |= {feed.circuit.id for feed in ready}
        rest = [feed for feed in rest if feed not in ready]
    return tuple(done)
