"""Found openings: which member each passes, between which skins, what it is called and how sure it is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from ribway.router.shell.dimensions import CLEAR_M
from ribway.router.shell.parts import Mesh, OpeningShape, Points
from ribway.router.survey.condition import Condition
from ribway.router.survey.crossings import Crossing
from ribway.router.survey.metal_tree import MetalTree
from ribway.router.survey.near_skins import NearSkin
from ribway.router.survey.passages import Passage
from ribway.router.survey.sorting import Part
from ribway.router.survey.topology import Ints, topology_of

OpeningKind = Literal["way", "access", "window", "door", "wheel arch", "tube"]

FAR_M = 0.25
CANDIDATE_M = 0.015
CANDIDATE, TORN_AND_WAVY, TEAR = 0.85, 0.6, 0.05
"""How sure a candidate is: docs/survey.md has of how many called so how many were right."""
TAKEN = 0.9
"""From here on an opening goes into the draft; below it is a candidate for a person to take."""
FACING = 0.7
DOOR_FOOT_M = 0.20
DOOR_M = 0.8


@dataclass(frozen=True, eq=False)
class FoundOpening:
    """An opening that was found.

    Args:
        name: by member and count; windows and doors by skin and count.
        kind: ``way`` leads from bay to bay; ``access`` leads into a hollow or a single wall's far side.
        member: the member or skin that it is in; empty of a panel's.
        shape, bore_m, length_m: clear size; ``other`` shapes count as round with their clear bore [m].
        line: ``(k, 3)`` mouth, corners, mouth [m].
        centre: ``(3,)`` [m].
        axis: ``(3,)`` unit, of its first wall.
        depth_m: from outer face to outer face [m].
        skins: skins at its two mouths; empty strings where there is none.
        rim: ``(r, 3)`` outline in the first wall [m].
        sure: 0 to 1; 1 in clean CAD.
    """

    name: str
    kind: OpeningKind
    member: str
    shape: OpeningShape
    bore_m: float
    length_m: float
    line: Points
    centre: Points
    axis: Points
    depth_m: float
    skins: tuple[str, str]
    rim: Points
    sure: float = 1.0


def found_openings(
    crossings: Sequence[Crossing], parts: Sequence[Part], skins: Mapping[str, Mesh], state: Condition
) -> list[FoundOpening]:
    """Crossings as named openings of members.

    Args:
        crossings: of all bodies.
        parts: members, obstacles and panels.
        skins: by name [m].
        state: of the mesh; in one that is not clean only openings of ``CANDIDATE_M`` and more are told, none as sure.

    Returns:
        Openings of members, each member's in order: along the van for rails, from the floor up for ribs, from the left
        for bows. Holes in obstacles and panels lead nowhere and are left out.
    """
    by_body = {number: part for part in parts for number in part.bodies}
    by_part: dict[str, list[Crossing]] = {}
    for crossing in crossings:
        part = by_body.get(crossing.body)
        small = not state.is_clean and crossing.bore_m < CANDIDATE_M
        if part is not None and part.member_kind is not None and not small:
            by_part.setdefault(part.name, []).append(crossing)
    everything = np.concatenate([mesh.vertices for mesh in skins.values()])
    middle = (everything.min(axis=0) + everything.max(axis=0)) / 2
    near = {name: NearSkin(mesh, middle) for name, mesh in skins.items()}
    out = []
    for part in parts:
        own = by_part.get(part.name, [])
        order = {"rib": (2, 1.0), "pillar": (2, 1.0), "bow": (1, -1.0)}.get(part.kind, (0, -1.0))
        if part.name == "B0":
            order = (1, -1.0)
        own.sort(key=lambda one: (round(order[1] * float(one.centre[order[0]]), 3), float(one.centre[2])))
        if not own:
            continue
        metal = MetalTree(topology_of(part.mesh))
        mouths = np.concatenate([one.line[[0, -1]] for one in own])
        feet = {name: near[name].feet(mouths).reshape(-1, 2, 3) for name in part.skins if name in near}
        for number, crossing in enumerate(own):
            found = _opening(
                f"{part.name}-{number + 1}" if part.kind == "brace" else f"{part.name}{letters(number)}",
                part,
                crossing,
                {name: foot[number] for name, foot in feet.items()},
                metal,
            )
            out.append(replace(found, sure=_sureness(crossing, state)))
    return out


def bare_openings(crossings: Sequence[Crossing], state: Condition) -> list[FoundOpening]:
    """Crossings of a mesh in which no skins were found: a part by itself, whose holes lead nowhere yet.

    Args:
        crossings: of all bodies.
        state: as for `found_openings`.
    """
    out = []
    for number, one in enumerate(one for one in crossings if state.is_clean or one.bore_m >= CANDIDATE_M):
        line = one.line
        axis = (line[1] - line[0]) / np.linalg.norm(line[1] - line[0])
        shape: OpeningShape = "slot" if one.shape == "slot" else "round"
        length = one.length_m if shape == "slot" else one.bore_m
        depth = float(np.linalg.norm(np.diff(line, axis=0), axis=1).sum()) - 2 * CLEAR_M
        out.append(
            FoundOpening(
                f"hole-{number + 1}", "access", "", shape, one.bore_m, length, line, one.centre, axis, depth, ("", ""),
                one.passages[0].rim, _sureness(one, state),
            )
        )  # fmt: skip
    return out


def _sureness(crossing: Crossing, state: Condition) -> float:
    """How sure it is: what share of its like was right in spoilt copies, no more than ``CANDIDATE``.

    Noise makes outlines odd, so that an odd one is as likely a hole as any; in a mesh that is even but torn it is a tear.
    A wall that is lost between its rims says nothing: rims that lie over each other are holes.
    """
    if state.is_clean:
        sure = 1.0
        for passage in crossing.passages:
            sure *= (1.0 if passage.whole else 0.7) * (0.8 if passage.clear.shape == "other" else 1.0)
        return sure
    if not any(passage.clear.shape == "other" for passage in crossing.passages) or not state.is_torn:
        return CANDIDATE
    return TORN_AND_WAVY if state.is_wavy else TEAR


def letters(number: int) -> str:
    """``a`` to ``z``, then ``aa``, ``ab`` and so on."""
    text = ""
    number += 1
    while number:
        number, digit = divmod(number - 1, 26)
        text = chr(ord("a") + digit) + text
    return text


def _opening(name: str, part: Part, crossing: Crossing, feet: Mapping[str, Points], metal: MetalTree) -> FoundOpening:
    line = crossing.line
    ends = [_skin_at(line[k], {skin: foot[k] for skin, foot in feet.items()}, metal) for k in (0, -1)]
    first = crossing.passages[0]
    both = bool(ends[0][0] and ends[1][0])
    other_way = both and part.skins.index(ends[0][0]) > part.skins.index(ends[1][0])
    if other_way or (ends[0][0] == ends[1][0] and float(line[0, 0]) < float(line[-1, 0]) - 1e-6):
        line, ends = line[::-1], ends[::-1]
        first = crossing.passages[-1]
    axis = (line[1] - line[0]) / np.linalg.norm(line[1] - line[0])
    is_way = both
    if len(crossing.passages) == 1 and is_way:
        is_way = abs(float(axis @ ends[0][1])) < FACING and abs(float(axis @ ends[1][1])) < FACING
    shape: OpeningShape = "slot" if crossing.shape == "slot" else "round"
    bore = crossing.bore_m
    length = crossing.length_m if shape == "slot" else bore
    depth = float(np.linalg.norm(np.diff(line, axis=0), axis=1).sum()) - 2 * CLEAR_M
    skins = (ends[0][0], ends[1][0])
    kind: OpeningKind = "way" if is_way else "access"
    centre = line.mean(axis=0) if len(line) == 2 else line[len(line) // 2]
    return FoundOpening(name, kind, part.name, shape, bore, length, line, centre, axis, depth, skins, first.rim)


def _skin_at(mouth: Points, feet: Mapping[str, Points], metal: MetalTree) -> tuple[str, Points]:
    """The skin that a mouth looks onto, with its normal there; empty where the member's own metal lies between."""
    best, gap, normal = "", FAR_M, np.zeros(3)
    for name, foot in feet.items():
        distance = float(np.linalg.norm(mouth - foot))
        if distance < gap and metal.is_free(mouth[None], foot[None]):
            best, gap = name, distance
            normal = (mouth - foot) / max(distance, 1e-12)
    return best, normal


def large_openings(
    passages: Sequence[Passage], skins: Mapping[str, Ints], floor_m: float, rest: str = "panel"
) -> list[FoundOpening]:
    """Windows, doors and wheel arches: large holes of skins and of panels.

    Args:
        passages: of all kinds; frames and tubes are taken.
        skins: faces of each skin.
        floor_m: height of the floor [m].
        rest: what to call the place of those that are in no skin.
    """
    of_face = {int(face): name for name, faces in skins.items() for face in faces}
    counts: dict[str, int] = {}
    out = []
    for passage in passages:
        if passage.kind == "hole":
            continue
        place = of_face.get(passage.face, rest)
        kind = _large_kind(passage, place, floor_m)
        counts[f"{kind} {place}"] = counts.get(f"{kind} {place}", 0) + 1
        name = f"{kind}-{place}-{counts[f'{kind} {place}']}".replace(" ", "-")
        clear = passage.clear
        out.append(
            FoundOpening(
                name, kind, "" if place == rest else place, "slot" if clear.shape == "slot" else "round", clear.bore_m,
                clear.length_m, passage.ends, passage.centre, passage.axis, passage.depth_m, ("", ""), passage.rim,
            )
        )  # fmt: skip
    return out


def _large_kind(passage: Passage, place: str, floor_m: float) -> OpeningKind:
    if passage.kind == "tube":
        return "tube"
    foot, head = float(passage.rim[:, 2].min()) - floor_m, float(passage.rim[:, 2].max()) - floor_m
    if place in ("left", "right", "bulkhead") and foot < DOOR_FOOT_M:
        return "door" if head > DOOR_M else "wheel arch"
    return "window"
