"""What the parts of a project say of one another: ids stand once, and names lead to something.

Each check reads the raw data and steps over whatever is malformed, so that its finds stand beside those of the fields.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import count
from typing import get_args

from ribway.models.feeding_checks import feeding_problems
from ribway.models.joint_checks import joint_problems
from ribway.models.key_paths import item_name
from ribway.models.negative_checks import negative_problems
from ribway.models.pattern_checks import pattern_problems
from ribway.models.project_faults import Problem
from ribway.models.raw_items import Raw, kinds_of, not_there, texts, things
from ribway.models.stock_list import StockName, load_stock
from ribway.models.voltage_checks import voltage_problems


def reference_problems(raw: Raw) -> list[Problem]:
    """Check a project's names and connections.

    Args:
        raw: the project file's data.

    Returns:
        The problems, check by check.
    """
    return [problem for check in _CHECKS for problem in check(raw)]


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
                        yield not_there((*path, *inner), f"{what} {called} names the device {text}", text, devices)


def _mounting_boards(raw: Raw) -> Iterator[Problem]:
    """What is fixed on a board: the board is one, and the thing lies inside its edges."""
    kinds = kinds_of(raw)
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
                yield not_there((*path, "at", "on"), what, name, boards)


def _wires_to_a_board(raw: Raw) -> Iterator[Problem]:
    kinds = kinds_of(raw)
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
            yield not_there((*path, "circuit"), f"run {called} names the circuit {name}", name, circuits)


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
            yield not_there(("shop", *inner), f"the shop keeps only {text} of the {name} stock", text, ids)
    held = shop.get("held")
    for place, one in enumerate(held if isinstance(held, list) else []):
        reel = one.get("cable") if isinstance(one, dict) else None
        if isinstance(reel, str) and reel not in ids:
            yield not_there(("shop", "held", place, "cable"), f"the shop holds {reel} of the {name} stock", reel, ids)


_CHECKS: tuple[Callable[[Raw], Iterator[Problem]], ...] = (
    _repeated_ids,
    _unknown_devices,
    _mounting_boards,
    _wires_to_a_board,
    _unknown_circuits,
    _feeding_itself,
    _stated_without_runs,
    feeding_problems,
    voltage_problems,
    _unknown_stock,
    pattern_problems,
    negative_problems,
    joint_problems,
)
