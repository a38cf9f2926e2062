"""AC: figures for the licensed person who designs, connects and tests it. Nothing here chooses an AC cable."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from ribway.sizing.ampacity import derated_ampacity
from ribway.sizing.conductor import Conductor
from ribway.sizing.demand import Stretch
from ribway.sizing.drop import drop_percent, drop_v, loop_ohm
from ribway.sizing.errors import check_number
from ribway.sizing.resistance import hot_ohm_per_m
from ribway.sizing.rules import SizingRules, rule_set

LICENSED: Final = "AC is to be designed, connected and tested by a licensed person; these figures are information only"
SMALL_BREAKERS: Final = {"14": 15.0, "12": 20.0, "10": 30.0}
"""Greatest breaker of small copper conductors by AWG [A] (NEC 240.4(D), memory)."""


@dataclass(frozen=True)
class AcInformation:
    """What is known of an AC cable.

    Attributes:
        derated_a: what it may carry where it lies [A].
        drop_v: lost there and back at the current [V].
        drop_percent: the same, of the nominal voltage [%].
        says: sentences, `LICENSED` always among them.
    """

    derated_a: float
    drop_v: float
    drop_percent: float
    says: tuple[str, ...]


def ac_information(
    conductor: Conductor,
    amps: float,
    breaker_a: float | None,
    cut_m: float,
    nominal_v: float,
    stretches: Sequence[Stretch],
    rules: SizingRules | None = None,
) -> AcInformation:
    """Figures of an AC cable: single phase, resistance alone (reactance is nothing below 35 mm2).

    Args:
        conductor: its cable.
        amps: what flows [A].
        breaker_a: its breaker [A]; None if not known.
        cut_m: length one way [m].
        nominal_v: nominal voltage [V].
        stretches: its surroundings.
        rules: rule set; `NEC-AC` if not given.
    """
    check_number(amps, "current [A]")
    rules = rule_set("NEC-AC") if rules is None else rules
    derated_a = derated_ampacity(conductor, stretches, rules).derated_a
    volts = drop_v(amps, loop_ohm(hot_ohm_per_m(conductor, conductor.insulation_c), cut_m))
    says = [LICENSED]
    if breaker_a is None:
        says.append(f"its breaker is not known; the cable may carry {derated_a:.4g} A where it lies")
    elif breaker_a > derated_a * (1.0 + 1e-9):
        says.append(f"the {breaker_a:g} A breaker is above the {derated_a:.4g} A the cable may carry where it lies")
    most_a = SMALL_BREAKERS.get(conductor.size_name) if conductor.system == "awg" else None
    if breaker_a is not None and most_a is not None and breaker_a > most_a:
        says.append(f"{conductor.size_name} AWG may have a breaker of {most_a:g} A at most (NEC 240.4(D))")
    return AcInformation(derated_a, volts, drop_percent(volts, nominal_v), tuple(says))
