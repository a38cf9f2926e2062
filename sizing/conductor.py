"""A stocked conductor as the sizing room sees it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal, get_args

from ribway.sizing.errors import BadNumberError, UnknownSizeError, check_number
from ribway.sizing.gauge import awg_area_mm2, sae_area_mm2
from ribway.sizing.metals import COPPER, metal_named, times_copper

System = Literal["metric", "awg", "sae"]
"""How the size is given: mm2 of copper, American wire gauge, or the thinner SAE automotive gauge."""
NAME_HOLDS: Final = 0.99
"""An AWG size whose stated area is this share of its standard area goes by its name."""


def copper_area_mm2(system: System, area_mm2: float, size_name: str) -> float:
    """The copper that may be counted on: the stated area, but never more than the size of that name has.

    Args:
        system: how the size is given.
        area_mm2: stated copper area [mm2].
        size_name: name of the size; not read for `metric`.

    Returns:
        Area [mm2].

    Raises:
        UnknownSizeError: a gauge name that is not known, or an unknown system.
        BadNumberError: an area that is not above 0.
    """
    check_number(area_mm2, "copper area [mm2]", positive=True)
    if system == "metric":
        return area_mm2
    if system == "awg":
        return min(area_mm2, awg_area_mm2(size_name))
    if system == "sae":
        return min(area_mm2, sae_area_mm2(size_name))
    raise UnknownSizeError(f"size system is {system!r}; accepted: {', '.join(get_args(System))}")


@dataclass(frozen=True)
class Conductor:
    """One stocked cable.

    Attributes:
        id: the stock's own id.
        system: how the size is given.
        size_name: `2.5`, `14`, `1/0` ...
        area_mm2: copper area of one core [mm2].
        cores: cores in the cable; 1 is a single conductor.
        insulation_c: rated temperature of the insulation [deg C].
        sheath: whether the cores lie in a common sheath.
        tinned: whether the strands are tinned, which adds a few per cent of resistance.
        metal: what the strands are of: see `metals.py`.
        stranding: class of a metric conductor: 5 flexible, 2 stranded (stiff). AWG and SAE go by their own tables.

    Raises:
        BadNumberError, UnknownSizeError: when built from values that make no conductor.
    """

    id: str
    system: System
    size_name: str
    area_mm2: float
    cores: int
    insulation_c: float
    sheath: bool
    tinned: bool = False
    metal: str = COPPER
    stranding: Literal[2, 5] = 5

    def __post_init__(self) -> None:
        copper_area_mm2(self.system, self.area_mm2, self.size_name)
        metal_named(self.metal)
        if self.stranding not in (2, 5):
            raise BadNumberError(f"cable {self.id!r} is of class {self.stranding!r}; accepted: 2, 5 (IEC 60228)")
        if self.cores < 1:
            raise BadNumberError(f"cable {self.id!r} has {self.cores!r} cores; give 1 or more")
        if not 40.0 <= self.insulation_c <= 300.0:
            raise BadNumberError(
                f"cable {self.id!r}: insulation rated {self.insulation_c!r} C; give one from 40 to 300 C"
            )

    @property
    def copper_mm2(self) -> float:
        """Metal of one core that may be counted on [mm2]; for all but copper see `counts_as_mm2`."""
        return copper_area_mm2(self.system, self.area_mm2, self.size_name)

    @property
    def counts_as_mm2(self) -> float:
        """Area of copper it is looked up by [mm2].

        People round areas, so an AWG size stated within 1 % goes by its name. Another metal counts as the copper that
        conducts as well (caution, ours: it may carry a little more than that copper, being thicker).
        """
        nominal = awg_area_mm2(self.size_name) if self.system == "awg" else 0.0
        area = nominal if self.copper_mm2 >= NAME_HOLDS * nominal > 0.0 else self.copper_mm2
        return area / times_copper(self.metal)
