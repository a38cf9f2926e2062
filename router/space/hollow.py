"""Ways inside a hollow member, in through one of its openings and out through another."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from ribway.models.way_entries import Side, WayEntry
from ribway.router.errors import NameFault
from ribway.router.geometry.polylines import drop_repeats, length, turn_angles
from ribway.router.space.types import NOWHERE, Way
from ribway.router.space.ways import COUNT_TURN_RAD, WayMaker, clear_area_m2

Array = NDArray[np.float64]

AXES: dict[Side, tuple[int, float]] = {
    "front": (0, 1.0), "back": (0, -1.0), "left": (1, 1.0), "right": (1, -1.0), "above": (2, 1.0), "below": (2, -1.0),
}  # fmt: skip
"""x is forward, y to the left, z up."""
APART_M = 0.01
SHUT_M = 0.002


def inside(maker: WayMaker, entry: WayEntry, ways: Mapping[str, Way], where: str) -> Way:
    """A way inside a hollow member: in to its middle, along, and out; it takes room in both openings too.

    Args:
        maker: of the shell's ways.
        entry: what the project says.
        ways: the shell's openings, by name.
        where: key path in the project file.

    Raises:
        NameFault: no such member, opening, or side of an opening.
    """
    if entry.between is None or entry.bore is None:
        raise NameFault(where, "a way inside a member without between or bore", "member, between and bore")
    names = [member.name for member in maker.shell.members]
    if entry.member not in names:
        raise NameFault(f"{where} / member", f"no member is called {entry.member}", f"one of {', '.join(names)}")
    own = [way.name for way in ways.values() if way.kind == "opening" and way.member == entry.member]
    for name in entry.between:
        if name not in own:
            listed = f"two of {', '.join(own)}" if len(own) > 1 else "a member with two openings or more"
            raise NameFault(f"{where} / between", f"{entry.member} has no opening {name}", listed)
    first, second = ways[entry.between[0]], ways[entry.between[1]]
    sides = entry.sides or (None, None)
    ends = [_end(way, side, f"{where} / sides") for way, side in zip((first, second), sides, strict=True)]
    into, out = (_to_middle(way, end) for way, end in zip((first, second), ends, strict=True))
    along, hit = _along(maker, first, second, into[-1], out[-1])
    line = drop_repeats(np.vstack([into, along, out[::-1]]), 1e-6)
    free = 2.0 * float(maker.metal.clearances([along], [entry.bore])[0])
    bore = min(entry.bore, free)
    shut = next((f"{way.name}: {way.closed}" for way in (first, second) if way.closed), "")
    closed = shut or (f"inside {entry.member} it runs into {hit}" if hit else "")
    barred = maker.keep_outs_on(line)
    if not closed and barred:
        closed = f"in keep-out {barred}"
    if not closed and bore < SHUT_M:
        closed = f"{entry.member} leaves no room inside"
    return Way(
        name=entry.name, kind="inside", member=entry.member, line=line, length_m=length(line),
        turns=int((turn_angles(line) > COUNT_TURN_RAD).sum()),
        mouths=(first.mouths[ends[0]], second.mouths[ends[1]]), shape="round", raw_bore_m=entry.bore,
        drawn_bore_m=bore, bore_m=bore, room_m=bore, area_m2=clear_area_m2("round", bore, bore), limit=maker.limit,
        taken_m=0.0, grommet_m=None, state="assumed", closed=closed, zone=first.zone, rim=first.rim,
        shares=(first.name, second.name),
    )  # fmt: skip


def _end(way: Way, side: Side | None, where: str) -> int:
    """Which mouth of an opening lies on a side; the front one if nobody says, or the first where neither is in front."""
    step = way.line[0] - way.line[-1]
    if side is None:
        return 0 if step[0] > -APART_M else 1
    axis, sign = AXES[side]
    if abs(step[axis]) < APART_M:
        known = [one for one, (its, _) in AXES.items() if abs(step[its]) >= APART_M]
        raise NameFault(where, f"no mouth of {way.name} is the {side} one", f"one of {', '.join(known)}")
    return 0 if sign * step[axis] > 0.0 else 1


def _to_middle(way: Way, end: int) -> Array:
    """An opening's line from one mouth to half way [m]: the middle of the member's section."""
    line = way.line if end == 0 else way.line[::-1]
    steps = np.linalg.norm(np.diff(line, axis=0), axis=1)
    done = np.concatenate(([0.0], np.cumsum(steps)))
    half = done[-1] / 2.0
    at = int(np.searchsorted(done, half) - 1)
    middle = line[at] + (half - done[at]) / steps[at] * (line[at + 1] - line[at])
    return np.vstack([line[: at + 1], middle])


def _along(maker: WayMaker, first: Way, second: Way, a: Array, b: Array) -> tuple[Array, str]:
    """From middle to middle: straight, or if that runs into metal, along the skin at the openings' depth."""
    lines = [np.vstack([a, b])]
    skins = {maker.finder.skin_of(way.mouths[end].bay) for way in (first, second) for end in (0, 1)}
    for index in sorted(skins - {NOWHERE}):
        chart = maker.skins[index].chart
        flat, height = chart.flatten(np.vstack([a, b]))
        bent = chart.lift(flat, float(height.mean()))
        lines.append(np.vstack([a, bent[1:-1], b]))
    hits = maker.metal.crossed_by(lines)
    for line, hit in zip(lines, hits, strict=True):
        if not hit:
            return line, ""
    return lines[0], hits[0]
