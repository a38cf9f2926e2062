"""Destination zones, and the spare line that each of them gets."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

import numpy as np

from ribway.models.project import Project
from ribway.models.run_numbers import ends_of
from ribway.models.surroundings import SURROUNDINGS
from ribway.router.circuits.naming import Naming
from ribway.router.circuits.runs import DRAW_CORD, SPARE, Run
from ribway.router.circuits.wishes import contradictions, wish_of
from ribway.router.errors import NameFault
from ribway.router.faults import Collector
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

    Returns:
        The spares; as many in a zone as the project says, if it says so.

    Raises:
        RouterFaults: wishes for looms and spares that cannot be held.
    """
    out = _spares(project, runs, zone_of, portals)
    _check(project, (*runs, *out), zone_of)
    return out


def _spares(
    project: Project, runs: Sequence[Run], zone_of: Mapping[str, str], portals: Mapping[str, Portal]
) -> tuple[Run, ...]:
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
    wanted = project.looms.spares
    pairs: list[tuple[str, str]] = []
    for zone in sorted({*sources, *(zone for zone, count in wanted.items() if count)}):
        counts = sources.get(zone) or overall
        source = min(counts, key=lambda name: (-counts[name], name))
        count = wanted.get(zone, 0 if zone_of[source] == zone else 1)
        ends = [name for name, where in zone_of.items() if where == zone and any(run.b == name for run in runs)]
        ends = [name for name in ends if name != source]
        if not ends or not count:
            continue
        far = max(
            ends, key=lambda name: (round(float(np.linalg.norm(portals[name].point - portals[source].point)), 6), name)
        )
        pairs += [(source, far)] * count
    led = [ends_of("", "feed", source, far) for source, far in pairs]
    names = Naming(project.numbers, (run.id for run in runs)).of(
        SPARE, led, [None] * len(led), [zone_of[far] for _, far in pairs]
    )
    cable = DRAW_CORD if project.shop.spare == "draw cord" else project.shop.spare
    return tuple(
        Run(
            name, "", source, far, "dc", "spare", cable, None, (), (), None, None, 0.0, 0.0,
            wish=wish_of(project.looms, name, ""),
        )
        for name, (source, far) in zip(names, pairs, strict=True)
    )  # fmt: skip


def _check(project: Project, runs: Sequence[Run], zone_of: Mapping[str, str]) -> None:
    """Wishes for looms that cannot be held, all at once."""
    if project.looms.empty:
        return
    collector, zones_there = Collector(), frozenset(zone_of.values())
    for one in contradictions(project.looms, runs, project.shop.data_power == "apart"):
        collector.add(NameFault(one.place, one.found, one.accepted))
    for zone, count in project.looms.spares.items():
        place = f"looms / spares / {zone}"
        if zone not in zones_there:
            collector.add(NameFault(place, f"no device is in a zone called {zone}", collector.near(zone, zones_there)))
        elif count and project.shop.spare == "none":
            collector.add(NameFault(place, f"{count} wanted, but shop: spare is none", "spare: draw cord, or a cable"))
        elif count and not any(run.purpose == "spare" and zone_of[run.b] == zone for run in runs):
            collector.add(NameFault(place, "nothing is fed there that a spare could lead to", "0, or another zone"))
    collector.raise_all()
