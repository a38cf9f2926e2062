"""Power comes from one side: no board is fed twice, by nothing, or in a ring."""

from __future__ import annotations

from collections.abc import Iterator

from ribway.models.key_paths import item_name
from ribway.models.project_faults import IndexPath, Problem
from ribway.models.raw_items import Raw, kinds_of, texts, things

_PASSES_ON = ("board", "switch", "joint")
"""Kinds of devices that have no power of their own."""


def feeding_problems(raw: Raw) -> Iterator[Problem]:
    """Check what feeds the boards, switches and joints of a project.

    Args:
        raw: the project file's data.

    Yields:
        The problems.
    """
    yield from _board_fed_twice(raw)
    yield from _board_fed_by_nothing(raw)
    yield from _boards_in_a_ring(raw)


def _feeds(raw: Raw) -> list[tuple[IndexPath, str, str, str, str]]:
    """Each stretch that carries power: place of the load, kind, source, load, circuit."""
    found: list[tuple[IndexPath, str, str, str, str]] = []
    for path, item in things(raw, "circuits"):
        kind, source = item.get("kind", "dc"), item.get("from")
        if kind in ("dc", "ac") and isinstance(source, str):
            called = item_name(item, int(path[-1]))
            found.extend(((*path, *inner), kind, source, load, called) for inner, load in texts(item, "to"))
    return found


def _board_fed_twice(raw: Raw) -> Iterator[Problem]:
    kinds = kinds_of(raw)
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
    kinds = kinds_of(raw)
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
    kinds = kinds_of(raw)
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
