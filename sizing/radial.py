"""Currents and drops of a radial network: a tree of constant-current loads fed from one source."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ribway.sizing.errors import SizingError, check_number


@dataclass(frozen=True)
class Radial:
    """What flows and what is lost in a radial network.

    Attributes:
        amps: `(n,)` current in the piece that ends at each node [A].
        drops_v: `(n,)` volts lost between source and node [V].
    """

    amps: tuple[float, ...]
    drops_v: tuple[float, ...]


def radial_network(
    parents: Sequence[int], loop_resistances_ohm: Sequence[float], load_amps: Sequence[float], upstream_v: float = 0.0
) -> Radial:
    """Currents and drops of a tree of constant-current loads fed from one source.

    Args:
        parents: `(n,)` node each node is fed from, -1 for the source; a parent comes before its children.
        loop_resistances_ohm: `(n,)` loop resistance of the piece that ends at each node [ohm].
        load_amps: `(n,)` current drawn at each node [A].
        upstream_v: lost before the source node [V].

    Returns:
        Currents and drops by node.

    Raises:
        SizingError: lengths differ, or a node comes before its parent. BadNumberError: see `check_number`.
    """
    count = len(parents)
    if len(loop_resistances_ohm) != count or len(load_amps) != count:
        raise SizingError(
            f"{count} nodes, {len(loop_resistances_ohm)} resistances, {len(load_amps)} loads: must be equal"
        )
    check_number(upstream_v, "drop before the chain [V]")
    for node, parent in enumerate(parents):
        if not -1 <= parent < node:
            raise SizingError(f"node {node} is fed from node {parent}; list a node after the one that feeds it")
        check_number(loop_resistances_ohm[node], f"loop resistance to node {node} [ohm]")
        check_number(load_amps[node], f"current at node {node} [A]")
    amps = [float(load) for load in load_amps]
    for node in range(count - 1, -1, -1):
        if parents[node] >= 0:
            amps[parents[node]] += amps[node]
    drops: list[float] = []
    for node, parent in enumerate(parents):
        before = upstream_v if parent < 0 else drops[parent]
        drops.append(before + amps[node] * loop_resistances_ohm[node])
    return Radial(tuple(amps), tuple(drops))
