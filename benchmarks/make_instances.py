"""Write the instances in benchmarks/instances anew, and what is proved of each to optima.csv."""

from __future__ import annotations

import csv
import sys
from dataclasses import replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

import numpy as np
from rib_lattice import body, instance

from ribway.router.proof.instance import Instance
from ribway.router.proof.instance_file import from_text, to_text
from ribway.router.proof.result import Limits
from ribway.router.proof.solve import solve

FOLDER = Path(__file__).parent / "instances"
# seed, runs, holes, bays, stringer holes, cap
WANTED = (
    (1, 8, 60, 6, 18, 1.0),
    (2, 12, 80, 8, 24, 1.0),
    (3, 20, 110, 8, 24, 0.8),
    (4, 30, 120, 8, 24, 1.0),
    (5, 12, 80, 8, 24, 0.4),
)


def rounded(made: Instance) -> Instance:
    """Lengths to 0.1 mm, areas to 0.1 mm2, rates to 1 mg: short numbers that anyone reads alike."""
    net = made.network
    tidy = replace(net, length_m=np.ceil(net.length_m * 1e4) / 1e4, limit_mm2=np.floor(net.limit_mm2 * 10) / 10)
    runs = []
    for run in made.runs:
        sizes = tuple(
            replace(
                size,
                rate=round(size.rate, 6),
                area_mm2=round(size.area_mm2, 1),
                across_mm=round(size.across_mm, 3),
                longest_m=round(size.longest_m, 4),
            )
            for size in run.sizes
        )
        runs.append(replace(run, sizes=sizes))
    return replace(made, network=tidy, runs=tuple(runs))


def main() -> int:
    """Write all files."""
    rows = []
    for seed, runs, holes, bays, stringer_holes, cap in WANTED:
        made = rounded(instance(body(seed, runs, holes, bays, stringer_holes), cap))
        name = f"lattice-{runs}x{holes}-{seed}.json"
        text = to_text(made, f"{runs} runs, {holes} holes, fill {45 * cap:.0f} % of a hole's area")
        (FOLDER / name).write_text(text, encoding="utf-8")
        found = solve(from_text(text), Limits(tolerance=1e-6, nodes=3000))
        what = "no plan" if found.proven and not found.routes else f"{found.cost:.6f}"
        rows.append((name, runs, holes, what, f"{found.bound:.6f}", found.proven))
        print(*rows[-1], len(text), found.nodes, flush=True)
    with (FOLDER / "optima.csv").open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(("file", "runs", "ways", "cost", "bound", "proven_to_1e-6"))
        writer.writerows(rows)
    return 0


if __name__ == "__main__":
    sys.exit(main())
