"""What a search found, what it proved, and where it may stop."""

from __future__ import annotations

from dataclasses import dataclass

from ribway.router.proof.instance import Route


@dataclass(frozen=True)
class Limits:
    """Where a search stops. All but the last are counts, so that the same input gives the same answer.

    Args:
        tolerance: relative gap between plan and bound that counts as proved.
        rounds: pricing rounds at most before branching.
        nodes: parts of the search tree at most.
        sweeps: of negotiation at most.
        steps: of prices before any linear programme.
        choice_nodes: nodes of each choice among known routes.
        seconds: a user's cap; a search that meets it is marked.
    """

    tolerance: float = 9e-4
    rounds: int = 200
    nodes: int = 400
    sweeps: int = 200
    steps: int = 50
    choice_nodes: int = 20
    seconds: float | None = None


@dataclass(frozen=True)
class Result:
    """A plan and a bound.

    Args:
        routes: one a run, in order; empty if no plan was found.
        cost: of the plan; infinite without one.
        bound: no plan costs less; infinite if there is none.
        proven: the plan costs at most ``1 + tolerance`` times the best, or there is no plan.
        rounds: pricing rounds.
        nodes: parts of the tree that were looked at.
        capped: a cap on time ended the search, so that another machine may end elsewhere.
        story: (what, rounds, plan's cost, bound) after each stage.
    """

    routes: tuple[Route, ...]
    cost: float
    bound: float
    proven: bool
    rounds: int
    nodes: int
    capped: bool
    story: tuple[tuple[str, int, float, float], ...] = ()

    @property
    def gap_percent(self) -> float:
        """How much the plan might be above the best, in percent of its cost; infinite without a plan."""
        if not self.routes:
            return float("inf")
        return 100.0 * max(0.0, self.cost - self.bound) / self.cost if self.cost > 0.0 else 0.0
