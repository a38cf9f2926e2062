"""The four stocked cables of the sample plan.

Resistances: IEC 60228:2004 table 3, class 5, plain copper. Outside sizes are usual ones (common practice, no source).
"""

from __future__ import annotations

from typing import Literal

from ribway.models.plan.plan import PlanCable

ALPHA_PER_K = 0.00393
COPPER_KG_PER_M_MM2 = 0.00896
INSULATION_C = 60.0


def _cable(
    id: str,
    cores: int,
    area_mm2: float,
    kind: Literal["dc", "ac", "data"],
    form: Literal["round", "flat"],
    outside_mm: float,
    thickness_mm: float,
    plug_mm: float,
    ohm_per_km: float,
) -> PlanCable:
    return PlanCable(
        id=id,
        name=f"{cores}x{area_mm2:g}",
        cores=cores,
        size_name=f"{area_mm2:g} mm2",
        area_mm2=area_mm2,
        system="metric",
        kind=kind,
        form=form,
        outside_mm=outside_mm,
        thickness_mm=thickness_mm,
        plug_mm=plug_mm,
        insulation_c=INSULATION_C,
        min_bend_factor=4.0,
        ohm_per_m_20c=ohm_per_km / 1000,
        assumed=True,
    )


CABLES = (
    _cable("flat-2x16", 2, 16.0, "dc", "flat", 17.0, 8.5, 17.0, 1.21),
    _cable("flat-2x2.5", 2, 2.5, "dc", "flat", 8.6, 4.3, 8.6, 7.98),
    _cable("round-3x1.5", 3, 1.5, "ac", "round", 8.2, 8.2, 8.2, 13.3),
    _cable("round-4x0.5", 4, 0.5, "data", "round", 5.0, 5.0, 12.0, 39.0),
)


def cable(id: str) -> PlanCable:
    """The cable with this id."""
    return next(cable for cable in CABLES if cable.id == id)


def hot_ohm_per_m(cable: PlanCable) -> float:
    """Resistance of one conductor at its insulation's rated temperature [ohm/m]."""
    return cable.ohm_per_m_20c * (1 + ALPHA_PER_K * (cable.insulation_c - 20))
