"""Whether a mesh is clean enough that what is found in it can be taken, or a scan or torn, so that a person must look."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ribway.router.survey.repair import Mends
from ribway.router.survey.topology import Topology, border_loops

GENTLE_RAD = np.radians(30.0)
WOBBLE_RAD = np.radians(1.0)
SCAN_RAD = np.radians(3.0)
SCAN_FACES = 5000
SMALL_LOOP = 6
MOST_TORN = 10
TORN_SHARE = 0.001
FEW_FACES = 500


@dataclass(frozen=True)
class Condition:
    """The state of a mesh.

    Args:
        wobble_rad: usual bend across edges that are not meant as corners: 0 in CAD, degrees in a scan [rad].
        torn_share: small gaps, as a share of all faces.
        is_clean: whether openings may be taken as found.
        is_scan: whether it is the kind of mesh in which ribs are ridges and small holes are not there at all.
        reason: as a sentence.
        is_wavy: whether its faces waver.
        is_torn: whether it has many small gaps.
    """

    wobble_rad: float
    torn_share: float
    is_clean: bool
    is_scan: bool
    reason: str
    is_wavy: bool = False
    is_torn: bool = False


def condition_of(topology: Topology, mends: Mends) -> Condition:
    """Judge a mended mesh.

    Args:
        topology: mended.
        mends: what was mended.
    """
    pair = topology.paired
    cosine = np.einsum("ij,ij->i", topology.normals[pair // 3], topology.normals[topology.twin[pair] // 3])
    bend = np.arccos(np.clip(cosine, -1.0, 1.0))
    gentle = bend[bend < GENTLE_RAD]
    wobble = float(np.median(gentle)) if len(gentle) else 0.0
    count = len(topology.areas)
    loops = border_loops(topology, topology.twin < 0)
    edges = np.bincount(loops.loop, minlength=max(loops.count, 1))
    # Where more than two faces meet there is no gap: bodies touch there.
    bare = np.bincount(loops.loop, weights=topology.twin[loops.edges] == -1, minlength=max(loops.count, 1)) == edges
    gaps = mends.filled + int(((edges <= SMALL_LOOP) & bare)[: loops.count].sum())
    torn = gaps / max(count, 1)
    many = count > FEW_FACES
    is_torn = gaps > max(MOST_TORN, TORN_SHARE * count)
    is_wobbly = many and wobble > WOBBLE_RAD
    is_scan = bool(count > SCAN_FACES and wobble > SCAN_RAD)
    said = []
    if is_wobbly:
        said.append(f"its faces waver by {np.degrees(wobble):.1f} degrees")
    if is_torn:
        said.append(f"it has {gaps} small gaps, of which {mends.filled} were closed")
    reason = " and ".join(said) if said else "its faces are even and whole"
    return Condition(wobble, torn, not (is_wobbly or is_torn), is_scan, reason, is_wavy=is_wobbly, is_torn=is_torn)
