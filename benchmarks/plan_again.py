"""Planning the demo van again after one device moved: CPU seconds against planning it from nothing, in one run.

Moves follow one another like those of a person who looks for a place; each is timed, every last plan is audited.
"""

from __future__ import annotations

import random
import statistics
import time
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from ribway.models.project import Project
from ribway.models.reading import read_project
from ribway.router.again.replan import again, finished, start
from ribway.router.faults import RouterFaults
from ribway.router.planner import plan_project

DEMO = Path(__file__).parents[1] / "docs" / "demo" / "survey-van" / "project.yaml"
DEVICES = ("fridge", "usb-3", "heater", "pump", "roof-2", "usb-1", "work-right")
MOVES = 30
REACH_M = 0.12
T = TypeVar("T")


def timed(make: Callable[[], T]) -> tuple[T, float]:
    """What a call returns, and its CPU seconds."""
    begun = time.process_time()
    made = make()
    return made, time.process_time() - begun


def moved(project: Project, first: Project, rng: random.Random) -> Project:
    """A project with one device somewhere near its first place."""
    name = rng.choice(DEVICES)
    home = next(one for one in first.devices if one.id == name).at
    back = round((home.back or 0.0) + rng.uniform(-REACH_M, REACH_M), 3)
    devices = (
        one.model_copy(update={"at": home.model_copy(update={"back": back})}) if one.id == name else one
        for one in project.devices
    )
    return project.model_copy(update={"devices": tuple(devices)})


def main() -> None:
    """Print the figures; modules are loaded and caches of tables filled before the clock starts."""
    project = read_project(DEMO)
    plan_project(project, DEMO.parent)
    _, cold = timed(lambda: plan_project(project, DEMO.parent))
    now, first = timed(lambda: start(project, DEMO.parent))
    rng, seconds, changed, refused, anew = random.Random(3), [], [], 0, 0
    for _ in range(MOVES):
        wanted = moved(now.project, project, rng)
        try:
            now, spent = timed(lambda wanted=wanted, now=now: again(now, wanted))  # type: ignore[misc]
        except RouterFaults:
            refused += 1
            continue
        anew += bool(now.cold)
        seconds.append(spent)
        changed.append(len(now.changed))
    whole, adding = timed(lambda: finished(now))
    middle, worst = statistics.median(seconds), max(seconds)
    print(
        f"{len(now.plan.runs)} runs; {len(seconds)} moves, {refused} refused (no place there), {anew} planned from nothing"
    )
    print(f"{'from nothing, with bound and audit':36}{cold:7.2f} s")
    print(f"{'the first plan of a sitting':36}{first:7.2f} s")
    print(f"{'again, middle of all moves':36}{middle:7.2f} s   1 to {cold / middle:.0f}")
    print(f"{'again, the slowest':36}{worst:7.2f} s   1 to {cold / worst:.0f}")
    print(f"{'bound and audit of the last':36}{adding:7.2f} s")
    print(f"runs changed by a move: {min(changed)} to {max(changed)}")
    print(f"the last plan is {'' if whole.plan.complete else 'not '}complete")


if __name__ == "__main__":
    main()
