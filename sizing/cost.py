"""What a run costs: copper, mass, money and watt-hours; and the same load at 12, 24 and 48 V."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ribway.sizing.choice import Choice, choose_conductor
from ribway.sizing.conductor import Conductor
from ribway.sizing.constant_power import amps_of_power
from ribway.sizing.demand import Demand, Leg, Stretch
from ribway.sizing.errors import BadNumberError, check_number
from ribway.sizing.metals import metal_named
from ribway.sizing.resistance import hot_ohm_per_m
from ribway.sizing.rules import SizingRules

HOURS_A_DAY = 24.0


@dataclass(frozen=True)
class RunCost:
    """What a run costs.

    Attributes:
        metal_kg: copper (or what it is of) in all cores [kg].
        cable_kg: with insulation and sheath [kg]; None if its mass per metre is not known.
        price: in the money of the price list; None if its price is not known.
        loss_w: heat in the wires while the load runs [W].
        loss_wh_per_day: of one day [Wh].
    """

    metal_kg: float
    cable_kg: float | None
    price: float | None
    loss_w: float
    loss_wh_per_day: float


def metal_kg(conductor: Conductor, cut_m: float) -> float:
    """Mass of the metal of a cut cable, all cores [kg].

    Args:
        conductor: its cable; the area as sold counts.
        cut_m: length cut [m].
    """
    check_number(cut_m, "length cut [m]")
    return conductor.area_mm2 * conductor.cores * cut_m * metal_named(conductor.metal).density_g_per_cm3 * 1e-3


def run_cost(
    conductor: Conductor,
    cut_m: float,
    amps: float,
    hours_per_day: float,
    copper_c: float,
    loaded_cores: int = 2,
    cable_g_per_m: float | None = None,
    price_per_m: float | None = None,
) -> RunCost:
    """What a run costs in copper, mass, money and loss.

    Args:
        conductor: its cable.
        cut_m: length cut [m]; loss is reckoned over all of it.
        amps: what flows while the load runs [A].
        hours_per_day: how long it runs [h].
        copper_c: temperature of the metal then [deg C].
        loaded_cores: cores that carry the current.
        cable_g_per_m: mass of the cable [g/m].
        price_per_m: price of the cable.

    Source: loss = I2 R.
    """
    check_number(amps, "current [A]")
    if not 0.0 <= hours_per_day <= HOURS_A_DAY:
        raise BadNumberError(f"{hours_per_day!r} hours a day; give 0 to 24")
    for value, name in ((cable_g_per_m, "mass of the cable [g/m]"), (price_per_m, "price per metre")):
        if value is not None:
            check_number(value, name)
    loss_w = amps**2 * hot_ohm_per_m(conductor, copper_c) * cut_m * loaded_cores
    return RunCost(
        metal_kg=metal_kg(conductor, cut_m),
        cable_kg=None if cable_g_per_m is None else cable_g_per_m * cut_m / 1000.0,
        price=None if price_per_m is None else price_per_m * cut_m,
        loss_w=loss_w,
        loss_wh_per_day=loss_w * hours_per_day,
    )


@dataclass(frozen=True)
class AtVoltage:
    """A load at one system voltage.

    Attributes:
        nominal_v: the voltage [V].
        amps: what it draws at the lowest voltage the limit allows [A].
        conductor: the cable chosen; None if none in stock will do.
        reason: what decided, or why none will do.
        metal_kg: of the cable [kg]; None if none will do.
        loss_w: in the wires [W]; None if none will do.
    """

    nominal_v: float
    amps: float
    conductor: Conductor | None
    reason: str
    metal_kg: float | None
    loss_w: float | None


def voltages_compared(
    candidates: Sequence[Conductor],
    power_w: float,
    cut_m: float,
    limit_percent: float,
    stretches: tuple[Stretch, ...],
    rules: SizingRules,
    voltages: Sequence[float] = (12.0, 24.0, 48.0),
) -> tuple[AtVoltage, ...]:
    """The same load at several system voltages.

    Args:
        candidates: stock, thin to thick.
        power_w: what the load takes [W].
        cut_m: length of the run, one way [m].
        limit_percent: greatest drop [%].
        stretches: its surroundings.
        rules: rule set.
        voltages: nominal voltages [V].

    Returns:
        One entry a voltage.
    """
    out: list[AtVoltage] = []
    for volts in voltages:
        amps = amps_of_power(power_w, volts, limit_percent)
        answer = choose_conductor(candidates, Demand((Leg(cut_m, amps),), stretches, volts, limit_percent), rules)
        if isinstance(answer, Choice):
            chosen = answer.verdict.conductor
            loss_w = 2.0 * amps**2 * cut_m * answer.verdict.ohm_per_m
            out.append(AtVoltage(volts, amps, chosen, answer.reason, metal_kg(chosen, cut_m), loss_w))
        else:
            out.append(AtVoltage(volts, amps, None, answer.needed.says, None, None))
    return tuple(out)
