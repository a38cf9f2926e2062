"""Patterns of circuits: which stretches of cable each asks for, what their cores are, and what feeds what.

home            source -> each load by itself (a sub-board is a home run to a board)
chain           source -> load -> load
switched chain  source -> switch -> lamp -> lamp; both cores pass the switch's box
switch drop     source -> first lamp, a leg down to the switch and back, then lamp -> lamp
two-way         source -> switch -> switch -> lamp -> lamp; two travellers and the return between the switches
dimmer          as a switched chain, with the dimmer at its head
relay           source -> relay -> load -> load; a thin control lead of its own fuse goes from the relay to each switch.
                Without a relay among its devices, the relay sits at the source
stated          as the project's runs say
bond            negative bar -> earth point of the body: one core, for all that comes back through the body
shared negative source -> load -> load: the one core back that several circuits share; follows from their return

A home run whose current comes back through the body has one core, and a short lead to the earth point; one that shares
its negative has one core, and nothing else.

Source: common practice of house and vehicle wiring, no source; the names are the trade's.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from ribway.models.circuits import NEGATIVES, Circuit, Device, RunEntry
from ribway.models.project import Project
from ribway.router.circuits.negatives import with_negatives

Role = Literal["feed", "switch leg", "travellers", "control", "return"]
Pair = tuple[str, str]

CONTROL_ENDING = ".control"
STARS = frozenset({"home", "sub-board", "control", "bond"})
"""Patterns in which each run leads from the source to one load, and is sized by itself."""
BREAKS_LOAD = frozenset({"switched chain", "switch drop", "two-way", "dimmer"})
"""Patterns in which the load's own current passes the switch."""


@dataclass(frozen=True)
class Stretch:
    """One cable of a circuit.

    Args:
        a, b: devices at its ends, ``a`` nearer the source.
        after: index of the stretch whose current comes through before; -1 at the source.
        draws: devices that take their current behind this stretch and before any other.
        role: what it is for.
        functions: what each core is for; empty where the cable itself decides (data).
    """

    a: str
    b: str
    after: int
    draws: tuple[str, ...]
    role: Role
    functions: tuple[str, ...]


def arranged(project: Project) -> Project:
    """Put switches at the head of what they switch, and give the control leads of relays circuits of their own.

    A control lead has its own small current and its own fuse, so that it is sized for these alone.

    Args:
        project: what the user said.

    Returns:
        The project; in its relay circuits only what carries the load is left. Arranging it again changes nothing.
    """
    kinds = {device.id: device.kind for device in project.devices}
    circuits: list[Circuit] = []
    moved: dict[tuple[str, str], str] = {}
    for circuit in project.circuits:
        switches = tuple(load for load in circuit.loads if kinds[load] == "switch")
        if circuit.pattern != "relay" or not switches:
            head = _switch_head(circuit, kinds)
            rest = tuple(load for load in circuit.loads if load not in head)
            circuits.append(circuit.model_copy(update={"loads": (*head, *rest)}) if head else circuit)
            continue
        rest = tuple(load for load in circuit.loads if load not in switches)
        relay = relay_of(circuit, kinds)
        at = relay or circuit.source
        own = (relay,) if relay else ()
        power = (*own, *(load for load in rest if load != relay))
        name = circuit.id + CONTROL_ENDING
        circuits.append(circuit.model_copy(update={"loads": power}))
        control = {"id": name, "name": f"{circuit.name}: control", "source": at, "loads": switches}
        plain = {"drop": "other", "cable": None, "least": None, "fuse": None, "load_can_feed": False}
        circuits.append(circuit.model_copy(update={**control, **plain, "pattern": "control"}))
        moved.update({(circuit.id, switch): name for switch in switches})
    runs = tuple(
        run.model_copy(update={"circuit": moved[run.circuit, run.b]}) if (run.circuit, run.b) in moved else run
        for run in project.runs
    )
    return with_negatives(project.model_copy(update={"circuits": tuple(circuits), "runs": runs}))


def _switch_head(circuit: Circuit, kinds: Mapping[str, str]) -> tuple[str, ...]:
    """What a circuit's loads hang behind, in its pattern: its switches or its dimmer."""
    switches = tuple(load for load in circuit.loads if kinds[load] == "switch")
    match circuit.pattern:
        case "switched chain" | "two-way":
            return switches
        case "dimmer":
            return switches or (relay_of(circuit, kinds),)
    return ()


def relay_of(circuit: Circuit, kinds: Mapping[str, str]) -> str:
    """The relay or module of a relay circuit: its first controller; empty if it sits at the source."""
    return next((load for load in circuit.loads if kinds[load] == "controller"), "")


def head_of(circuit: Circuit, kinds: Mapping[str, str]) -> tuple[str, ...]:
    """Devices of a chain that keep their places before the loads: all up to the last that is no plain load.

    A fuse, switch, relay or board in a chain stands where it stands for a reason: only loads behind it change places.

    Args:
        circuit: the circuit.
        kinds: kind by device.
    """
    plain = ("load", "outlet")
    last = max((place for place, load in enumerate(circuit.loads) if kinds[load] not in plain), default=-1)
    return circuit.loads[: last + 1]


def stretches(circuit: Circuit, devices: Mapping[str, Device], stated: Sequence[Pair]) -> tuple[Stretch, ...]:
    """The cables of a circuit, those nearer the source first.

    Args:
        circuit: the circuit; its loads in the order in which the cable reaches them.
        devices: by id.
        stated: ends of its stated runs, if its pattern is stated.

    Returns:
        One stretch a cable.
    """
    source, loads = circuit.source, circuit.loads
    if circuit.pattern == "switch drop":
        return _switch_drop(circuit, devices)
    if circuit.return_ == "chassis":
        return _through_body(circuit)
    if circuit.pattern in STARS:
        pairs = [(source, load) for load in loads]
    elif circuit.pattern == "stated":
        pairs = list(stated)
    else:
        pairs = list(pairwise((source, *loads)))
    feeder = any(devices[load].kind in ("source", "board", "inverter", "charger") for load in loads)
    ends: dict[str, int] = {}
    at_source = circuit.pattern == "relay" and not any(devices[load].kind == "controller" for load in loads)
    live: dict[str, str] = {source: "switched" if at_source else "live"}
    out: list[Stretch] = []
    for number, (a, b) in enumerate(pairs):
        both = circuit.pattern == "two-way" and devices[a].kind == devices[b].kind == "switch"
        back: Role = "return" if circuit.pattern in NEGATIVES else "feed"
        role: Role = "control" if circuit.pattern == "control" else "travellers" if both else back
        says = live.get(a, "live")
        turned = "dimmed" if circuit.pattern == "dimmer" else "switched"
        live[b] = turned if not feeder and _switches(circuit, devices[b]) else says
        out.append(Stretch(a, b, ends.get(a, -1) if a != source else -1, (b,), role, _functions(circuit, role, says)))
        ends.setdefault(b, number)
    return tuple(out)


def _through_body(circuit: Circuit) -> tuple[Stretch, ...]:
    """One core to each load, and a lead from there to the earth point; what the load takes flows through both."""
    out: list[Stretch] = []
    for load in circuit.loads:
        out.append(Stretch(circuit.source, load, -1, (), "feed", _functions(circuit, "feed", "live")))
        out.append(Stretch(load, circuit.earth or "", len(out) - 1, (load,), "return", ("negative",)))
    return tuple(out)


def _switches(circuit: Circuit, device: Device) -> bool:
    """Whether what lies behind a device is live only when it is on."""
    return device.kind == "switch" or (circuit.pattern in ("dimmer", "relay") and device.kind == "controller")


def _switch_drop(circuit: Circuit, devices: Mapping[str, Device]) -> tuple[Stretch, ...]:
    """Power comes to the first lamp; what all lamps take goes down the leg and back before any of them has it."""
    switch = next(load for load in circuit.loads if devices[load].kind == "switch")
    first, *others = (load for load in circuit.loads if load != switch)
    out = [
        Stretch(circuit.source, first, -1, (), "feed", _functions(circuit, "feed", "live")),
        Stretch(first, switch, 0, (switch, first), "switch leg", _functions(circuit, "switch leg", "live")),
    ]
    for number, (a, b) in enumerate(pairwise((first, *others)), start=2):
        after = 1 if number == 2 else number - 1
        out.append(Stretch(a, b, after, (b,), "feed", _functions(circuit, "feed", "switched")))
    return tuple(out)


def _functions(circuit: Circuit, role: Role, says: str) -> tuple[str, ...]:
    if circuit.kind == "data":
        return ()
    positive, negative = ("line", "neutral") if circuit.kind == "ac" else ("positive", "negative")
    earth = ("earth",) if circuit.kind == "ac" else ()
    own = positive if says == "live" else f"{says} {positive}"
    if role == "return":
        return (negative,)
    if role == "feed" and circuit.kind == "dc" and circuit.return_ in ("chassis", "shared"):
        return (own,)
    match role:
        case "switch leg":
            return (positive, f"switched {positive}", *earth)
        case "travellers":
            return ("traveller", "traveller", negative, *earth)
        case "control":
            return (f"control {positive}", f"switched control {positive}")
    return (own, negative, *earth)


def order_is_free(circuit: Circuit, wishes: Sequence[RunEntry]) -> bool:
    """Whether the loads of a circuit may change places: not if the user said so, or wishes something of one stretch."""
    chained = circuit.pattern in ("chain", "relay", "shared negative") or circuit.pattern in BREAKS_LOAD
    return chained and circuit.order == "cheapest" and not any(wish.circuit == circuit.id for wish in wishes)
