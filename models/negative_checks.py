"""What the negative side must have before anything is planned: one star point, one bond, earth points that are allowed."""

from __future__ import annotations

from collections.abc import Iterator

from ribway.models.project_faults import IndexPath, Problem
from ribway.models.raw_items import Raw, things

_MAKER = (
    "mark one allowed_by_maker: true under devices, if the vehicle maker's guideline allows current through it; "
    "otherwise write return: wired"
)


def negative_problems(raw: Raw) -> Iterator[Problem]:
    """Check returns, earth points and the bond.

    Args:
        raw: the project file's data; what is malformed is stepped over.

    Yields:
        One problem a circuit or device.
    """
    devices = {one["id"]: one for _, one in things(raw, "devices") if isinstance(one.get("id"), str)}
    earths = {name for name, one in devices.items() if one.get("kind") == "earth point"}
    allowed = {name for name in earths if devices[name].get("allowed_by_maker") is True}
    circuits = list(things(raw, "circuits"))
    for path, one in things(raw, "devices"):
        if one.get("allowed_by_maker") and one.get("kind") != "earth point":
            message = f"{one.get('id')} is no earth point: the vehicle maker allows earth points"
            yield Problem((*path, "allowed_by_maker"), "true", "nothing, or the kind earth point", message)
    bonds = [(path, one) for path, one in circuits if one.get("pattern") == "bond"]
    for path, _ in bonds[1:]:
        message = f"{bonds[0][1].get('id')} bonds the negative to the body already: one star point, one bond"
        yield Problem((*path, "pattern"), "bond", "one bond in a van", message)
    for path, one in bonds:
        yield from _bond(path, one, earths, allowed)
    for path, one in circuits:
        yield from _return(raw, path, one, (earths, allowed), [bond for _, bond in bonds], circuits)
        ends = {str(load) for load in _loads(one)} & earths
        if ends and one.get("pattern") != "bond" and one.get("kind", "dc") != "data":
            message = (
                f"{', '.join(sorted(ends))} is an earth point: a circuit leads there by pattern: bond, or by earth:"
            )
            yield Problem((*path, "to"), ", ".join(sorted(ends)), "a load", message)


def _bond(path: IndexPath, one: Raw, earths: set[str], allowed: set[str]) -> Iterator[Problem]:
    loads = _loads(one)
    if len(loads) != 1 or str(loads[0]) not in earths:
        found = ", ".join(map(str, loads))
        message = "a bond leads from the negative bar to one earth point, and nowhere else"
        yield Problem((*path, "to"), found, "one device of the kind earth point", message)
    elif str(loads[0]) not in allowed:
        message = f"nobody says that the vehicle maker allows the earth point {loads[0]}: {_MAKER}"
        yield Problem((*path, "to"), str(loads[0]), "an allowed earth point", message)


def _return(
    raw: Raw,
    path: IndexPath,
    one: Raw,
    points: tuple[set[str], set[str]],
    bonds: list[Raw],
    circuits: list[tuple[IndexPath, Raw]],
) -> Iterator[Problem]:
    shop, (earths, allowed) = raw.get("shop"), points
    plain = one.get("kind", "dc") == "dc" and one.get("pattern", "home") == "home" and not one.get("load_can_feed")
    said = one.get("return")
    back = said or (shop.get("return", "wired") if isinstance(shop, dict) and plain else "wired")
    where = (*path, "return") if said else ("shop", "return")
    if back not in ("chassis", "shared"):
        if one.get("earth") is not None:
            message = f"{one.get('id')} names an earth point, but its current does not come back through the body"
            yield Problem((*path, "earth"), str(one["earth"]), "return: chassis beside it", message)
        return
    if not plain:
        message = f"return: {back} is planned for DC home runs whose loads feed nothing back; write return: wired here"
        yield Problem(where, str(back), "wired", message)
    elif back == "shared":
        yield from _shared(path, one, circuits)
    else:
        yield from _chassis(path, where, one, (earths, allowed), bonds, circuits)


def _shared(path: IndexPath, one: Raw, circuits: list[tuple[IndexPath, Raw]]) -> Iterator[Problem]:
    name = one.get("group") or one.get("from")
    for _, other in circuits:
        same = other.get("return") == "shared" and (other.get("group") or other.get("from")) == name
        if other is not one and same and other.get("from") != one.get("from"):
            message = f"{one.get('id')} and {other.get('id')} share the negative {name} and start at different devices"
            yield Problem((*path, "group"), str(name), "a group of its own for each source", message)
            return
        if other is not one and same and set(map(str, _loads(other))) & set(map(str, _loads(one))):
            message = f"{one.get('id')} and {other.get('id')} share a negative and lead to the same device"
            yield Problem((*path, "to"), str(name), "each device once in a group", message)
            return


def _chassis(
    path: IndexPath,
    where: IndexPath,
    one: Raw,
    points: tuple[set[str], set[str]],
    bonds: list[Raw],
    circuits: list[tuple[IndexPath, Raw]],
) -> Iterator[Problem]:
    (earths, allowed), said = points, one.get("earth")
    if said is not None and str(said) not in earths:
        message = f"{said} is no earth point of this project"
        yield Problem(
            (*path, "earth"), str(said), ", ".join(sorted(earths)) or "a device of the kind earth point", message
        )
    elif (said is not None and str(said) not in allowed) or not allowed:
        what = f"the earth point {said}" if said is not None else "any earth point"
        message = f"chassis return is refused: nobody says that the vehicle maker allows {what}: {_MAKER}"
        yield Problem(where, "chassis", "wired, or an earth point with allowed_by_maker: true", message)
    elif said is None and len(allowed) > 1:
        message = f"{one.get('id')} may go to several earth points: say which, as earth: {sorted(allowed)[0]}"
        yield Problem((*path, "earth"), "nothing", ", ".join(sorted(allowed)), message)
    elif not bonds:
        message = (
            "chassis return needs a bond: a circuit of the pattern bond from the negative bar to an earth point that the "
            "vehicle maker allows; otherwise write return: wired"
        )
        yield Problem(where, "chassis", "a circuit with pattern: bond", message)
    elif bonds[0].get("from") not in _above(str(one.get("from")), circuits):
        message = (
            f"the bond starts at {bonds[0].get('from')}, which does not feed {one.get('from')}: the star point must be "
            "where all negatives meet"
        )
        yield Problem(where, "chassis", f"a bond from {one.get('from')} or from what feeds it", message)


def _above(source: str, circuits: list[tuple[IndexPath, Raw]]) -> set[str]:
    """A device and all that its power comes through."""
    found = {source}
    grew = True
    while grew:
        more: set[str] = set()
        for _, one in circuits:
            loads = [str(load) for load in _loads(one)]
            reached = [loads.index(name) for name in found if name in loads]
            if reached and one.get("pattern") != "bond" and one.get("kind", "dc") == "dc":
                chained = one.get("pattern", "home") not in ("home", "sub-board")
                more |= {str(one.get("from")), *(loads[: max(reached)] if chained else ())}
        grew = not more <= found
        found |= more
    return found


def _loads(one: Raw) -> list[object]:
    loads = one.get("to")
    return loads if isinstance(loads, list) else []
