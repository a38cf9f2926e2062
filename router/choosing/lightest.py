"""The plan whose routes were chosen all together: taken where it is lighter than the negotiated one."""

from __future__ import annotations

from ribway.models.told import TOGETHER, Told, untold
from ribway.router.choosing.instances import posed
from ribway.router.choosing.sharing import LIMITS, resized
from ribway.router.copper import unrounded_kg
from ribway.router.planning import Planning, State
from ribway.router.proof.from_space import best_admitted

WORTH = 1e-6


def lightest(planning: Planning, state: State, told: Told = untold) -> State:
    """A state with less copper, from the search over all runs at once; the same state if it finds none.

    Bends and openings cost in that search what they cost in the negotiation, so that copper is not bought with them.

    Args:
        planning: what was planned.
        state: as it was negotiated.
        told: how far it is.
    """
    if not state.whole:
        return state
    asked = posed(planning, state)
    found = best_admitted(
        planning.network,
        asked.jobs,
        asked.adapted,
        planning.separation,
        LIMITS,
        lambda _, done, of: told(TOGETHER, done, of),
    )
    other = resized(planning, state, found.paths) if found.paths else None
    if other is None or unrounded_kg(planning, other) > unrounded_kg(planning, state) * (1.0 - WORTH):
        return state
    return other
