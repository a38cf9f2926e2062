"""Column generation: prices from the linear programme, better routes from the prices, until none is better."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from ribway.router.proof.covers import separate
from ribway.router.proof.instance import Instance
from ribway.router.proof.kinds import Groups
from ribway.router.proof.master import Master
from ribway.router.proof.prices import Prices, Shut, lower_bound
from ribway.router.proof.pricing import Priced, Pricer
from ribway.router.proof.rules import Shares


@dataclass(frozen=True, eq=False)
class Generated:
    """What came of it.

    Args:
        bound: best lower bound met.
        shares: last solution; None if the solver gave none.
        prices: those of the best bound.
        priced: routes at them.
        rounds: pricing rounds.
    """

    bound: float
    shares: Shares | None
    prices: Prices | None
    priced: Priced | None
    rounds: int


class Generator:
    """Holds what column generation needs."""

    def __init__(
        self, instance: Instance, groups: Groups, master: Master, pricer: Pricer, expired: Callable[[], bool] = bool
    ) -> None:
        """Args: what it works on; ``expired``: whether a user's cap on time is met."""
        self._expired = expired
        self.instance, self.groups, self.master, self.pricer = instance, groups, master, pricer
        self.rounds = 0

    def run(self, shut: Shut, most: int, close: float = 1e-5, enough: float = math.inf, cuts: int = 0) -> Generated:
        """Generate until the value is within ``close`` of the bound, or the bound reaches ``enough``.

        Args:
            shut: what is not to be used.
            most: rounds at most.
            close: relative.
            enough: a bound that ends the search.
            cuts: times that covers are taken in when nothing better is found.
        """
        bound, best, priced, shares, rounds = -math.inf, None, None, None, 0
        nodes = self.instance.network.nodes
        while rounds < most and not (rounds and self._expired()):
            shares = self.master.solve()
            if shares is None:
                break
            rounds += 1
            found = self.pricer.price(shares.prices, shut, shares.worth - 1e-9)
            here = lower_bound(found.values, shares.prices, self.groups, shut, nodes)
            if here > bound:
                bound, best, priced = here, shares.prices, found
            if bound >= enough:
                break
            new = self.master.add_routes(
                route for k, some in enumerate(found.offers) for value, route in some if value < shares.worth[k] - 1e-9
            )
            if new and shares.value - bound > close * abs(shares.value):
                continue
            if not cuts or not separate(self.instance, self.groups, self.master, shares.shares):
                break
            cuts -= 1
        self.rounds += rounds
        return Generated(bound, shares, best, priced, rounds)


def whole(shares: Shares) -> bool:
    """Whether every run has one route, whole."""
    return bool(np.all(shares.unled < 1e-6)) and all(share > 1.0 - 1e-6 for _, share in shares.routes)
