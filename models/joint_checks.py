"""What joints must be: joints, in reach of a hand, each once in a circuit."""

from __future__ import annotations

from collections.abc import Iterator

from ribway.models.project_faults import Problem
from ribway.models.raw_items import Raw, things

PARTED = ("home", "sub-board", "chain", "stated")
"""Patterns whose runs may be parted at joints."""


def joint_problems(raw: Raw) -> Iterator[Problem]:
    """Check joints and the runs through them.

    Args:
        raw: the project file's data; what is malformed is stepped over.

    Yields:
        One problem a joint or run.
    """
    devices = {one["id"]: one for _, one in things(raw, "devices") if isinstance(one.get("id"), str)}
    joints = {name for name, one in devices.items() if one.get("kind") == "joint"}
    circuits = [one for _, one in things(raw, "circuits") if isinstance(one.get("id"), str)]
    patterns = {one["id"]: one.get("pattern", "home") for one in circuits}
    for path, one in things(raw, "devices"):
        if one.get("behind") == "fixed panel":
            message = f"{one.get('id')} would sit behind a fixed panel, where nobody can part it or look at it"
            yield Problem((*path, "behind"), "fixed panel", "removable panel, or another place", message)
    used: dict[tuple[str, str], int] = {}
    for path, one in things(raw, "runs"):
        through, circuit = one.get("through"), str(one.get("circuit"))
        names = [name for name in through if isinstance(name, str)] if isinstance(through, list) else []
        pattern = patterns.get(circuit, "home")
        if names and pattern not in PARTED:
            message = f"a circuit of the pattern {pattern} is not parted at joints: only {', '.join(PARTED)} are"
            yield Problem((*path, "through"), ", ".join(names), "no joint", message)
        if names and any(one.get(key) is not None for key in ("by_hand", "taped", "via")):
            message = "a run through joints is several runs: by_hand, taped and via go with one run"
            yield Problem((*path, "through"), ", ".join(names), "through alone", message)
        for index, name in enumerate(names):
            where = (*path, "through", index)
            if name not in joints:
                kind = devices[name].get("kind", "load") if name in devices else "nothing in this project"
                message = f"a run goes through {name}, which is {kind}: it must be a device of the kind joint"
                yield Problem(where, name, ", ".join(sorted(joints)) or "a device of the kind joint", message)
            used[circuit, name] = used.get((circuit, name), 0) + 1
            if used[circuit, name] == 2:
                message = f"two runs of the circuit {circuit} go through {name}: a joint for each of them"
                yield Problem(where, name, "a joint of its own", message)
