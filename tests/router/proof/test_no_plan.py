"""Where there is no plan: the proof, the ways it names, and what would help."""

from __future__ import annotations

import numpy as np
import pytest

from ribway.router.proof.certificate import at_least, certify
from ribway.router.proof.instance import Instance, Network, Run, Size
from ribway.router.proof.relaxing import Change, changed, relaxations
from ribway.router.proof.solve import solve


def two_gates(runs: int, kinds: str = "d", limits: tuple[float, float, float] = (25.0, 25.0, 0.0)) -> Instance:
    """Runs of 10 mm2 from the left to the right through three gates side by side."""
    arcs = []
    for k in range(runs):
        for gate in range(3):
            arcs += [(3 + 2 * k, gate, 1.0 + gate, gate), (gate, 4 + 2 * k, 1.0, -1)]
    arcs.sort()
    source, target, length, way = (np.array(column) for column in zip(*arcs, strict=True))
    limit = np.array(limits)
    net = Network(3 + 2 * runs, source, target, length, np.zeros(len(arcs)), way, limit, 10.0 * (limit > 0))
    made = tuple(
        Run(f"r{k}", 3 + 2 * k, 4 + 2 * k, kinds[k % len(kinds)], (Size(1.0, 10.0, 3.0),)) for k in range(runs)
    )
    return Instance(net, made, frozenset({("a", "d")}))


def test_four_fit_and_a_fifth_does_not() -> None:
    # Two gates take two runs of 10 mm2 each: by counting, four fit; the relaxation alone would let 2.5 a gate pass.
    assert solve(two_gates(4)).cost == pytest.approx(2 * 2.0 + 2 * 3.0)
    assert not certify(two_gates(4)).proved
    six = certify(two_gates(6))
    assert six.proved
    assert six.left_out == pytest.approx(1.0, rel=1e-6)  # 60 mm2 through 50 mm2
    assert at_least(six) == 1
    assert set(six.ways) == {0, 1}
    assert six.runs == tuple(range(6))
    found = solve(two_gates(6))
    assert (found.routes, found.proven, found.bound) == ((), True, float("inf"))


def test_kinds_apart_in_one_gate_are_named() -> None:
    one = certify(two_gates(2, "ad", (25.0, 0.0, 0.0)))
    assert one.proved
    assert one.ways == (0,)
    assert not certify(two_gates(2, "ad")).proved


def test_what_helps_is_solved_again_and_the_cheapest_comes_first() -> None:
    instance = two_gates(6)
    drill = Change("drill", 2, bore_mm=10.0, limit_mm2=25.0, price=2.0)
    found = relaxations(instance, [drill], most=3)
    assert found[0].changes == (drill,)
    assert found[0].cost == pytest.approx(2 * (2.0 + 3.0 + 4.0))
    assert [one.price for one in found] == sorted(one.price for one in found)
    for one in found:
        again = solve(changed(instance, one.changes))
        assert again.routes
    # A bore of 14 mm takes 49 mm2, four runs: with two in the other gate that is enough.
    assert found[1].changes[0].what == "larger"
    assert found[1].changes[0].bore_mm == 14.0
