"""Destination zones, and the spare line that each of them gets."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

import numpy as np

from ribway.models.project import Project
from ribway.models.surroundings import SURROUNDINGS
from ribway.router.runs import DRAW_CORD, SPARE, Run
from ribway.router.space.types import Portal

THIRDS = ("front", "middle", "rear")


def zones(project: Project, portals: Sequence[Portal], length_m: float) -> dict[str, str]:
    """Zone of every device: what the user said, else wall and third of the length.

    Args:
        project: for stated zones.
        portals: where devices are.
        length_m: cargo length [m].
    """
    stated = {device.id: device.zone for device in project.devices}
    out = {}
    for portal in portals:
        said = stated.get(portal.device)
        if said:
            out[portal.device] = said
            continue
        third = min(2, max(0, int(3.0 * -portal.point[0] / max(length_m, 1e-6))))
        whole = portal.wall == "bulkhead" or portal.wall in SURROUNDINGS
        out[portal.device] = portal.wall if whole else f"{portal.wall} {THIRDS[third]}"
    return out


def spares(
    project: Project, runs: Sequence[Run], zone_of: Mapping[str, str], portals: Mapping[str, Portal]
) -> tuple[Run, ...]:
    """One spare cable or draw cord to every zone that is fed from elsewhere, to its furthest device.

    Args:
        project: for what the shop leaves as a spare.
        runs: the real runs.
        zone_of: zone by device.
        portals: by device.
    """
    if project.shop.spare == "none":
        return ()
    feeding = {device.id for device in project.devices if device.kind in ("board", "source")}
    overall = Counter(run.a for run in runs if run.a in feeding and run.kind == "dc")
    if not overall:
        return ()
    sources: dict[str, Counter[str]] = {}
    for run in runs:
        if zone_of[run.a] != zone_of[run.b] and run.kind != "ac":
            sources.setdefault(zone_of[run.b], Counter()).update([run.a] if run.a in overall else [])
    out: list[Run] = []
    for zone in sorted(sources):
        counts = sources[zone] or overall
        source = min(counts, key=lambda name: (-counts[name], name))
        if zone_of[source] == zone:
            continue
        ends = [name for name, where in zone_of.items() if where == zone and any(run.b == name for run in runs)]
        far = max(
            ends, key=lambda name: (round(float(np.linalg.norm(portals[name].point - portals[source].point)), 6), name)
        )
        cable = project.shop.spare
        out.append(
            Run(
                f"{SPARE}-{len(out) + 1}",
                "",
                source,
                far,
                "dc",
                "spare",
                cable if cable != "draw cord" else DRAW_CORD,
                None,
                (),
                (),
                None,
                None,
                0.0,
                0.0,
            )
        )
    return tuple(out)
