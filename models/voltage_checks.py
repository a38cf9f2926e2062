"""One voltage a board, and one a source: a circuit of another voltage needs a converter before it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress

from ribway.models.amounts import parse_volts
from ribway.models.faults import SpellingError
from ribway.models.key_paths import item_name
from ribway.models.project_faults import IndexPath, Problem
from ribway.models.raw_items import Raw, kinds_of, texts, things

_USUAL_V = 12.0
_SAME_V = 1e-6
_PASSES_ON = ("board", "switch", "joint")


def voltage_problems(raw: Raw) -> Iterator[Problem]:
    """Check that DC circuits have the voltage of what they hang on.

    Args:
        raw: the project file's data; what is malformed is stepped over.

    Yields:
        One problem a circuit that states another voltage than the circuit that feeds its board, or than the first circuit
        from the same source. What a charger gives may have any: that is what it is for.
    """
    kinds, shop = kinds_of(raw), raw.get("shop")
    system = _volts(shop.get("volts"), _USUAL_V) if isinstance(shop, dict) else _USUAL_V
    if system is None:
        return
    circuits = [(path, one) for path, one in things(raw, "circuits") if one.get("kind", "dc") == "dc"]
    known: dict[str, tuple[float | None, Raw, IndexPath]] = {}
    for path, one in circuits:
        for _, load in texts(one, "to"):
            if kinds.get(load) in _PASSES_ON:
                known.setdefault(load, (_volts(one.get("volts"), system), one, path))
    for path, one in circuits:
        source = one.get("from")
        if not isinstance(source, str) or kinds.get(source) not in (*_PASSES_ON, "source"):
            continue
        volts = _volts(one.get("volts"), system)
        other, feed, at = known.setdefault(source, (volts, one, path))
        if volts is None or other is None or abs(volts - other) <= _SAME_V:
            continue
        place, said = ((*path, "volts"), one) if "volts" in one else ((*at, "volts"), feed)
        called, before = item_name(one, int(path[-1])), item_name(feed, int(at[-1]))
        message = (
            f"{called} has {volts:g} V and {before} has {other:g} V, and both have to do with the {kinds[source]} {source}, "
            "which has one voltage: feed what differs from a converter (kind: charger)"
        )
        yield Problem(place, str(said.get("volts")), f"{other if said is one else volts:g} V", message)


def _volts(text: object, else_v: float) -> float | None:
    """A voltage; another if nothing is said, and None if it cannot be read, which is told elsewhere."""
    if text is None:
        return else_v
    with suppress(SpellingError):
        return parse_volts(text) if isinstance(text, str) else None
    return None
