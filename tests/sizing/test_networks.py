"""Chains, trees and constant power against nodal analysis and closed forms; arrays against the scalar form."""

import math
import random

import numpy as np
import pytest

from ribway.sizing.constant_power import amps_of_power, constant_power
from ribway.sizing.drop import area_needed_mm2, chain_drops, drop_percent, drop_v, loop_ohm
from ribway.sizing.errors import BadNumberError, NoOperatingPointError, SizingError
from ribway.sizing.many import drop_v_many
from ribway.sizing.radial import radial_network


def nodal(parents, ohms, loads):
    """Kirchhoff's current law at every node as one linear system: G v = I."""
    count = len(parents)
    matrix = np.zeros((count, count))
    for node, parent in enumerate(parents):
        matrix[node, node] += 1 / ohms[node]
        if parent >= 0:
            matrix[parent, parent] += 1 / ohms[node]
            matrix[node, parent] -= 1 / ohms[node]
            matrix[parent, node] -= 1 / ohms[node]
    return np.linalg.solve(matrix, np.array(loads))


def test_trees_agree_with_nodal_analysis():
    rng = random.Random(8)
    for _ in range(300):
        count = rng.randint(1, 12)
        parents = [rng.randint(-1, node - 1) for node in range(count)]
        ohms = [rng.uniform(0.001, 0.3) for _ in range(count)]
        loads = [rng.choice([0.0, rng.uniform(0, 20)]) for _ in range(count)]
        result = radial_network(parents, ohms, loads, upstream_v=0.2)
        assert np.array(result.drops_v) - 0.2 == pytest.approx(nodal(parents, ohms, loads), abs=1e-9)
        from_source = sum(amps for amps, parent in zip(result.amps, parents, strict=True) if parent < 0)
        assert from_source == pytest.approx(sum(loads))


def test_chain_is_a_tree_without_branches():
    ohms, loads = [0.02, 0.05, 0.01, 0.2], [1.0, 0.0, 3.0, 0.5]
    assert chain_drops(ohms, loads) == pytest.approx(nodal([-1, 0, 1, 2], ohms, loads))
    assert chain_drops([], []) == ()


def test_malformed_networks_are_refused():
    with pytest.raises(SizingError, match="2 pieces of chain but 1"):
        chain_drops([1, 1], [1])
    with pytest.raises(SizingError, match="node 0 is fed from node 1"):
        radial_network([1, -1], [1, 1], [1, 1])
    with pytest.raises(SizingError, match="must be equal"):
        radial_network([-1], [1, 1], [1])
    with pytest.raises(BadNumberError, match="current at node 0"):
        chain_drops([1], [-1])


def test_constant_power_satisfies_both_laws():
    """V = Vs - I R and P = V I, and V is the upper of the two solutions: at least Vs/2."""
    rng = random.Random(18)
    for _ in range(500):
        source, ohm = rng.uniform(5, 60), rng.uniform(0.001, 1)
        power = rng.uniform(0, 1) * source**2 / (4 * ohm)
        point = constant_power(source, ohm, power)
        assert point.load_v == pytest.approx(source - point.amps * ohm)
        assert point.load_v * point.amps == pytest.approx(power)
        assert point.load_v >= source / 2
        assert point.lost_v == pytest.approx(source - point.load_v, abs=1e-9)


def test_too_much_power_has_no_solution():
    """Maximum power transfer: V^2/4R arrives at most, 12^2/(4 x 0.5) = 72 W."""
    assert constant_power(12, 0.5, 72).load_v == pytest.approx(6)
    with pytest.raises(NoOperatingPointError, match="at most 72 W"):
        constant_power(12, 0.5, 72.01)


def test_amps_of_power_is_not_below_the_true_current_inside_the_limit():
    for ohm in np.linspace(0, 0.06, 50):
        point = constant_power(12, float(ohm), 72)
        if point.lost_v <= 0.03 * 12:
            assert point.amps <= amps_of_power(72, 12, 3) * (1 + 1e-12)
    with pytest.raises(BadNumberError, match="below 100"):
        amps_of_power(72, 12, 100)


def test_area_needed_meets_its_limit_exactly():
    area = area_needed_mm2(7, 12, 0.3, 0.02)
    assert drop_v(7, 12 * 0.02 / area) == pytest.approx(0.3)
    with pytest.raises(BadNumberError, match="allowed drop"):
        area_needed_mm2(7, 12, 0, 0.02)


def test_many_equals_one_by_one():
    rng = np.random.default_rng(3)
    amps, cut, ohm = rng.uniform(0, 50, (40, 1)), rng.uniform(0, 20, (40, 1)), rng.uniform(0, 0.05, 9)
    before = amps.copy()
    volts = drop_v_many(amps, cut, ohm)
    assert volts.shape == (40, 9)
    for i in range(40):
        for j in range(9):
            assert volts[i, j] == pytest.approx(drop_v(amps[i, 0], loop_ohm(ohm[j], cut[i, 0])))
    assert (amps == before).all()
    with pytest.raises(BadNumberError, match="cable length"):
        drop_v_many([1.0], [math.nan], [0.1])


def test_percent_of_nominal():
    assert drop_percent(0.36, 12) == pytest.approx(3)
    with pytest.raises(BadNumberError, match="nominal"):
        drop_percent(1, 0)
