"""Places as a tape gives them, in even steps over walls, roof, floor and bulkhead."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final, get_args

from ribway.models.place import Place, Wall
from ribway.router.geometry.charts import Chart

WALLS: Final[tuple[Wall, ...]] = get_args(Wall)


def tape_places(
    like: Place, charts: Mapping[str, Chart], walls: Sequence[str], step_m: float, datum_back_m: float, up_m: float
) -> tuple[Place, ...]:
    """All places of some walls in even steps of the tape, whether a device may stand there or not.

    Args:
        like: the device's own place, for its stand-off and what it moves with.
        charts: the shell's skins by name.
        walls: which of them.
        step_m: distance between places along the tape [m].
        datum_back_m: how far the datum lies behind the shell model's front edge [m].
        up_m: how far above the bare floor heights are counted from [m].

    Returns:
        Places counted as the project counts, wall by wall, front to rear and from below.
    """
    kept = {"stand_off": like.stand_off, "moving": like.moving, "loop": like.loop}
    out = []
    for wall in walls:
        chart = charts.get(wall)
        if chart is not None:
            low, high = chart.vertices.min(axis=0), chart.vertices.max(axis=0)
            spans = {"back": (-high[0] - datum_back_m, -low[0] - datum_back_m), "left": (low[1], high[1])}
            spans["up"] = (low[2] - up_m, high[2] - up_m)
            out += [_place({**at, **kept}) for at in _on(wall, spans, step_m)]
    return tuple(out)


def _on(wall: str, spans: Mapping[str, tuple[float, float]], step_m: float) -> Iterator[dict[str, Any]]:
    one, other = {"roof": ("back", "left"), "floor": ("back", "left"), "bulkhead": ("left", "up")}.get(
        wall, ("back", "up")
    )
    for a in _steps(*spans[one], step_m, signed=one == "left"):
        for b in _steps(*spans[other], step_m, signed=other == "left"):
            at: dict[str, Any] = {"wall": wall}
            for key, value in ((one, a), (other, b)):
                if key != "left":
                    at[key] = value
                elif value:
                    at["left" if value > 0.0 else "right"] = abs(value)
            yield at


def _steps(low: float, high: float, step_m: float, signed: bool) -> list[float]:
    """Whole steps within a span; a length that is no side is never negative."""
    first = math.ceil(low / step_m - 1e-9) if signed else max(0, math.ceil(low / step_m - 1e-9))
    return [round(k * step_m, 6) for k in range(first, math.floor(high / step_m + 1e-9) + 1)]


def _place(at: dict[str, Any]) -> Place:
    known = {key: value for key, value in at.items() if value is not None}
    return Place.model_validate(known, context={"si": True})
