"""A section of a loom as each of its runs meets it: all others at their design currents."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ribway.sizing.conductor import Conductor
from ribway.sizing.errors import BadNumberError, SizingError, check_number
from ribway.sizing.heat.section import Section
from ribway.sizing.resistance import conductor_ohm_per_m_20c


@dataclass(frozen=True)
class HeatMember:
    """One run of a section.

    Attributes:
        id: of the run.
        conductor: its cable.
        amps: steady current that heats it as it is used [A]; see `duty.duty_amps`.
        loaded_cores: cores that carry it.
        never_with: name of a set of runs of which only one is loaded at a time; empty if it may be loaded with any.
    """

    id: str
    conductor: Conductor
    amps: float
    loaded_cores: int = 2
    never_with: str = ""

    def __post_init__(self) -> None:
        check_number(self.amps, f"current of run {self.id!r} [A]")
        if self.loaded_cores < 0:
            raise BadNumberError(f"run {self.id!r}: {self.loaded_cores!r} loaded cores; give 0 or more")

    @property
    def heat_w_per_m_20c(self) -> float:
        """Heat it makes with its metal at 20 C [W/m]."""
        return self.amps**2 * conductor_ohm_per_m_20c(self.conductor) * self.loaded_cores


def sections_of(
    members: Sequence[HeatMember],
    diameter_m: float,
    cover_m: float = 0.0,
    cover_w_per_m_k: float = 0.035,
    outside_mm: Mapping[str, float] | None = None,
) -> dict[str, Section]:
    """The section as each of its runs meets it.

    Args:
        members: all runs of the section.
        diameter_m: outside diameter of the bundle [m].
        cover_m: thickness of foam or wrapping around it [m].
        cover_w_per_m_k: its conductivity [W/(m K)].
        outside_mm: diameter of one insulated core by run id [mm]; where not given, twice its metal.

    Returns:
        By run id. Of runs never loaded together the one that makes most heat counts for the others.

    Raises:
        SizingError: a run is there twice.
    """
    ids = [one.id for one in members]
    if len(set(ids)) < len(ids):
        raise SizingError(f"a run is in the section twice: {', '.join(ids)}")
    out: dict[str, Section] = {}
    for one in members:
        others = [other for other in members if other.id != one.id and not _excludes(one, other)]
        sets: dict[str, float] = {}
        for other in others:
            key = other.never_with or f"alone {other.id}"
            sets[key] = max(sets.get(key, 0.0), other.heat_w_per_m_20c)
        ratings = [other.conductor.insulation_c for other in members if other.id != one.id]
        metal_mm = math.sqrt(4.0 / math.pi * one.conductor.area_mm2)
        outside = (outside_mm or {}).get(one.id, 2.0 * metal_mm)
        out[one.id] = Section(
            diameter_m=diameter_m,
            others_w_per_m_20c=sum(sets.values()),
            others_insulation_c=min(ratings, default=None),
            cores=max(1, one.loaded_cores),
            cover_m=cover_m,
            cover_w_per_m_k=cover_w_per_m_k,
            insulation_ratio=max(1.0, outside / metal_mm),
        )
    return out


def _excludes(one: HeatMember, other: HeatMember) -> bool:
    return bool(one.never_with) and one.never_with == other.never_with
