"""Whole plans: one route for each run, and whether they keep every rule."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from ribway.router.proof.instance import FILL_EPS, Instance, Route, route_of

LENGTH_EPS_M = 1e-9


def faults_of(instance: Instance, routes: Sequence[Route]) -> list[str]:
    """Every rule that a plan breaks, in words; worked out from the arcs alone."""
    net, out = instance.network, []
    if sorted(route.run for route in routes) != list(range(len(instance.runs))):
        out.append("not one route for each run")
    load = np.zeros(net.ways)
    inside: list[set[str]] = [set() for _ in range(net.ways)]
    for route in routes:
        run = instance.runs[route.run]
        size = run.sizes[route.size]
        if route != route_of(instance, route.run, route.size, route.arcs):
            out.append(f"run {run.name}: length, cost or ways are not those of its arcs")
        nodes = [run.start, *(int(net.target[arc]) for arc in route.arcs)]
        if (
            any(int(net.source[arc]) != node for arc, node in zip(route.arcs, nodes, strict=False))
            or nodes[-1] != run.end
        ):
            out.append(f"run {run.name}: its arcs make no path from start to end")
        if len(set(route.ways)) != len(route.ways):
            out.append(f"run {run.name}: passes a way twice")
        if route.length_m > size.longest_m + LENGTH_EPS_M:
            out.append(f"run {run.name}: {route.length_m:.3f} m is too long for its size")
        if run.avoid.intersection(route.ways) or not _in_order(run.via, route.ways):
            out.append(f"run {run.name}: does not keep to via and avoid")
        for way in route.ways:
            if net.bore_mm[way] < size.across_mm:
                out.append(f"run {run.name}: too wide for way {way}")
            load[way] += size.area_mm2
            inside[way].add(run.kind)
    out += [f"way {way}: over its limit" for way in np.flatnonzero(load > net.limit_mm2 * (1.0 + FILL_EPS))]
    for way, kinds in enumerate(inside):
        if any(instance.keeps_apart(a, b) for a in kinds for b in kinds):
            out.append(f"way {way}: {' and '.join(sorted(kinds))} must be apart")
    return out


def _in_order(wanted: Sequence[int], ways: Sequence[int]) -> bool:
    rest = iter(ways)
    return all(way in rest for way in wanted)


def cost_of(instance: Instance, routes: Sequence[Route]) -> float:
    """Cost of a plan, as a correctly rounded sum: its routes, and each way once that any of them passes."""
    opening = instance.network.openings
    used = {way for route in routes for way in route.ways}
    return math.fsum([*(route.cost for route in routes), *(float(opening[way]) for way in used)])
