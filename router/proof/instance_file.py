"""Instances as plain text, and back."""

from __future__ import annotations

import json
import math
from typing import Any

import numpy as np

from ribway.router.proof.instance import Instance, InstanceFault, Network, Run, Size

FORMAT = "runs through ways, 1"


def to_text(instance: Instance, about: str = "") -> str:
    """An instance as JSON, one arc, way or run a line.

    Args:
        instance: to be written. Numbers are written so that reading gives the very same ones.
        about: a line for people.
    """
    net = instance.network
    arcs = [
        [int(a), int(b), float(m), float(x), int(w)]
        for a, b, m, x, w in zip(net.source, net.target, net.length_m, net.extra_m, net.way, strict=True)
    ]
    columns = (net.limit_mm2, net.bore_mm, net.opening) if net.opening.any() else (net.limit_mm2, net.bore_mm)
    ways = [[float(value) for value in row] for row in zip(*columns, strict=True)]
    runs = [
        {
            "name": run.name,
            "start": run.start,
            "end": run.end,
            "kind": run.kind,
            "sizes": [
                [s.rate, s.area_mm2, s.across_mm, None if math.isinf(s.longest_m) else s.longest_m, s.fixed]
                for s in run.sizes
            ],
            "via": list(run.via),
            "avoid": sorted(run.avoid),
        }
        for run in instance.runs
    ]
    head = {"format": FORMAT, "about": about, "nodes": net.nodes, "apart": sorted(map(list, instance.apart))}
    lines = [f"  {json.dumps(key)}: {json.dumps(value)}" for key, value in head.items()]
    for name, rows in (("ways", ways), ("arcs", arcs), ("runs", runs)):
        inside = ",\n".join(f"    {json.dumps(row, separators=(',', ':'))}" for row in rows)
        lines.append(f'  "{name}": [\n{inside}\n  ]')
    return "{\n" + ",\n".join(lines) + "\n}\n"


def from_text(text: str) -> Instance:
    """An instance from JSON.

    Raises:
        InstanceFault: it is of another format, or contradicts itself.
    """
    data: dict[str, Any] = json.loads(text)
    if data.get("format") != FORMAT:
        raise InstanceFault(f"format is {data.get('format')!r}, not {FORMAT!r}")
    arcs, ways = data["arcs"], data["ways"]
    network = Network(
        int(data["nodes"]),
        np.array([row[0] for row in arcs], dtype=np.int64),
        np.array([row[1] for row in arcs], dtype=np.int64),
        np.array([row[2] for row in arcs], dtype=np.float64),
        np.array([row[3] for row in arcs], dtype=np.float64),
        np.array([row[4] for row in arcs], dtype=np.int64),
        np.array([row[0] for row in ways], dtype=np.float64),
        np.array([row[1] for row in ways], dtype=np.float64),
        np.array([row[2] for row in ways if len(row) > 2], dtype=np.float64),
    )
    runs = tuple(
        Run(
            row["name"],
            row["start"],
            row["end"],
            row["kind"],
            tuple(Size(s[0], s[1], s[2], math.inf if s[3] is None else s[3], s[4]) for s in row["sizes"]),
            tuple(row["via"]),
            frozenset(row["avoid"]),
        )
        for row in data["runs"]
    )
    return Instance(network, runs, frozenset((a, b) for a, b in data["apart"]))
