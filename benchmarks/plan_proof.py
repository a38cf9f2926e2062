"""All runs at once, with proof: cost, bound and CPU seconds on random bodies of known seeds.

    python benchmarks/plan_proof.py                  seeds 1 to 10, caps 1.5 and 2.0
    python benchmarks/plan_proof.py 3:1.0 7:1.0      chosen seeds and caps
    python benchmarks/plan_proof.py --size 200x1000  that many runs and holes
    python benchmarks/plan_proof.py --seconds 5      stop each at 5 s on the clock; without it counts decide

Every plan is checked by rules worked out anew from its arcs; a fault fails, a time never does.
"""

from __future__ import annotations

import argparse
import os
import statistics
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from rib_lattice import body, instance

from ribway.router.proof.plans import faults_of
from ribway.router.proof.result import Limits
from ribway.router.proof.solve import Search

# runs, holes, bays, stringer holes, boards
SETS = {"60x300": (60, 300, 14, 44, 1), "200x1000": (200, 1000, 40, 140, 4), "500x5000": (500, 5000, 60, 300, 10)}


class Timed(Search):
    """A search that also notes the CPU second at which each stage ended."""

    def _note(self, stage: str) -> None:
        super()._note(stage)
        self.seconds = [*getattr(self, "seconds", []), cpu()]


def cpu() -> float:
    """CPU seconds of this process and its children."""
    times = os.times()
    return times.user + times.system + times.children_user + times.children_system


def main(arguments: list[str]) -> int:
    """Print one line an instance; 1 if a plan breaks a rule."""
    parser = argparse.ArgumentParser(description="All runs at once: time and gap of random bodies, a line an instance.")
    parser.add_argument("--size", choices=sorted(SETS), default="60x300", help="runs x openings")
    parser.add_argument("--seconds", type=float, help="cap on the clock; none by itself")
    parser.add_argument(
        "instances", nargs="*", metavar="SEED:CAP", help="such as 1:1.5; seeds 1 to 10 at 1.5 and 2.0 if none"
    )
    asked = parser.parse_args(arguments)
    shape, cap = SETS[asked.size], asked.seconds
    wanted = [one.split(":") for one in asked.instances] or [[str(s), c] for s in range(1, 11) for c in ("1.5", "2.0")]
    gaps, bad = [], 0
    print("seed  cap     cost    bound   gap %  proven  first plan: gap %, CPU s   all: CPU s    s  rounds nodes")
    for seed, fill in wanted:
        made = instance(body(int(seed), *shape), float(fill))
        begun, clock = cpu(), time.perf_counter()
        search = Timed(made, Limits(seconds=cap), time.perf_counter)
        found = search.run()
        took, wall = cpu() - begun, time.perf_counter() - clock
        bad += bool(found.routes and faults_of(made, found.routes))
        at, first, lag = next(
            (
                (i, cost, search.seconds[i] - begun)
                for i, (_, _, cost, _) in enumerate(found.story)
                if cost < float("inf")
            ),
            (-1, float("inf"), 0.0),
        )
        gaps.append(found.gap_percent)
        print(
            f"{seed:>4} {fill:>4} {found.cost:8.4f} {found.bound:8.4f} {found.gap_percent:7.3f}  {found.proven!s:6}"
            f"  {100 * (first - found.bound) / first if at >= 0 else float('inf'):8.3f} {lag:10.2f}"
            f"          {took:10.2f} {wall:6.1f} {found.rounds:6} {found.nodes:5}",
            flush=True,
        )
    print(
        f"median gap {statistics.median(gaps):.3f} %, {sum(gap <= 0.1001 for gap in gaps)} of {len(gaps)} within 0.1 %"
    )
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
