"""Planning the demo van: CPU seconds by stage, peak memory, and the ratio to a loop that calibrates the machine.

CPU seconds, so that what else runs on the machine changes little; units, so that figures of two machines compare.
"""

from __future__ import annotations

import resource
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

import numpy as np

from ribway.models.reading import read_project
from ribway.router.audit.check import audit_plan
from ribway.router.placing import room_prices  # noqa: F401  planning loads it when it comes to the bound
from ribway.router.planner import plan_project
from ribway.router.shell.choose import shell_of
from ribway.router.space.build import build_space
from ribway.router.space.network import build_network

DEMO = Path(__file__).parents[1] / "docs" / "demo" / "survey-van" / "project.yaml"
T = TypeVar("T")


def timed(make: Callable[[], T]) -> tuple[T, float]:
    """What a call returns, and its CPU seconds."""
    begun = time.process_time()
    made = make()
    return made, time.process_time() - begun


def calibration_loop() -> float:
    """A fixed piece of work, half plain Python and half arrays, of about half a second."""
    total = 0.0
    for k in range(1_500_000):
        total += (k * 7919) % 104729
    points = np.random.default_rng(1).random((600, 3))
    for _ in range(20):
        total += float(np.linalg.norm(points[:, None] - points[None], axis=2).min())
    return total


def peak_mb() -> float:
    """Most memory held so far [MB]; Linux counts in kilobytes, macOS in bytes."""
    used = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return used / (1024.0**2 if sys.platform == "darwin" else 1024.0)


def main() -> None:
    """Print the figures; modules are loaded before the clock starts."""
    before = peak_mb()
    _, unit = timed(calibration_loop)
    project, reading = timed(lambda: read_project(DEMO))
    shell, building = timed(lambda: shell_of(project, DEMO.parent))
    space, cutting = timed(lambda: build_space(project, shell))
    network, measuring = timed(lambda: build_network(space))
    plan, planning = timed(lambda: plan_project(project, DEMO.parent))  # on the shell that was just built
    _, auditing = timed(lambda: audit_plan(plan))
    rest = planning - cutting - measuring - auditing
    rows = (
        ("reading the project", reading),
        ("shell: metal with its holes", building),
        ("space: bays, ways, devices", cutting),
        ("network: lengths in the bays", measuring),
        ("routes, looms, sizes, bound, writing", rest),
        ("audit", auditing),
        ("the whole plan, without reading", building + planning),
    )
    print(f"{len(plan.runs)} runs, {len(plan.openings)} openings, {network.nodes} states, {len(network.length)} edges")
    for name, seconds in rows:
        print(f"{name:38}{seconds:7.2f} s{seconds / unit:8.2f} units")
    print(f"{'one unit (calibration loop)':38}{unit:7.2f} s")
    print(f"peak memory {peak_mb():.0f} MB, of it {before:.0f} MB for loaded modules")


if __name__ == "__main__":
    main()
