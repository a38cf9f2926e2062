"""Circuits that bring power: one for each thing, or one for things behind one switch, of one circuit, of one wall."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ribway.models.amounts import parse_amps, parse_percent
from ribway.models.cables import parse_cable
from ribway.models.catalogue.kinds import FEED
from ribway.models.equipment.ends import Ends
from ribway.models.equipment.grid import fault_at
from ribway.models.equipment.groups import (
    Circuits,
    Group,
    branches_of,
    claim_switches,
    groups_of,
    pattern_of,
    switch_of,
)
from ribway.models.equipment.thing import Entry, Thing, nearest

_FUSE_FACTOR = 1.25  # as the sizing room has it: a guided fuse below that would not hold what the user says it carries
_LINE_ORDER = ("main fuse", "isolator", "shunt")


def feed_all(ends: Ends, devices: dict[str, Entry]) -> Circuits:
    """Make the circuits of everything that is fed.

    Args:
        ends: all things; takes faults of things that nothing can feed.
        devices: their entries by id.

    Returns:
        Circuits in the order of the rows of their first members.
    """
    found = Circuits()
    claimed = claim_switches(ends, found)
    line = _in_line(ends)
    for group in groups_of(ends, claimed):
        source = _source(ends, group, claimed, found)
        if source is not None:
            _write(ends, group, source, claimed, line, devices, found)
    return found


def _source(ends: Ends, group: Group, claimed: dict[str, Thing], found: Circuits) -> Thing | None:
    """What feeds a group: the board that its rows name, or the nearest."""
    named = {board.id: (thing, board) for thing in group.members if (board := ends.boards[thing.id]) is not None}
    if len(named) > 1:
        (_, first), (thing, second) = list(named.values())[:2]
        message = f"{group.name} is one circuit, and its rows name the boards {first.row.name} and {second.row.name}"
        ends.faults.append(
            fault_at(ends.file, thing.row.row, ends.titles["board"], second.row.name, first.row.name, message)
        )
        return None
    if named:
        return next(iter(named.values()))[1]
    lead = group.members[0].kind.feed
    if lead is None:
        return None
    start = switch_of(ends, claimed, group.members[0]) or group.members[0]
    source = ends.other_end(start, lead)
    if source is None:
        wanted = " or ".join(kind for kinds in lead.ends for kind in kinds)
        message = f"there is nothing in the sheet to feed {group.members[0].row.name} from: add a row of kind {wanted}"
        ends.faults.append(fault_at(ends.file, group.members[0].row.row, ends.titles["board"], "", wanted, message))
        return None
    rivals = [one for one in ends.things if any(one.kind.answers_to(kind) for kinds in lead.ends for kind in kinds)]
    if len([one for one in rivals if one.kind.device == source.kind.device]) > 1:
        for thing in group.members:
            entry = {"about": thing.id, "what": "board", "value": source.id, "source": "the nearest one"}
            found.assumed.append(entry)
    return source


def _in_line(ends: Ends) -> dict[str, list[Thing]]:
    """What sits in line behind a battery, by the id of what is fed through it: the bus bars, or the nearest board."""
    line: dict[str, list[Thing]] = {}
    batteries = [one for one in ends.things if one.kind.name == "house battery"]
    heads = [one for one in ends.things if one.kind.name == "bus bars" and not one.foreign] or [
        one for one in ends.things if one.kind.name == "fuse board" and not one.foreign
    ]
    for thing in ends.things:
        battery = nearest(thing, batteries)
        head = nearest(battery, heads) if battery else None
        if thing.kind.pattern == "in line" and head is not None:
            line.setdefault(head.id, []).append(thing)
    return {
        key: sorted(things, key=lambda one: (_LINE_ORDER.index(one.kind.name), one.id)) for key, things in line.items()
    }


def _write(
    ends: Ends,
    group: Group,
    source: Thing,
    claimed: dict[str, Thing],
    line: dict[str, list[Thing]],
    devices: dict[str, Entry],
    found: Circuits,
) -> None:
    lead = group.members[0].kind.feed
    if lead is None:
        return
    between = line.get(group.members[0].id, []) if group.single and source.kind.device == "source" else []
    branches = branches_of(ends, group, source, claimed)
    _refuse_heads(ends, branches)
    one_chain = len(branches) == 1 and len(branches[0]) > 1
    loads = [one.id for branch in branches for one in branch]
    name = f"{group.id}.feed" if between else group.id
    circuit: Entry = {"id": name, "name": group.name, "kind": lead.type, "from": source.id}
    circuit["to"] = [*(one.id for one in between), *dict.fromkeys(loads)]
    if between:
        circuit["pattern"] = "chain"
    elif one_chain:
        circuit["pattern"] = pattern_of(branches[0])
    elif any(len(branch) > 1 for branch in branches):
        circuit["pattern"] = "stated"
        found.runs.extend(_stated(name, source, branches))
    circuit.update(_sizes(group.members, devices))
    if lead.can_feed:
        circuit["load_can_feed"] = True
    if circuit.get("fuse"):
        entry = {
            "about": name,
            "what": "fuse",
            "value": circuit["fuse"],
            "source": f"catalogue, {group.members[0].kind.name}",
        }
        found.assumed.append(entry)
    found.circuits.append(circuit)
    found.rows[name] = group.members[0].row.row


def _refuse_heads(ends: Ends, branches: Sequence[Sequence[Thing]]) -> None:
    """Faults of relays without a switch, and of relays and two-way switches in a circuit that branches."""
    for branch in branches:
        head, pattern = branch[0], pattern_of(branch)
        if pattern == "relay" and not any(one.kind.device == "switch" for one in branch):
            message = f"nothing switches the relay {head.row.name}: name its switch in its own row"
        elif len(branches) > 1 and pattern in ("relay", "two-way"):
            message = f"what hangs behind {head.row.name} needs a circuit of its own: the pattern is {pattern}"
        else:
            continue
        ends.faults.append(fault_at(ends.file, head.row.row, ends.titles["switch"], "", "a switch", message))


def _stated(circuit: str, source: Thing, branches: Sequence[Sequence[Thing]]) -> list[Entry]:
    pairs = [pair for branch in branches for pair in zip([source, *branch[:-1]], branch, strict=True)]
    return [
        {"id": f"{circuit}-{number}", "circuit": circuit, "from": a.id, "to": b.id}
        for number, (a, b) in enumerate(pairs, start=1)
    ]


def _sizes(members: Sequence[Thing], devices: dict[str, Entry]) -> Entry:
    """Drop class, least cable and fuse of a circuit: the strictest of its members."""
    leads = [lead for lead in (thing.kind.feed for thing in members) if lead is not None]
    drops = [thing.row.drop or lead.drop or thing.kind.drop for thing, lead in zip(members, leads, strict=True)]
    cables = [lead.least or thing.kind.least for thing, lead in zip(members, leads, strict=True)]
    sizes: dict[str, Any] = {}
    strictest = min((drop for drop in drops if drop), key=_strictness, default="other")
    if strictest != "other":
        sizes["drop"] = strictest
    least = max((cable for cable in cables if cable), key=lambda cable: parse_cable(cable).area_mm2, default="")
    if least:
        sizes["least"] = least
    if len(members) == 1 and members[0].kind.fuse and leads[0].name == FEED:
        amps = devices[members[0].id].get("amps", "")
        # Behind a pump's switch, the pump's fuse is still the circuit's.
        if amps and parse_amps(amps) * _FUSE_FACTOR <= parse_amps(members[0].kind.fuse):
            sizes["fuse"] = members[0].kind.fuse
    return sizes


def _strictness(drop: str) -> float:
    return {"critical": 3.0, "other": 5.0}.get(drop) or parse_percent(drop)
