"""Steady heat balance of one section of a loom: how hot its middle gets, and what one of its runs may carry.

The section is a round bundle that makes heat evenly over its area; from its middle the heat flows through the bundle, a
cover if there is one, and off the surface into still air. Inside, the middle is hotter than the surface by
q/(4 pi k) (a cylinder with even heat generation, e.g. Incropera, Fundamentals of Heat and Mass Transfer, 3.5.2). A conductor
is hotter than the bundle around it by its own heat through its own insulation, ln(D/d)/(2 pi k). All metal is reckoned as
hot as the hottest, which errs to the safe side.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from ribway.sizing.copper import ALPHA_20C_PER_K
from ribway.sizing.errors import BadNumberError, check_number
from ribway.sizing.heat.surface import EMISSIVITY, given_off_w_per_m

BUNDLE_W_PER_M_K: Final = 0.15
"""Conductivity across a bundle of insulated wires [W/(m K)]: a little below that of PVC, 0.17 (handbook value), for the air
between the wires; caution, ours."""
INSULATION_W_PER_M_K: Final = 0.17
"""Conductivity of PVC [W/(m K)] (handbook value)."""
INSULATION_RATIO: Final = 2.0
"""Outside over metal diameter of a core whose insulation was not measured."""
HOTTEST_C: Final = 1000.0
HALVINGS: Final = 60


@dataclass(frozen=True)
class Section:
    """A section of a loom as one of its runs meets it.

    Attributes:
        diameter_m: outside diameter of the bundle, this run in it [m].
        others_w_per_m_20c: heat of all others at their design currents, with their metal at 20 C [W/m].
        others_insulation_c: coolest insulation rating among the others [deg C]; None if there are none.
        cores: conductors of this run that carry its current.
        cover_m: thickness of foam or wrapping around the bundle [m].
        cover_w_per_m_k: its conductivity [W/(m K)].
        insulation_ratio: outside diameter of one core over that of its metal.
        emissivity: of the outermost surface.
    """

    diameter_m: float
    others_w_per_m_20c: float = 0.0
    others_insulation_c: float | None = None
    cores: int = 2
    cover_m: float = 0.0
    cover_w_per_m_k: float = 0.035
    insulation_ratio: float = INSULATION_RATIO
    emissivity: float = EMISSIVITY

    def __post_init__(self) -> None:
        check_number(self.diameter_m, "diameter of the bundle [m]", positive=True)
        check_number(self.others_w_per_m_20c, "heat of the others [W/m]")
        check_number(self.cover_m, "thickness of the cover [m]")
        check_number(self.cover_w_per_m_k, "conductivity of the cover [W/(m K)]", positive=True)
        if self.cores < 1:
            raise BadNumberError(f"{self.cores!r} cores carry current; give 1 or more")
        if not (math.isfinite(self.insulation_ratio) and self.insulation_ratio >= 1.0):
            raise BadNumberError(f"insulation over metal diameter is {self.insulation_ratio!r}; give 1 or more")

    @property
    def inside_k_m_per_w(self) -> float:
        """From the outermost surface to the middle [K m/W]."""
        cover = math.log(1.0 + 2.0 * self.cover_m / self.diameter_m) / (2.0 * math.pi * self.cover_w_per_m_k)
        return cover + 1.0 / (4.0 * math.pi * BUNDLE_W_PER_M_K)

    @property
    def own_k_m_per_w(self) -> float:
        """From one conductor through its own insulation [K m/W]."""
        return math.log(self.insulation_ratio) / (2.0 * math.pi * INSULATION_W_PER_M_K)

    def limit_c(self, insulation_c: float) -> float:
        """The temperature no conductor may pass: the coolest rating in the section [deg C]."""
        return insulation_c if self.others_insulation_c is None else min(insulation_c, self.others_insulation_c)


@lru_cache(maxsize=1 << 16)
def allowed_amps(
    section: Section, air_c: float, ohm_per_m_20c: float, limit_c: float, alpha_per_k: float = ALPHA_20C_PER_K
) -> float:
    """What one run of a section may carry for good while the others carry their design currents.

    Args:
        section: the section.
        air_c: air around it [deg C].
        ohm_per_m_20c: resistance of one core of the run at 20 C [ohm/m].
        limit_c: temperature its hottest metal may reach [deg C].
        alpha_per_k: temperature coefficient of that resistance [1/K].

    Returns:
        Amps; 0 if the others alone, or the air, make it too hot.
    """
    check_number(ohm_per_m_20c, "resistance [ohm/m]", positive=True)
    hot = 1.0 + alpha_per_k * (limit_c - 20.0)
    others = section.others_w_per_m_20c * hot
    low, high = air_c, limit_c
    own = 0.0
    for _ in range(HALVINGS):
        surface_c = (low + high) / 2.0
        heat = _given_off(section, surface_c, air_c)
        own = max(0.0, heat - others) / section.cores
        middle_c = surface_c + heat * section.inside_k_m_per_w + own * section.own_k_m_per_w
        if middle_c > limit_c:
            high = surface_c
        else:
            low = surface_c
    own = max(0.0, _given_off(section, low, air_c) - others) / section.cores
    return math.sqrt(own / (ohm_per_m_20c * hot))


def hottest_c(
    section: Section, air_c: float, ohm_per_m_20c: float, amps: float, alpha_per_k: float = ALPHA_20C_PER_K
) -> float:
    """Temperature of a run's metal in the middle of a section [deg C]; infinite if it runs away.

    Args:
        section: the section.
        air_c: air around it [deg C].
        ohm_per_m_20c: resistance of one core of the run at 20 C [ohm/m].
        amps: what it carries for good [A].
        alpha_per_k: temperature coefficient of that resistance [1/K].
    """
    check_number(ohm_per_m_20c, "resistance [ohm/m]", positive=True)
    check_number(amps, "current [A]")
    per_core = amps**2 * ohm_per_m_20c
    total = per_core * section.cores + section.others_w_per_m_20c
    rise = total * section.inside_k_m_per_w + per_core * section.own_k_m_per_w
    # T = Ts + rise (1 + alpha (T - 20)), solved for T.
    slack = 1.0 - alpha_per_k * rise
    if slack <= 0.0:
        return math.inf

    def middle(surface_c: float) -> float:
        return (surface_c + rise * (1.0 - 20.0 * alpha_per_k)) / slack

    low, high = air_c, HOTTEST_C
    if total * (1.0 + alpha_per_k * (middle(high) - 20.0)) > _given_off(section, high, air_c):
        return math.inf
    for _ in range(HALVINGS):
        surface_c = (low + high) / 2.0
        if total * (1.0 + alpha_per_k * (middle(surface_c) - 20.0)) > _given_off(section, surface_c, air_c):
            low = surface_c
        else:
            high = surface_c
    return middle(high)


def _given_off(section: Section, surface_c: float, air_c: float) -> float:
    return given_off_w_per_m(section.diameter_m + 2.0 * section.cover_m, surface_c, air_c, section.emissivity)
