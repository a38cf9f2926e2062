"""The heat of a bundle: at what a run is said to carry, with all others at their currents, is its middle too hot?

Asked at one point: with all metal as hot as the coolest insulation allows, does the surface give off what is made inside?
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from typing import Final

from ribway.models.plan.results import Finding, PlanRun
from ribway.router.audit.book import Book
from ribway.router.audit.conductors import hot
from ribway.router.audit.drop import cold_ohm
from ribway.router.audit.findings import error
from ribway.router.audit.surroundings import Stretch, set_of, stretches

KELVIN: Final = 273.15
BLACK_W_PER_M2K4: Final = 5.670374e-8
"""Stefan and Boltzmann's constant, CODATA 2018."""
EMISSIVITY: Final = 0.9
ACROSS_W_PER_MK: Final = 0.15
"""Conductivity across a bundle of insulated wires."""
SKIN_W_PER_MK: Final = 0.17
"""Conductivity of PVC (handbook value)."""
STORES_MJ: Final = {"copper": 3.45, "copper-clad aluminium": 2.52, "aluminium": 2.42}
"""Heat that a cubic metre of metal stores a kelvin [MJ/(m3 K)] (handbook values)."""
PLAY: Final = 0.05
"""Air's handbook values differ by a few per cent from one formula to the next."""


def check_heat(book: Book) -> Iterator[Finding]:
    """Every run in every bundle that it lies in, where the plan says that heat was reckoned."""
    if book.plan.rules.derating == "factor":
        return
    for name, around in book.once(stretches).items():
        run = book.runs[name]
        if not book.is_loaded(run) or run.derated_a is None:
            continue
        spare = {one: _spare(book, run, one, run.derated_a) for one in around}
        worst = min(spare, key=lambda one: (spare[one], sorted(one.runs)))
        if spare[worst] < -PLAY:
            beside = ", ".join(sorted(worst.runs - {name})) or "nothing"
            yield error(
                "too-hot", name,
                f"at the {run.derated_a:g} A it may carry it says, beside {beside} in {worst.air_c:g} C air, "
                f"{-100.0 * spare[worst]:.0f} % of its heat cannot leave",
            )  # fmt: skip


def _spare(book: Book, run: PlanRun, stretch: Stretch, amps: float) -> float:
    """Share of the heat made that the bundle could give off beyond it; negative if it cannot give off all."""
    loaded = [one for name in stretch.runs if book.is_loaded(one := book.runs[name])]
    limit_c = min(book.cable_of(one).insulation_c for one in loaded)
    circuits = Counter(book.runs[name].circuit for name in stretch.runs)
    mine = set_of(book, run, circuits)
    by_set: dict[str, float] = {}
    for one in loaded:
        name = set_of(book, one, circuits) or f"alone {one.id}"
        if one.id != run.id and (not mine or name != mine):
            by_set[name] = max(
                by_set.get(name, 0.0),
                book.loaded(one)
                * _on(book, one)
                * one.design_a**2
                * hot(book.cable_of(one), cold_ohm(book.cable_of(one)), limit_c),
            )
    core = amps**2 * hot(book.cable_of(run), cold_ohm(book.cable_of(run)), limit_c)
    made = book.loaded(run) * core + sum(by_set.values())
    if made <= 0.0:
        return 1.0
    area_m2 = sum(_area_m2(book.runs[name]) for name in stretch.runs)
    inside = made / (4.0 * math.pi * ACROSS_W_PER_MK) + core * math.log(2.0) / (2.0 * math.pi * SKIN_W_PER_MK)
    return _given_off(math.sqrt(4.0 * area_m2 / math.pi), limit_c - inside, stretch.air_c) / made - 1.0


def _on(book: Book, run: PlanRun) -> float:
    """Share of a run's steady heat that reaches what lies beside it, for one that is on for a while only.

    First order: 1 - exp(-on/tau) of it while on, over 1 - exp(-(on + off)/tau) where it does not get cold between; tau is the
    metal's heat over its own insulation's conductance alone.
    """
    circuit = book.circuits[run.circuit]
    if circuit.on_s is None:
        return 1.0
    cable = book.cable_of(run)
    tau = 1e6 * STORES_MJ[cable.metal] * 1e-6 * cable.area_mm2 * math.log(2.0) / (2.0 * math.pi * SKIN_W_PER_MK)
    on = 1.0 - math.exp(-circuit.on_s / tau)
    return on if circuit.off_s is None else on / (1.0 - math.exp(-(circuit.on_s + circuit.off_s) / tau))


def _area_m2(run: PlanRun) -> float:
    """Outside area of all pieces of a run, flats with round edges [m2]."""
    wide, thin = run.outside_mm / 1000.0, (run.thickness_mm or run.outside_mm) / 1000.0
    return run.pieces * (math.pi / 4.0 * thin**2 + max(0.0, wide - thin) * thin)


def _given_off(diameter_m: float, surface_c: float, air_c: float) -> float:
    """Heat that a metre of a level cylinder gives off in still air [W/m].

    Source: Churchill and Chu 1975 for the air; Stefan and Boltzmann. Air by powers of its temperature (handbook).
    """
    rise = surface_c - air_c
    if rise <= 0.0:
        return 0.0
    film = (surface_c + air_c) / 2.0 + KELVIN
    conducts = 0.0241 * (film / KELVIN) ** 0.86
    thin = 1.327e-5 * (film / KELVIN) ** 1.74  # kinematic viscosity [m2/s]
    rayleigh = 9.81 * rise * diameter_m**3 * 0.71 / (film * thin**2)
    nusselt: float = (0.6 + 0.387 * rayleigh ** (1.0 / 6.0) / (1.0 + (0.559 / 0.71) ** 0.5625) ** (8.0 / 27.0)) ** 2
    glow = EMISSIVITY * BLACK_W_PER_M2K4 * ((surface_c + KELVIN) ** 4 - (air_c + KELVIN) ** 4)
    off: float = math.pi * (nusselt * conducts * rise + diameter_m * glow)
    return off
