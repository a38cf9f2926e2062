"""All papers of the demo van, paper by paper, and the packing of 60 mixed round and flat cables.

The demo is planned first, which is not counted; modules are loaded before the clock starts.
"""

from __future__ import annotations

import random
import time
from pathlib import Path

from ribway.models.plan_file import load_plan, save_plan
from ribway.models.rates.reading import read_rates
from ribway.models.reading import read_project
from ribway.router.geometry.packing import Outline, pack
from ribway.router.planner import plan_project
from ribway.sheets.catalogue import PAPERS, all_files
from ribway.sheets.paper.wishes import FORMATS, Wishes

DEMO = Path(__file__).resolve().parent.parent / "docs" / "demo" / "survey-van"
CABLES = 60
SIZES_MM = ((5.0, 5.0), (6.8, 3.9), (8.4, 4.6), (9.5, 9.5), (10.0, 5.4), (11.6, 6.2), (16.0, 8.0))
REPEATS = 3


def papers() -> None:
    """Seconds of each paper, and of all of them together with the workbook."""
    plan = plan_project(read_project(DEMO / "project.yaml"), DEMO)
    file = Path("papers-demo-plan.json")
    file.write_text(save_plan(plan), encoding="utf-8")
    wishes = Wishes(rates=read_rates(DEMO / "rates.yaml"))
    begun = time.process_time()
    plan = load_plan(file)
    read_s = time.process_time() - begun
    file.unlink()
    best = min(_seconds(lambda: dict(all_files(plan, wishes, PAPERS, FORMATS))) for _ in range(REPEATS))
    print(f"all {len(PAPERS)} papers, PDF, CSV, SVG and workbook: {best:.2f} s CPU; reading the plan {read_s:.2f} s")
    for paper in PAPERS:
        seconds = _seconds(lambda paper=paper: dict(all_files(plan, wishes, (paper,), ("pdf", "csv", "svg"))))
        print(f"  {paper.name:14} {seconds:.2f} s")


def packing() -> None:
    """Seconds to pack 60 mixed cables, the quick way that looms take and the thorough one."""
    for quick in (True, False):
        spans, gaps = [], []
        for seed in range(REPEATS):
            rng = random.Random(seed)
            outlines = tuple(Outline(wide / 1000.0, thick / 1000.0) for wide, thick in rng.choices(SIZES_MM, k=CABLES))
            begun = time.process_time()
            found = pack(outlines, quick=quick)
            spans.append(time.process_time() - begun)
            gaps.append(100.0 * (found.diameter_m / found.lower_bound_m - 1.0))
        how = "quick" if quick else "thorough"
        print(
            f"packing {CABLES} mixed cables, {how}: {min(spans):.2f} to {max(spans):.2f} s CPU, {max(gaps):.0f} % above the bound"
        )


def _seconds(work: object) -> float:
    assert callable(work)
    begun = time.process_time()
    work()
    return time.process_time() - begun


if __name__ == "__main__":
    papers()
    packing()
