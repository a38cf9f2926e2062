"""What a circuit's pattern asks of its devices: how many switches, and what else must be there."""

from __future__ import annotations

from collections.abc import Iterator

from ribway.models.project_faults import Problem
from ribway.models.raw_items import Raw, things

_ONE_LINE = {
    "switched chain": "exactly one switch, and what it switches",
    "switch drop": "exactly one switch, and what it switches",
    "two-way": "exactly two switches, and what they switch",
    "dimmer": "exactly one dimmer (a switch or a controller), and what it dims",
    "relay": "one switch or more, and what the relay switches",
    "sub-board": "boards and nothing else",
    "control": "switches and nothing else",
}
_KINDS = {"two-way": ("dc",), "relay": ("dc",), "control": ("dc",), "dimmer": ("dc",), "sub-board": ("dc", "ac")}
_POWERED = ("dc", "ac")


def pattern_problems(raw: Raw) -> Iterator[Problem]:
    """Check every circuit's devices against its pattern.

    Args:
        raw: the project file's data; what is malformed is stepped over.

    Yields:
        One problem a circuit.
    """
    kinds = {
        one["id"]: str(one.get("kind", "load")) for _, one in things(raw, "devices") if isinstance(one.get("id"), str)
    }
    names = {str(one.get("id")) for _, one in things(raw, "circuits")}
    listed = raw.get("circuits")
    for index, circuit in enumerate(listed if isinstance(listed, list) else []):
        if not isinstance(circuit, dict) or not isinstance(circuit.get("to"), list):
            continue
        pattern, name = circuit.get("pattern", "home"), circuit.get("id")
        if pattern == "shared negative":
            message = "a shared negative follows from its circuits: write return: shared in each of them"
            yield Problem(("circuits", index, "pattern"), pattern, "return: shared in its circuits", message)
        if not isinstance(pattern, str) or pattern not in _ONE_LINE:
            continue
        loads = [load for load in circuit["to"] if isinstance(load, str)]
        kind = str(circuit.get("kind", "dc"))
        if kind not in _KINDS.get(pattern, _POWERED):
            message = f"{kind.upper()} circuits of the pattern {pattern} are not planned"
            yield Problem(("circuits", index, "pattern"), pattern, "home, chain or stated", message)
        elif all(load in kinds for load in loads) and not _suits(pattern, [kinds[load] for load in loads]):
            listed_kinds = ", ".join(f"{load} ({kinds[load]})" for load in loads) or "nothing"
            message = f"the pattern {pattern} wants {_ONE_LINE[pattern]}; this circuit leads to {listed_kinds}"
            yield Problem(("circuits", index, "to"), listed_kinds, _ONE_LINE[pattern], message)
        elif pattern == "relay" and f"{name}.control" in names:
            message = (
                f"the control lead of {name} would be the circuit {name}.control, and there is one already: rename one"
            )
            yield Problem(("circuits", index, "id"), str(name), "another id", message)


def _suits(pattern: str, kinds: list[str]) -> bool:
    switches, others = kinds.count("switch"), len(kinds) - kinds.count("switch")
    match pattern:
        case "sub-board":
            return all(kind == "board" for kind in kinds)
        case "control":
            return switches == len(kinds)
        case "two-way":
            return switches == 2 and others >= 1
        case "relay":
            return switches >= 1 and others - min(kinds.count("controller"), 1) >= 1
        case "dimmer":
            heads = switches or min(kinds.count("controller"), 1)
            return heads == 1 and len(kinds) >= 2
    return switches == 1 and others >= 1
