"""Solar strings: the volts and amps that their run sees, from both ends."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from ribway.sizing.errors import BadNumberError, check_number

SUN_FACTOR: Final = 1.25
"""Sun stronger than the test sun: NEC 690.8(A)."""
TEST_C: Final = 25.0
TOUCH_V: Final = 60.0
"""Extra-low DC voltage that may be touched in dry places [V] (IEC 60364-4-41 414.4.5, memory)."""


@dataclass(frozen=True)
class Panel:
    """A panel as its label says.

    Attributes:
        open_v: open-circuit voltage at 25 C [V].
        short_a: short-circuit current [A].
        best_v: voltage at greatest power [V].
        best_a: current at greatest power [A].
        volts_per_k: change of the open-circuit voltage with temperature, as a share per kelvin, negative: -0.0030.
        greatest_fuse_a: greatest series fuse its label allows [A]; None if not said.
    """

    open_v: float
    short_a: float
    best_v: float
    best_a: float
    volts_per_k: float
    greatest_fuse_a: float | None = None

    def __post_init__(self) -> None:
        for value, name in (
            (self.open_v, "open-circuit voltage [V]"),
            (self.short_a, "short-circuit current [A]"),
            (self.best_v, "voltage at greatest power [V]"),
            (self.best_a, "current at greatest power [A]"),
        ):
            check_number(value, f"panel: {name}", positive=True)
        if not -0.01 < self.volts_per_k <= 0.0:
            raise BadNumberError(f"panel: {self.volts_per_k!r} per K; give a share such as -0.0030, not per cent")
        if self.best_v > self.open_v or self.best_a > self.short_a:
            raise BadNumberError("panel: greatest power lies above open circuit or short circuit; check the label")
        if self.greatest_fuse_a is not None:
            check_number(self.greatest_fuse_a, "panel: greatest fuse [A]", positive=True)


@dataclass(frozen=True)
class SolarRun:
    """What the run from the panels to the controller sees.

    Attributes:
        cold_open_v: between its conductors in the cold with nothing drawn: for insulation, switches and controller [V].
        working_v: at greatest power, hot: what a drop is held against [V].
        working_a: at greatest power [A].
        short_a: the most the sun can drive through it [A].
        string_fuses: whether each string needs a fuse of its own.
        live_ends: both ends can feed it: panels whenever it is light, and the battery through the controller.
        says: sentences that must be said with it.
        kills_controller: the string reaches more in the cold than its controller takes.
    """

    cold_open_v: float
    working_v: float
    working_a: float
    short_a: float
    string_fuses: bool
    live_ends: tuple[str, str]
    says: tuple[str, ...]
    kills_controller: bool = False


def solar_run(
    panel: Panel, in_series: int, strings: int, coldest_c: float, hottest_cell_c: float, controller_v: float | None
) -> SolarRun:
    """The run from a field of equal panels to its controller.

    Args:
        panel: the panel.
        in_series: panels in a string.
        strings: strings in parallel.
        coldest_c: coldest morning [deg C].
        hottest_cell_c: hottest cells at work [deg C].
        controller_v: greatest input voltage of the controller [V]; None if unknown.

    Source: voltage linear in temperature from 25 C; 1.25 x short-circuit current NEC 690.8(A); string fuses from three
    strings on, or where the others could drive more than the panel's label allows, NEC 690.9(A).
    """
    if in_series < 1 or strings < 1:
        raise BadNumberError(f"{in_series!r} panels in series, {strings!r} strings; give 1 or more of each")
    if not -60.0 <= coldest_c <= TEST_C or not TEST_C <= hottest_cell_c <= 100.0:
        raise BadNumberError(
            f"coldest {coldest_c!r} C, hottest cells {hottest_cell_c!r} C; give -60 to 25 C and 25 to 100 C"
        )
    cold_v = in_series * panel.open_v * (1.0 + panel.volts_per_k * (coldest_c - TEST_C))
    # Volts at greatest power fall by as many volts as open-circuit volts do; as a share of them, by more.
    hot_v = in_series * (panel.best_v + panel.open_v * panel.volts_per_k * (hottest_cell_c - TEST_C))
    backwards_a = (strings - 1) * panel.short_a * SUN_FACTOR
    limit_a = panel.greatest_fuse_a
    string_fuses = strings > 2 if limit_a is None else backwards_a > limit_a
    says = ["live from both ends: from the panels whenever it is light, cover them before connecting"]
    if controller_v is None:
        says.append(
            f"the controller's greatest input voltage is not known; the string reaches {cold_v:.1f} V in the cold"
        )
    elif cold_v > controller_v:
        says.append(
            f"the string reaches {cold_v:.1f} V in the cold, the controller takes {controller_v:g} V: fewer in series"
        )
    if cold_v > TOUCH_V:
        says.append(f"{cold_v:.1f} V in the cold is above {TOUCH_V:g} V and not safe to touch")
    return SolarRun(
        cold_open_v=cold_v,
        working_v=hot_v,
        working_a=strings * panel.best_a,
        short_a=strings * panel.short_a * SUN_FACTOR,
        string_fuses=string_fuses,
        live_ends=("panels", "controller"),
        says=tuple(says),
        kills_controller=controller_v is not None and cold_v > controller_v,
    )
