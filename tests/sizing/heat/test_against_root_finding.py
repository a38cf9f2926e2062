"""200 seeded sections: the allowed current against all equations at once, written again and solved by scipy."""

import math
import random

import pytest
from scipy.optimize import brentq

from ribway.sizing.heat.section import Section, allowed_amps, hottest_c


def air(celsius):
    kelvin = celsius + 273.15
    mu = 1.716e-5 * (kelvin / 273.15) ** 1.5 * (273.15 + 110.4) / (kelvin + 110.4)  # Sutherland
    return mu * 287.05 * kelvin / 101325, mu * 1006 / 0.707


def off_surface(width, surface, ambient, emissivity):
    """Churchill and Chu (1975), and Stefan and Boltzmann."""
    nu, k = air((surface + ambient) / 2)
    ra = 9.80665 * (surface - ambient) * width**3 / (((surface + ambient) / 2 + 273.15) * nu**2) * 0.707
    nusselt = (0.60 + 0.387 * ra ** (1 / 6) / (1 + (0.559 / 0.707) ** (9 / 16)) ** (8 / 27)) ** 2
    radiated = emissivity * 5.670374e-8 * ((surface + 273.15) ** 4 - (ambient + 273.15) ** 4)
    return math.pi * width * (nusselt * k / width * (surface - ambient) + radiated)


def middle(amps, case):
    """Temperature of the hottest metal at a current, found as the root of heat made minus heat given off."""
    per_core = amps**2 * case["ohm"]
    total = per_core * case["cores"] + case["others"]
    width = case["bundle"] + 2 * case["cover"]
    inside = 1 / (4 * math.pi * 0.15) + math.log(width / case["bundle"]) / (2 * math.pi * 0.035)
    own = math.log(case["ratio"]) / (2 * math.pi * 0.17)

    def surplus(hot):
        grown = 1 + 0.00393 * (hot - 20)
        surface = hot - total * grown * inside - per_core * grown * own
        if surface <= case["air"]:
            return total * grown + case["air"] - surface
        return total * grown - off_surface(width, surface, case["air"], case["emissivity"])

    return brentq(surplus, case["air"], 900, xtol=1e-9)


def test_random_sections():
    rng = random.Random(600)
    held = 0
    for _ in range(200):
        case = {
            "bundle": rng.uniform(0.003, 0.06),
            "others": rng.choice([0.0, rng.uniform(0, 8)]),
            "cores": rng.choice([1, 2, 2, 3]),
            "cover": rng.choice([0.0, 0.0, rng.uniform(0, 0.03)]),
            "ratio": rng.uniform(1.0, 2.5),
            "emissivity": rng.uniform(0.5, 0.95),
            "air": rng.uniform(10, 65),
            "ohm": rng.uniform(0.0005, 0.03),
        }
        section = Section(
            case["bundle"], case["others"], None, case["cores"], case["cover"], 0.035, case["ratio"], case["emissivity"]
        )
        limit = rng.choice([70, 90, 105])
        amps = allowed_amps(section, case["air"], case["ohm"], limit)
        if amps == 0.0:
            assert middle(1e-6, case) >= limit - 1e-3
            continue
        held += 1
        assert middle(amps, case) == pytest.approx(limit, abs=1e-4)
        half = amps / 2
        assert hottest_c(section, case["air"], case["ohm"], half) == pytest.approx(middle(half, case), abs=1e-4)
    assert held > 120
