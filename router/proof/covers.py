"""Sets of runs of which not all fit a way together: cuts that close most of what fill leaves between bound and plan."""

from __future__ import annotations

import numpy as np

from ribway.router.proof.instance import FILL_EPS, Array, Instance
from ribway.router.proof.kinds import Groups
from ribway.router.proof.master import Master
from ribway.router.proof.rules import Cover

USED = 1e-9
WORTH = 0.02  # a cover broken by less is not taken in


def holds(instance: Instance, cover: Cover) -> bool:
    """Whether a cover follows from the fill limit: its ``most + 1`` thinnest runs already overfill the way."""
    areas = sorted(least_area(instance)[list(cover.runs)])
    limit = float(instance.network.limit_mm2[cover.way]) * (1.0 + FILL_EPS)
    return len(areas) > cover.most and sum(areas[: cover.most + 1]) > limit


def least_area(instance: Instance) -> Array:
    """``(k,)`` area of each run's thinnest cable [mm2]."""
    return np.array([min(size.area_mm2 for size in run.sizes) for run in instance.runs])


def separate(instance: Instance, groups: Groups, master: Master, shares: Array) -> int:
    """Take in covers that ``(r,)`` shares of the routes break. Returns how many."""
    area, known, new = least_area(instance), {(c.way, c.runs) for c in master.covers}, 0
    use = master.usage(shares)
    tight = (area @ (use > USED) > instance.network.limit_mm2) & (((use > USED) & (use < 1.0 - USED)).any(axis=0))
    for way in np.flatnonzero(tight).tolist():
        inside = {run: float(use[run, way]) for run in np.flatnonzero(use[:, way] > USED).tolist()}
        for group in sorted({int(groups.of[run]) for run in inside}):
            runs = {run: share for run, share in inside.items() if groups.of[run] == group}
            cover = _cover(
                area,
                way,
                group,
                runs,
                float(instance.network.limit_mm2[way]),
                np.flatnonzero(groups.of == group).tolist(),
            )
            if cover is not None and (way, cover.runs) not in known and holds(instance, cover):
                master.add_cover(cover)
                known.add((way, cover.runs))
                new += 1
    return new


def _cover(area: Array, way: int, group: int, inside: dict[int, float], limit: float, mates: list[int]) -> Cover | None:
    """A cover found greedily, made minimal, then widened by every run that is no thinner than its thickest."""
    if sum(area[run] for run in inside) <= limit * (1.0 + FILL_EPS):
        return None
    chosen: list[int] = []
    total = 0.0
    for run in sorted(inside, key=lambda one: ((1.0 - inside[one]) / max(float(area[one]), 1e-9), one)):
        chosen.append(run)
        total += area[run]
        if total > limit * (1.0 + 2.0 * FILL_EPS):
            break
    for run in sorted(chosen, key=lambda one: (inside[one], one)):
        if total - area[run] > limit * (1.0 + 2.0 * FILL_EPS):
            chosen.remove(run)
            total -= area[run]
    thickest = max(area[run] for run in chosen)
    wide = frozenset(chosen) | {run for run in mates if area[run] >= thickest}
    if sum(inside.get(run, 0.0) for run in wide) <= len(chosen) - 1 + WORTH:
        return None
    return Cover(way, group, wide, len(chosen) - 1)
