"""Crossings: the holes that one cable passes in one member, as in both webs of a hat section, linked into one line."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from ribway.router.shell.dimensions import CLEAR_M
from ribway.router.shell.parts import Points
from ribway.router.survey.metal_tree import MetalTree
from ribway.router.survey.passages import Passage
from ribway.router.survey.topology import Ints, Topology

REACH_M = 0.16
"""How far apart two webs of one member are at most."""
ALIKE = 0.6
"""Two holes of one crossing differ by no more than this share in bore."""
SHARE = 1e-3
"""Share of a line left out at both ends, where the holes' own walls are."""
SLACK_RAD = np.radians(5.0)
"""Two holes that face each other within this are joined straight."""
WAVY_SLACK_RAD = np.radians(20.0)
"""The same where rims waver, and their normals with them; no rail has its holes so nearly in line."""


@dataclass(frozen=True, eq=False)
class Crossing:
    """A passage from one side of a member to the other.

    Args:
        passages: one, or the two that it links.
        line: ``(k, 3)`` from mouth to mouth, a corner between where the two holes do not face each other [m].
        body: the body that it passes.
    """

    passages: tuple[Passage, ...]
    line: Points
    body: int

    @property
    def bore_m(self) -> float:
        """The narrower of the two clear bores [m]."""
        return min(passage.clear.bore_m for passage in self.passages)

    @property
    def length_m(self) -> float:
        """The shorter of the two lengths; the bore of a round hole [m]."""
        return max(self.bore_m, min(passage.clear.length_m for passage in self.passages))

    @property
    def shape(self) -> str:
        """Round unless both are slots."""
        return "slot" if all(passage.clear.shape == "slot" for passage in self.passages) else "round"

    @property
    def centre(self) -> Points:
        """``(3,)`` middle of the two [m]."""
        return np.asarray(np.mean([passage.centre for passage in self.passages], axis=0))


def link(
    topology: Topology, body: Ints, passages: list[Passage], reach_m: float = REACH_M, slack_rad: float = SLACK_RAD
) -> list[Crossing]:
    """Link holes for cables into crossings.

    Two holes of one body are linked where their axes meet in front of both, within reach, in free air. Nearest first;
    each side of a hole is used once.

    Args:
        topology: the mended mesh [m].
        body: of each face.
        passages: of all kinds; tubes and frames are left out.
        reach_m: longest way from wall to wall [m].
        slack_rad: how far the axes of holes that face each other may be out of line [rad].

    Returns:
        Crossings; a hole without a partner is one by itself.
    """
    holes = [passage for passage in passages if passage.kind == "hole"]
    if not holes:
        return []
    of = [int(body[hole.face]) for hole in holes]
    tree = cKDTree(np.array([hole.centre for hole in holes]))
    found: list[tuple[float, int, int, int, int, Points]] = []
    for i, j in _likely(holes, np.array(of), tree.query_pairs(reach_m, output_type="ndarray"), slack_rad):
        joined = _joined(holes[i], holes[j], reach_m, slack_rad)
        if joined is not None:
            found.append((joined[0], i, j, *joined[1:]))
    metal = MetalTree(topology) if found else None
    partner: dict[int, tuple[int, int, int, Points]] = {}
    for _, i, j, side_i, side_j, bend in sorted(found, key=lambda one: one[:3]):
        if i in partner or j in partner:
            continue
        line = np.concatenate([holes[i].ends[side_i][None], bend, holes[j].ends[side_j][None]])
        if metal is not None and not _free(metal, line, body, of[i]):
            continue
        partner[i], partner[j] = (j, side_i, side_j, bend), (i, side_j, side_i, bend[::-1])
    out = []
    for i, hole in enumerate(holes):
        if i not in partner:
            ends = np.stack([_mouth(hole, 0), _mouth(hole, 1)])
            out.append(Crossing((hole,), ends, of[i]))
        elif i < partner[i][0]:
            j, side_i, side_j, bend = partner[i]
            start, end = _mouth(hole, 1 - side_i), _mouth(holes[j], 1 - side_j)
            out.append(Crossing((hole, holes[j]), np.concatenate([start[None], bend, end[None]]), of[i]))
    return out


def _likely(holes: list[Passage], of: Ints, pairs: NDArray[np.int64], slack_rad: float) -> list[tuple[int, int]]:
    """Pairs of holes of one body whose axes come near each other: a perforated sheet has very many that do not."""
    pairs = pairs[of[pairs[:, 0]] == of[pairs[:, 1]]]
    i, j = pairs.T
    axis = np.array([hole.axis for hole in holes])
    centre = np.array([hole.centre for hole in holes])
    near = np.maximum(0.003, 0.15 * np.array([hole.clear.bore_m for hole in holes]))
    across = centre[j] - centre[i]
    normal = np.cross(axis[i], axis[j])
    sine = np.linalg.norm(normal, axis=1)
    along = np.einsum("ij,ij->i", across, axis[i])
    beside = np.linalg.norm(across - along[:, None] * axis[i], axis=1)
    with np.errstate(divide="ignore", invalid="ignore"):
        skew = np.abs(np.einsum("ij,ij->i", across, normal)) / sine
    parallel = sine < np.sin(np.radians(1.0))
    gap = np.where(parallel, beside, np.minimum(skew, np.where(sine < 1.2 * np.sin(slack_rad), beside, np.inf)))
    chosen = pairs[gap < 1.5 * np.maximum(near[i], near[j])]
    return sorted((int(a), int(b)) for a, b in chosen)


def _out(hole: Passage, side: int) -> Points:
    """Direction out of one side of a hole."""
    return hole.axis if side else -hole.axis


def _mouth(hole: Passage, side: int) -> Points:
    """A point a little clear of the metal on one side."""
    return np.asarray(hole.ends[side] + CLEAR_M * _out(hole, side))


def _joined(one: Passage, two: Passage, reach_m: float, slack_rad: float) -> tuple[float, int, int, Points] | None:
    """How far it is from one hole to the other, by which sides, and over which corner; None if they do not face."""
    small, large = sorted((one.clear.bore_m, two.clear.bore_m))
    if small < (1 - ALIKE) * large:
        return None
    near_m = max(0.003, 0.15 * large)
    for a in (0, 1):
        for b in (0, 1):
            start, end, out, back = one.ends[a], two.ends[b], _out(one, a), _out(two, b)
            across = end - start
            facing = -float(out @ back)
            if facing > np.cos(slack_rad):
                along = float(across @ out)
                off = float(np.linalg.norm(across - along * out))
                if 1e-4 < along < reach_m and off < near_m:
                    return along, a, b, np.zeros((0, 3))
                if off >= near_m and facing > np.cos(slack_rad / 5):
                    continue
            # Where the two axes come nearest each other, in front of both.
            cosine = float(out @ back)
            det = 1 - cosine**2
            if det < max(1e-6, np.sin(slack_rad / 5) ** 2):
                continue
            s = (float(across @ out) - cosine * float(across @ back)) / det
            t = (cosine * float(across @ out) - float(across @ back)) / det
            gap = float(np.linalg.norm(across + t * back - s * out))
            if s > 1e-4 and t > 1e-4 and s + t < reach_m and gap < near_m:
                return s + t, a, b, ((start + s * out + end + t * back) / 2)[None]
    return None


def _free(metal: MetalTree, line: Points, body: Ints, number: int) -> bool:
    """No metal of the body stands in the way between two holes."""
    step = SHARE * np.diff(line, axis=0)
    return metal.is_free(line[:-1] + step, line[1:] - step, body, number)
