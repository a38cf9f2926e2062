"""What the parts of a project say of one another: ids stand once, names lead to something, power comes from one side.

Each check reads the raw data and steps over whatever is malformed, so that its finds stand beside those of the fields.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from itertools import count
from typing import Any, get_args

from ribway.models.joint_checks import joint_problems
from ribway.models.key_paths import item_name
from ribway.models.nearest import nearest_word
from ribway.models.negative_checks import negative_problems
from ribway.models.pattern_checks import pattern_problems
from ribway.models.project_faults import IndexPath, Problem
from ribway.models.stock_list import StockName, load_stock

Raw = dict[str, Any]
_PASSES_ON = ("board", "switch", "joint")
"""Kinds of devices that have no power of their own."""


def reference_problems(raw: Raw) -> list[Problem]:
    """Check a project's names and connections.

    Args:
        raw: the project file's data.

    Returns:
        The problems, check by check.
    """
    return [problem for check in _CHECKS for problem in check(raw)]


def things(raw: object, *keys: str) -> Iterator[tuple[IndexPath, Raw]]:
    """The mappings in the list at a key path, with their places.

    Args:
        raw: the project file's data.
        keys: keys from the top to the list.

    Yields:
        Path and mapping of each item that is one.
    """
    for key in keys:
        raw = raw.get(key) if isinstance(raw, dict) else None
    if isinstance(raw, list):
        for index, item in enumerate(raw):
            if isinstance(item, dict):
                yield (*keys, index), item


def texts(item: Raw, key: str) -> Iterator[tuple[IndexPath, str]]:
    """The text, or the texts of the list, that a mapping has at a key.

    Args:
        item: the mapping.
        key: the key.

    Yields:
        Path inside the mapping, and text.
    """
    value = item.get(key)
    if isinstance(value, str):
        yield (key,), value
    elif isinstance(value, list):
        for index, text in enumerate(value):
            if isinstance(text, str):
                yield (key, index), text


def _repeated_ids(raw: Raw) -> Iterator[Problem]:
    groups: tuple[tuple[str, str, tuple[tuple[str, ...], ...]], ...] = (
        ("id", "device", (("devices",),)),
        ("id", "circuit", (("circuits",),)),
        ("id", "run", (("runs",),)),
        ("name", "alternative", (("alternatives",),)),
        ("name", "opening or way", (("vehicle", "openings"), ("vehicle", "ways"))),
        ("name", "keep-out", (("vehicle", "keep_outs"),)),
        ("name", "piece of furniture", (("vehicle", "furniture"),)),
        ("part", "part", (("vehicle", "parts"),)),
    )
    for key, what, lists in groups:
        named = [((*path, key), item.get(key)) for keys in lists for path, item in things(raw, *keys)]
        taken = {name for _, name in named if isinstance(name, str)}
        seen: set[str] = set()
        for path, name in named:
            if not isinstance(name, str):
                continue
            if name in seen:
                free = next(f"{name}-{n}" for n in count(2) if f"{name}-{n}" not in taken)
                taken.add(free)
                message = f"a second {what} is called {name}: give each its own {key}, this one {free} for example"
                yield Problem(path, name, f"an {key} that stands once", message)
            seen.add(name)


def _unknown_devices(raw: Raw) -> Iterator[Problem]:
    devices = {item["id"] for _, item in things(raw, "devices") if isinstance(item.get("id"), str)}
    for group, what in (("circuits", "circuit"), ("runs", "run")):
        for path, item in things(raw, group):
            for key in ("from", "to"):
                for inner, text in texts(item, key):
                    if text not in devices:
                        called = item_name(item, int(path[-1]))
                        yield _not_there((*path, *inner), f"{what} {called} names the device {text}", text, devices)


def _mounting_boards(raw: Raw) -> Iterator[Problem]:
    """What is fixed on a board: the board is one, and the thing lies inside its edges."""
    kinds = _kinds(raw)
    boards = {name for name, kind in kinds.items() if kind == "mounting board"}
    for path, item in things(raw, "devices"):
        at = item.get("at")
        name = at.get("on") if isinstance(at, dict) else None
        if isinstance(name, str) and name not in boards:
            called = item_name(item, int(path[-1]))
            what = f"device {called} is fixed on {name}"
            if name in kinds:
                message = f"{what}, which is a {kinds[name]}: it must be a mounting board"
                yield Problem((*path, "at", "on"), name, "a mounting board", message)
            else:
                yield _not_there((*path, "at", "on"), what, name, boards)


def _wires_to_a_board(raw: Raw) -> Iterator[Problem]:
    kinds = _kinds(raw)
    for group in ("circuits", "runs"):
        for path, item in things(raw, group):
            for key in ("from", "to"):
                for inner, text in texts(item, key):
                    if kinds.get(text) == "mounting board":
                        message = f"{text} is a mounting board: cables lead to what is fixed on it, not to the board"
                        yield Problem((*path, *inner), text, "a device on the board", message)


def _unknown_circuits(raw: Raw) -> Iterator[Problem]:
    circuits = {item["id"] for _, item in things(raw, "circuits") if isinstance(item.get("id"), str)}
    for path, item in things(raw, "runs"):
        name = item.get("circuit")
        if isinstance(name, str) and name not in circuits:
            called = item_name(item, int(path[-1]))
            yield _not_there((*path, "circuit"), f"run {called} names the circuit {name}", name, circuits)


def _not_there(path: IndexPath, who: str, found: str, known: Iterable[str]) -> Problem:
    names = sorted(set(known) - {found})
    meant = nearest_word(found, names)
    listed = ", ".join(names[:12]) + (", ..." if len(names) > 12 else "")
    advice = f"did you mean {meant}?" if meant else f"there are {listed}" if names else "there are none"
    return Problem(path, found, listed, f"{who}, which is not there: {advice}")


def _feeding_itself(raw: Raw) -> Iterator[Problem]:
    for path, item in things(raw, "circuits"):
        source = item.get("from")
        seen: set[str] = set()
        for inner, load in texts(item, "to"):
            if load == source:
                message = f"{load} is the source of this circuit and its load too: a cable leads from one to another"
                yield Problem((*path, *inner), load, "another device", message)
            if load in seen:
                yield Problem((*path, *inner), load, "each load once", f"{load} stands twice among the loads")
            seen.add(load)
    for path, item in things(raw, "runs"):
        end = item.get("to")
        if isinstance(end, str) and end == item.get("from"):
            message = f"the run begins and ends at {end}: a cable leads from one device to another"
            yield Problem((*path, "to"), end, "another device", message)


def _stated_without_runs(raw: Raw) -> Iterator[Problem]:
    stated = {item.get("circuit") for _, item in things(raw, "runs") if isinstance(item.get("circuit"), str)}
    for path, item in things(raw, "circuits"):
        name = item.get("id")
        if item.get("pattern") == "stated" and isinstance(name, str) and name not in stated:
            message = f"the pattern is stated, but no run names the circuit {name}: state its runs under runs"
            yield Problem((*path, "pattern"), "stated", "home or chain, or runs that name it", message)


def _feeds(raw: Raw) -> list[tuple[IndexPath, str, str, str, str]]:
    """Each stretch that carries power: place of the load, kind, source, load, circuit."""
    found: list[tuple[IndexPath, str, str, str, str]] = []
    for path, item in things(raw, "circuits"):
        kind, source = item.get("kind", "dc"), item.get("from")
        if kind in ("dc", "ac") and isinstance(source, str):
            called = item_name(item, int(path[-1]))
            found.extend(((*path, *inner), kind, source, load, called) for inner, load in texts(item, "to"))
    return found


def _kinds(raw: Raw) -> dict[str, object]:
    return {
        item["id"]: item.get("kind", "load") for _, item in things(raw, "devices") if isinstance(item.get("id"), str)
    }


def _board_fed_twice(raw: Raw) -> Iterator[Problem]:
    kinds = _kinds(raw)
    fed: dict[tuple[str, str], str] = {}
    for path, kind, _, load, circuit in _feeds(raw):
        if kinds.get(load) != "board":
            continue
        first = fed.setdefault((kind, load), circuit)
        if first != circuit:
            message = f"the board {load} is fed by the circuits {first} and {circuit}: one of them can feed it"
            yield Problem(path, load, "one feeding circuit a board", message)


def _board_fed_by_nothing(raw: Raw) -> Iterator[Problem]:
    """Boards, switches and joints that pass on what never reaches them."""
    kinds = _kinds(raw)
    circuits = [item for _, item in things(raw, "circuits")]
    reached = {text for item in circuits for _, text in texts(item, "to")}
    if not reached <= set(kinds):
        return  # a load that is misspelt may be the very board
    sources = [name for name, kind in kinds.items() if kind == "source"]
    for path, item in things(raw, "devices"):
        name = item.get("id")
        if not isinstance(name, str) or kinds.get(name) not in _PASSES_ON:
            continue
        for kind in ("dc", "ac"):
            fed = [one for one in circuits if one.get("kind", "dc") == kind and one.get("from") == name]
            if not fed or any(one.get("load_can_feed") for one in fed):
                continue
            # A circuit whose kind is misspelt may be the feeding one.
            kinds_in = {
                str(one.get("kind", "dc")) for one in circuits if name in [load for _, load in texts(one, "to")]
            }
            if kinds_in - {"data", "ac" if kind == "dc" else "dc"}:
                continue
            called = ", ".join(item_name(one, 0) for one in fed)
            begin = f"from {sources[0]}" if len(sources) == 1 and kind == "dc" else "from a device of kind source"
            message = (
                f"nothing feeds the {kinds[name]} {name}: add a circuit of kind {kind} {begin} to it, "
                f"since {called} {'hangs' if len(fed) == 1 else 'hang'} on it"
            )
            yield Problem((*path, "id"), name, "a circuit that feeds it", message)


def _boards_in_a_ring(raw: Raw) -> Iterator[Problem]:
    kinds = _kinds(raw)
    for kind in ("dc", "ac"):
        after: dict[str, list[tuple[str, IndexPath]]] = {}
        for path, feed_kind, source, load, _ in _feeds(raw):
            passes_on = all(kinds.get(device) in _PASSES_ON for device in (source, load))
            if feed_kind == kind and passes_on and source != load:
                after.setdefault(source, []).append((load, path))
        reported: set[frozenset[str]] = set()
        for start in after:
            ring = _ring_through(start, after)
            if ring is None or frozenset(ring[0]) in reported:
                continue
            names, path = ring
            reported.add(frozenset(names))
            shown = " -> ".join((*names, names[0]))
            message = f"these feed one another in a ring, {shown}: power must come from one side"
            yield Problem(path, shown, "a source at the head of every board", message)


def _ring_through(
    start: str, after: dict[str, list[tuple[str, IndexPath]]]
) -> tuple[tuple[str, ...], IndexPath] | None:
    """The shortest ring of feeds through a device, with the place of the feed that closes it."""
    trails: list[tuple[str, ...]] = [(start,)]
    reached = {start}
    for trail in trails:
        for load, path in after.get(trail[-1], []):
            if load == start:
                return trail, path
            if load not in reached:
                reached.add(load)
                trails.append((*trail, load))
    return None


def _unknown_stock(raw: Raw) -> Iterator[Problem]:
    shop = raw.get("shop")
    if not isinstance(shop, dict):
        return
    name = shop.get("stock", "metric")
    if name not in get_args(StockName):
        return
    ids = [cable.id for cable in load_stock(name)]
    for inner, text in texts(shop, "only"):
        if text not in ids:
            yield _not_there(("shop", *inner), f"the shop keeps only {text} of the {name} stock", text, ids)
    held = shop.get("held")
    for place, one in enumerate(held if isinstance(held, list) else []):
        reel = one.get("cable") if isinstance(one, dict) else None
        if isinstance(reel, str) and reel not in ids:
            yield _not_there(("shop", "held", place, "cable"), f"the shop holds {reel} of the {name} stock", reel, ids)


_CHECKS: tuple[Callable[[Raw], Iterator[Problem]], ...] = (
    _repeated_ids,
    _unknown_devices,
    _mounting_boards,
    _wires_to_a_board,
    _unknown_circuits,
    _feeding_itself,
    _stated_without_runs,
    _board_fed_twice,
    _board_fed_by_nothing,
    _boards_in_a_ring,
    _unknown_stock,
    pattern_problems,
    negative_problems,
    joint_problems,
)
