"""Edges of the network that lead through air of some kinds."""

from __future__ import annotations

from collections.abc import Set as AbstractSet

import numpy as np
from numpy.typing import NDArray

from ribway.router.space.network import Network
from ribway.router.space.types import NOWHERE

Array = NDArray[np.float64]


def airs_of(network: Network) -> frozenset[str]:
    """All airs that a path may meet."""
    return frozenset(table.skin.zone for table in network.tables) | {way.zone for way in network.space.ways}


def barred_edges(network: Network, airs: AbstractSet[str]) -> Array:
    """``(e,)`` infinite for edges that cross a bay or enter a way with such air, else 0.

    Args:
        network: what is searched.
        airs: to be kept out of.
    """
    bays = np.array([table.skin.zone in airs for table in network.tables] + [False])
    ways = np.array([way.zone in airs for way in network.space.ways] + [False])
    bay = np.where(network.bay == NOWHERE, len(network.tables), network.bay)
    way = np.where(network.target < 2 * network.ways, network.target // 2, network.ways)
    return np.where(bays[bay] | ways[way], np.inf, 0.0)


def barred_ways(network: Network, airs: AbstractSet[str]) -> frozenset[int]:
    """Ways that a path must leave alone to keep out of such air: what lies in it, and every mouth of a bay that does.

    Args:
        network: what is searched.
        airs: to be kept out of.
    """
    if not airs:
        return frozenset()
    bays = {number for number, table in enumerate(network.tables) if table.skin.zone in airs}
    return frozenset(
        number
        for number, way in enumerate(network.space.ways)
        if way.zone in airs
        or any(mouth.bay in bays and not end for mouth, end in zip(way.mouths, way.ends_at, strict=True))
    )
