"""From circuits to runs: which cables there are, between which devices, and what current each carries."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from ribway.models.circuits import NEGATIVES, Circuit, Device, Kind, RunEntry
from ribway.models.project import Project
from ribway.models.run_numbers import ends_of
from ribway.models.surroundings import Surroundings
from ribway.router.circuits.banks import with_banks
from ribway.router.circuits.drawn import GENERATORS, Currents, amps_of, nominal_v
from ribway.router.circuits.joints import contact_ohm, parted
from ribway.router.circuits.leading_back import led_back
from ribway.router.circuits.naming import Naming, stated_names
from ribway.router.circuits.passing import device_amps
from ribway.router.circuits.patterns import Role, Stretch, arranged, stretches
from ribway.router.circuits.stated import stated_ends
from ribway.router.circuits.wishes import NO_WISH, Wish, wish_of
from ribway.router.errors import NameFault
from ribway.router.faults import Collector

Purpose = Literal["main", "circuit", "spare"]

FEEDER_ENDS = frozenset({"source", "board", "inverter", "charger"})
SPARE = "spare"
DRAW_CORD = "draw cord"


@dataclass(frozen=True)
class Run:
    """One cable that has to be laid.

    Args:
        id: stands once in a project.
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
        role: what its pattern uses it for.
        after: id of the run of its circuit through which its current comes; empty at the source.
        draws: devices that take their current behind it and before any other run.
        functions: what each core is for; empty for data and spares.
        by_hand: exactly these ways in this order, if given.
        taped_m: length by tape, if given: no route is computed [m].
        surroundings: where a taped run lies; empty if not said.
        returns_by: id of the run of another circuit that leads its current on back; empty if it comes back by itself.
        extra_ohm: in line with it besides its cores: contacts of the joint at its end, the body behind its earth point [ohm].
        board: mounting board that both ends are fixed on, so that the cable lies on it; empty if there is none.
        wish: what it is asked to share its loom with.
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
    role: Role = "feed"
    after: str = ""
    draws: tuple[str, ...] = ()
    functions: tuple[str, ...] = ()
    by_hand: tuple[str, ...] | None = None
    taped_m: float | None = None
    surroundings: Surroundings | Literal[""] = ""
    returns_by: str = ""
    extra_ohm: float = 0.0
    board: str = ""
    wish: Wish = NO_WISH

    @property
    def cores_in_line(self) -> int:
        """How many of its cores its current passes one after the other: there and back, or one way only."""
        return 1 if len(self.functions) == 1 else 2

    @property
    def loaded_cores(self) -> int:
        """Cores that carry current at once."""
        return self.cores_in_line if self.kind != "data" and self.amps > 0.0 else 0

    @property
    def needs_cores(self) -> int:
        """Conductors that it must have at least; 2 where its pattern says nothing."""
        return len(self.functions) or 2


@dataclass(frozen=True)
class Feed:
    """A circuit with its runs as a tree from the source outwards.

    Args:
        circuit: what the project says.
        volts: nominal [V].
        runs: ids in order from the source; each run's ``after`` is empty or an earlier run.
        amps: running current at the source [A].
        start_amps: current at the source while the worst device starts [A].
        parent: circuit that feeds this circuit's board; empty if its source is fed by none.
        serves: circuits whose current it leads back.
    """

    circuit: Circuit
    volts: float
    runs: tuple[str, ...]
    amps: float
    start_amps: float
    parent: str
    serves: tuple[str, ...] = ()


def derive(project: Project) -> tuple[tuple[Run, ...], tuple[Feed, ...]]:
    """All runs of a project, without spares, and the circuits they make.

    Args:
        project: what the user said; device names are already checked.

    Returns:
        Runs in the order of the project file, and feeds with parents before children.

    Raises:
        RouterFaults: runs that do not fit their circuit.
    """
    project = with_banks(arranged(project))
    devices = {device.id: device for device in project.devices}
    by_source: dict[str, list[Circuit]] = {}
    fed_by: dict[str, str] = {}
    for circuit in project.circuits:
        if circuit.pattern in NEGATIVES:
            continue
        by_source.setdefault(circuit.source, []).append(circuit)
        if circuit.kind != "data":
            for load in circuit.loads:
                if devices[load].kind not in GENERATORS:
                    fed_by[load] = circuit.id
    amps = device_amps(project, devices, by_source)
    wanted: dict[str, list[RunEntry]] = {}
    for entry in project.runs:
        wanted.setdefault(entry.circuit, []).append(entry)
    naming = Naming(project.numbers, stated_names(project.runs))
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
        stated = stated_ends(circuit, wanted.get(circuit.id, []), collector)
        pieces = stretches(circuit, devices, stated)
        volts = nominal_v(circuit, project)
        for load in circuit.loads:
            least_v = devices[load].cut_out_volts
            if circuit.kind == "dc" and least_v is not None and least_v >= volts:
                collector.add(
                    NameFault(
                        f"devices / {load} / cut_out_volts",
                        f"it cuts out below {least_v:g} V, and circuit {circuit.id} has {volts:g} V at its source",
                        "a voltage below that, or the circuit's own volts",
                    )
                )
        made = _runs_of(circuit, pieces, wanted.get(circuit.id, []), devices, amps, naming, collector)
        runs += made
        loads = amps_of(circuit, dict.fromkeys(name for piece in pieces for name in piece.draws), amps, devices)
        total = sum(run for run, _ in loads)
        start = total + max((begin - run for run, begin in loads), default=0.0)
        parent = "" if circuit.pattern in NEGATIVES else fed_by.get(circuit.source, "")
        feeds.append(Feed(circuit, volts, tuple(run.id for run in made), total, start, parent))
    collector.raise_all()
    led = led_back(runs, feeds, project.shop.body_resistance)
    wished = tuple(replace(run, wish=wish_of(project.looms, run.id, run.circuit)) for run in led.runs)
    return (led.runs if project.looms.empty else wished), _parents_first(led.feeds)


def _runs_of(
    circuit: Circuit,
    pieces: Sequence[Stretch],
    wanted: Sequence[RunEntry],
    devices: Mapping[str, Device],
    amps: Currents,
    naming: Naming,
    collector: Collector,
) -> list[Run]:
    entries = {(entry.a, entry.b): entry for entry in wanted}
    pairs = [(piece.a, piece.b) for piece in pieces]
    for key in entries:
        if key not in pairs:
            collector.add(
                NameFault(
                    f"runs / {entries[key].id or circuit.id}",
                    f"circuit {circuit.id} has no run from {key[0]} to {key[1]}",
                    "one of " + ", ".join(f"{a} to {b}" for a, b in pairs),
                )
            )
    pieces, entries = parted(pieces, entries)
    pairs = [(piece.a, piece.b) for piece in pieces]
    own = [entry.id if (entry := entries.get(pair)) else None for pair in pairs]
    ends = [ends_of(circuit.id, piece.role, piece.a, piece.b) for piece in pieces]
    for fault in naming.taken(ends, own):
        collector.add(fault)
    ids = naming.of(circuit.id, ends, own)
    out = []
    for number, piece in enumerate(pieces):
        entry = entries.get((piece.a, piece.b))
        below = [name for index in beyond(pieces, number) for name in pieces[index].draws]
        loads = amps_of(circuit, dict.fromkeys(below), amps, devices)
        run = sum(value for value, _ in loads)
        start = run + max((begin - value for value, begin in loads), default=0.0)
        purpose: Purpose = "main" if circuit.kind == "dc" and devices[piece.b].kind in FEEDER_ENDS else "circuit"
        out.append(
            Run(
                ids[number],
                circuit.id,
                piece.a,
                piece.b,
                circuit.kind,
                purpose,
                (entry.cable if entry else None) or circuit.cable,
                circuit.least,
                entry.via if entry else (),
                entry.avoid if entry else (),
                _tail(entry.tail_a if entry else None, devices[piece.a]),
                _tail(entry.tail_b if entry else None, devices[piece.b]),
                run,
                start,
                piece.role,
                ids[piece.after] if piece.after >= 0 else "",
                piece.draws,
                piece.functions,
                extra_ohm=contact_ohm(devices[piece.b]) * (1 if len(piece.functions) == 1 else 2),
                board=same_board(devices[piece.a], devices[piece.b]),
            )
        )
    return out


def same_board(a: Device, b: Device) -> str:
    """The mounting board that two devices share; empty if they do not."""
    return a.at.on if a.at.on is not None and a.at.on == b.at.on else ""


def _tail(stated: float | None, device: Device) -> float | None:
    return stated if stated is not None else device.tail


def beyond(pieces: Sequence[Stretch], number: int) -> list[int]:
    """A stretch and all that get their current through it, by index."""
    found = {number}
    for index, piece in enumerate(pieces):
        if piece.after in found:
            found.add(index)
    return sorted(found)


def _parents_first(feeds: Sequence[Feed]) -> tuple[Feed, ...]:
    done: list[Feed] = []
    names: set[str] = {""}
    rest = list(feeds)
    while rest:
        back = [feed for feed in rest if feed.circuit.pattern in NEGATIVES]  # before those whose current they lead back
        ready = back or [feed for feed in rest if feed.parent in names or feed.parent == feed.circuit.id]
        if not ready:
            return (*done, *rest)
        done += ready
        names |= {feed.circuit.id for feed in ready}
        rest = [feed for feed in rest if feed not in ready]
    return tuple(done)
