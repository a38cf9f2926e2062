"""Proof that not all runs can be led: prices at which every way together is too small for what the runs must carry."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from ribway.router.proof.instance import Instance
from ribway.router.proof.kinds import groups_of
from ribway.router.proof.master import Master
from ribway.router.proof.prices import lower_bound, no_prices, nothing_shut
from ribway.router.proof.pricing import Pricer

ROUNDS = 60
SURE = 1e-7  # a bound on the number of runs left out must be above this to count


@dataclass(frozen=True)
class Certificate:
    """Why not all runs find room.

    Args:
        proved: there is no plan; else the rules hold on average, and nothing is said.
        left_out: at least this many runs go without a route; a sum of fractions, so 0.2 means one.
        ways: that are too small or must be shared by kinds that keep apart, the worst first.
        runs: that can't do without these ways, the neediest first.
        alone: runs that have no route even alone.
    """

    proved: bool
    left_out: float
    ways: tuple[int, ...]
    runs: tuple[int, ...]
    alone: tuple[int, ...]


def certify(instance: Instance, rounds: int = ROUNDS, enough: float = math.inf) -> Certificate:
    """Look for a proof that there is no plan.

    As few runs as possible are left out, on average over routes. The prices of that programme give, by the cheapest
    priced path of each run, a lower bound on how many are left out in any plan. Above 0, there is none.

    Args:
        instance: what is to be solved.
        rounds: pricing rounds at most.
        enough: runs left out in a plan that is known; once as many are shown to be, nothing more can be.

    Returns:
        The certificate.
    """
    groups = groups_of(instance)
    runs, ways = len(instance.runs), instance.network.ways
    pricer = Pricer(instance, groups, free=True)
    shut = nothing_shut(groups.count, ways)
    first = pricer.price(no_prices(groups.count, runs, ways), shut)
    alone = tuple(k for k in range(runs) if not np.isfinite(first.values[k]))
    if alone:
        return Certificate(True, float(len(alone)), (), alone, alone)
    master = Master(instance, groups, 1.0, free=True)
    master.add_routes(route for some in first.offers for _, route in some)
    best = Certificate(False, 0.0, (), (), ())
    for _ in range(rounds):
        shares = master.solve()
        if shares is None:
            break
        priced = pricer.price(shares.prices, shut, shares.worth - SURE)
        # A run may be left out at 1, so no run's path counts for more.
        values = np.minimum(priced.values, 1.0)
        bound = lower_bound(values, shares.prices, groups, shut, instance.network.nodes)
        if bound > max(best.left_out, SURE):
            weight = shares.prices.per_mm2.sum(axis=0) * instance.network.limit_mm2 + shares.prices.reward.sum(axis=0)
            worst = sorted(np.flatnonzero(weight > SURE).tolist(), key=lambda way: (-weight[way], way))
            needy = sorted(np.flatnonzero(values > SURE).tolist(), key=lambda run: (-values[run], run))
            best = Certificate(True, bound, tuple(worst), tuple(needy), ())
        if at_least(best) >= enough:
            break
        new = master.add_routes(
            route for k, some in enumerate(priced.offers) for value, route in some if value < shares.worth[k] - SURE
        )
        if not new or shares.value - max(bound, 0.0) < SURE:
            break
    return best


def at_least(certificate: Certificate) -> int:
    """Whole number of runs that go without a route."""
    return math.ceil(certificate.left_out - SURE) if certificate.proved else 0
