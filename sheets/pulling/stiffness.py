"""How stiff a cable is to bend: its strands one by one, each free to slide, and its sheath.

Strands that slide on one another bend each about its own middle, so that their stiffnesses add up: E pi d^4 / 64 each (beam
theory), together E A d^2 / 16 for strands of one diameter d that make an area A. A conductor is never less stiff than that, and
more where insulation holds its strands together; the figure ranks cables and is no measured force.
"""

from __future__ import annotations

import math

from ribway.models.plan.results import PlanRun

COPPER_PA = 1.2e11
"""Young's modulus of copper, 120 GPa (handbook value for annealed copper, 110 to 128 GPa) [Pa]."""
SHEATH_PA = 2.0e7
"""Young's modulus of flexible PVC (common practice, no source; it is five times that in the cold) [Pa]."""
STRAND_MM = (
    (0.5, 0.21), (0.75, 0.21), (1.0, 0.21), (1.5, 0.26), (2.5, 0.26), (4.0, 0.31), (6.0, 0.31), (10.0, 0.41), (16.0, 0.41),
    (25.0, 0.41), (35.0, 0.41), (50.0, 0.41), (70.0, 0.51), (95.0, 0.51), (120.0, 0.51),
)  # fmt: skip
"""Greatest strand of flexible conductors by area [mm2, mm] (IEC 60228:2004, table 3, class 5)."""
STIFF_NM2 = 0.02
"""From this on a cable is stiff: it takes 5 N at an arm of 50 mm to hold it in a bend of 80 mm (common practice, no source)."""


def strand_mm(area_mm2: float) -> float:
    """Greatest strand of a class 5 conductor: of the size, else of the next larger one [mm].

    Args:
        area_mm2: of the conductor [mm2].
    """
    return next((strand for area, strand in STRAND_MM if area >= area_mm2 - 1e-6), STRAND_MM[-1][1])


def stiffness_nm2(run: PlanRun) -> float:
    """Bending stiffness of a run, all its pieces side by side.

    Args:
        run: the run.

    Returns:
        [N m2]; the sheath's is that of a tube, bent the easy way where the cable is flat.
    """
    strand_m = strand_mm(run.conductor_area_mm2) / 1000.0
    copper_m2 = run.cores * run.conductor_area_mm2 * 1e-6
    copper = COPPER_PA * copper_m2 * strand_m**2 / 16.0
    wide, thick = run.outside_mm / 1000.0, run.thickness_mm / 1000.0
    whole = math.pi * wide * thick**3 / 64.0
    hollow_m2 = max(0.0, math.pi / 4.0 * wide * thick - copper_m2 / max(1, run.pieces))
    filled = hollow_m2 / (math.pi / 4.0 * wide * thick) if wide * thick > 0.0 else 0.0
    return copper + run.pieces * SHEATH_PA * whole * filled


def is_stiff(run: PlanRun) -> bool:
    """Whether a run is stiff enough to go in before others and to be bent by hand before a hole."""
    return stiffness_nm2(run) >= STIFF_NM2
