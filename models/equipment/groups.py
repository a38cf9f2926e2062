"""Which things of a sheet are fed together: what shares a circuit, a switch, or, among lights, a wall or zone."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from ribway.models.equipment.ends import RELAY, Ends
from ribway.models.equipment.thing import Entry, Thing, nearest
from ribway.models.spelling import folded, slug

_OWN_SWITCH = frozenset(("reading light",))
"""Lights that usually carry their own switch, so that no switch is guessed for them."""
_VALID = frozenset("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_.-")


@dataclass
class Circuits:
    """What came out.

    Attributes:
        circuits: as the project file gives them.
        runs: stated runs.
        assumed: boards and switches that nobody named.
        rows: row of the sheet that each circuit stems from, by circuit id.
    """

    circuits: list[Entry] = field(default_factory=list)
    runs: list[Entry] = field(default_factory=list)
    assumed: list[Entry] = field(default_factory=list)
    rows: dict[str, int] = field(default_factory=dict)


@dataclass(frozen=True)
class Group:
    """Things fed together.

    Attributes:
        id, name: of the circuit.
        members: what is fed.
        single: whether it is one thing by itself.
    """

    id: str
    name: str
    members: tuple[Thing, ...]
    single: bool


def _fed(ends: Ends) -> list[Thing]:
    """Things of the sheet that have a feed, and that no circuit of the project file feeds."""
    fed = []
    for thing in ends.things:
        lead = thing.kind.feed
        if lead and lead.way == "in" and not thing.foreign and (lead.type, thing.id) not in ends.fed:
            fed.append(thing)
    return fed


def switch_of(ends: Ends, claimed: Mapping[str, Thing], thing: Thing) -> Thing | None:
    """The switch that a thing hangs behind.

    Args:
        ends: all things.
        claimed: switches that were guessed.
        thing: the thing.

    Returns:
        The one its row names, or the guessed one, or None.
    """
    return ends.switches[thing.id] or claimed.get(thing.id)


def _light_key(thing: Thing) -> str:
    return thing.row.zone or thing.row.place.wall or "lights"


def claim_switches(ends: Ends, found: Circuits) -> dict[str, Thing]:
    """Give light switches that no row names to the nearest lights that name no switch, each to one group.

    Args:
        ends: all things.
        found: takes what was guessed.

    Returns:
        Switch by id of the light.
    """
    used = ends.named_switches
    free = [one for one in ends.things if one.kind.family == "light switch" and one.id not in used and not one.foreign]
    groups: dict[str, list[Thing]] = {}
    for thing in _fed(ends):
        free_light = thing.kind.is_light and thing.kind.name not in _OWN_SWITCH
        if free_light and ends.switches[thing.id] is None and not thing.row.circuit:
            groups.setdefault(_light_key(thing), []).append(thing)
    pairs = sorted(
        (round(min(switch.distance_m(lamp) for lamp in lamps), 3), switch.id, key)
        for switch in free
        for key, lamps in groups.items()
    )
    claimed: dict[str, Thing] = {}
    taken: set[str] = set()
    for _, switch_id, key in pairs:
        if switch_id in taken or key in taken:
            continue
        taken |= {switch_id, key}
        switch = next(one for one in free if one.id == switch_id)
        for lamp in groups[key]:
            claimed[lamp.id] = switch
            source = "the nearest light switch that no row names"
            found.assumed.append({"about": lamp.id, "what": "switch", "value": switch.id, "source": source})
    return claimed


def groups_of(ends: Ends, claimed: dict[str, Thing]) -> list[Group]:
    """Part what is to be fed into circuits.

    Args:
        ends: all things.
        claimed: switches that were guessed.

    Returns:
        The circuits in the order of the rows of their first members.
    """
    members: dict[tuple[str, str, str], list[Thing]] = {}
    for thing in _fed(ends):
        switch, board = switch_of(ends, claimed, thing), ends.boards[thing.id]
        kind: str = thing.kind.feed.type if thing.kind.feed else "dc"
        if thing.row.circuit:
            key: tuple[str, str, str] = ("circuit", folded(thing.row.circuit), kind)
        elif switch is not None:
            key = ("switch", switch.id, kind)
        elif thing.kind.is_light:
            key = ("lights", folded(_light_key(thing)), board.id if board else "")
        else:
            key = ("own", thing.id, kind)
        members.setdefault(key, []).append(thing)
    return [_group(key, tuple(things), ends, claimed) for key, things in members.items()]


def _group(key: tuple[str, str, str], members: tuple[Thing, ...], ends: Ends, claimed: dict[str, Thing]) -> Group:
    first, lights = members[0], all(thing.kind.is_light for thing in members)
    if key[0] == "circuit":
        said = first.row.circuit
        valid = len(said) <= 40 and said[:1].isascii() and said[:1].isalpha() and set(said) <= _VALID
        return Group(said if valid else slug(said, 36), said, members, False)
    switch = switch_of(ends, claimed, first)
    if switch is not None:
        if len(members) == 1 and not lights:
            return Group(f"{first.id}.on", first.row.name, members, False)
        ending = "lights" if lights else "on"
        return Group(f"{switch.id}.{ending}", f"{switch.row.name}: {ending if lights else 'loads'}", members, False)
    if key[0] == "lights":
        where = _light_key(first)
        board = f" {key[2]}" if key[2] else ""
        return Group(f"{slug(where + board)}.lights", f"Lights {where}", members, False)
    return Group(first.id, first.row.name, members, True)


def branches_of(ends: Ends, group: Group, source: Thing, claimed: Mapping[str, Thing]) -> list[list[Thing]]:
    """The chains of a circuit: one behind each switch, one for lights without, and each other thing by itself.

    Args:
        ends: all things.
        group: what the circuit feeds.
        source: what feeds it.
        claimed: switches that were guessed.

    Returns:
        Things in the order in which the cable reaches them, chain by chain.
    """
    chains: dict[str, list[Thing]] = {}
    heads: dict[str, Thing] = {}
    alone: list[list[Thing]] = []
    for thing in group.members:
        switch = switch_of(ends, claimed, thing)
        if switch is None and not thing.kind.is_light:
            alone.append([thing])
            continue
        key = switch.id if switch else ""
        chains.setdefault(key, []).append(thing)
        if switch:
            heads[key] = switch
    made = []
    for key, things in chains.items():
        head = heads.get(key)
        chain = _by_nearness(head or source, things)
        made.append([*heads_of(ends, head, things[0]), *chain] if head else chain)
    return made + alone


def heads_of(ends: Ends, switch: Thing, thing: Thing) -> list[Thing]:
    """What stands at the head of a chain: a switch; two, if the row names two; a relay and the switches of its row.

    Args:
        ends: all things.
        switch: the switch or relay that the thing hangs behind.
        thing: a thing behind it.

    Returns:
        The head, the first of it always that switch or relay.
    """
    owner = switch if switch.kind.name == RELAY else thing
    more = [ends.switches[owner.id]] if switch.kind.name == RELAY else []
    heads = [switch, *more, ends.partners[owner.id]]
    return list({one.id: one for one in heads if one is not None}.values())


def pattern_of(branch: Sequence[Thing]) -> str:
    """The pattern of one chain, by what stands at its head."""
    switches = [one for one in branch if one.kind.device == "switch"]
    if branch[0].kind.name == RELAY:
        return "relay"
    if branch[0].kind.name == "dimmer":
        return "dimmer"
    return ("chain", "switched chain", "two-way")[min(len(switches), 2)]


def _by_nearness(start: Thing, things: Sequence[Thing]) -> list[Thing]:
    """From a start always on to the nearest that is left."""
    rest, chain = list(things), [start]
    while rest:
        following = nearest(chain[-1], rest)
        if following is None:
            break
        chain.append(following)
        rest.remove(following)
    return chain[1:]
