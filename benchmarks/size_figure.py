"""Draw docs/proof_over_size.svg: CPU seconds and proved gap over the size of random bodies, from docs/proof_over_size.csv.

    python benchmarks/size_figure.py

The file holds what `plan_proof.py` printed; no library is needed to draw it.
"""

from __future__ import annotations

import csv
import math
import sys
from collections.abc import Iterable
from pathlib import Path

DOCS = Path(__file__).parents[1] / "docs"
WIDE, HIGH, LEFT, TOP, BESIDE = 300.0, 200.0, 60.0, 40.0, 120.0
FONT = "font-family='sans-serif' font-size='12'"
PLACES = (60.0, 200.0, 500.0)  # runs


def panel(at: float, name: str, column: str, ticks: Iterable[float], rows: list[dict[str, str]]) -> list[str]:
    """One panel: a logarithmic axis each way, a dot an instance."""
    marks = sorted(ticks)
    low, high = math.log10(marks[0]), math.log10(marks[-1])

    def y(value: float) -> float:
        return TOP + HIGH * (high - math.log10(max(value, marks[0]))) / (high - low)

    def x(runs: float) -> float:
        return at + WIDE * math.log(runs / 45.0) / math.log(650.0 / 45.0)

    out = [f"<text x='{at}' y='{TOP - 16}' {FONT} font-weight='bold'>{name}</text>"]
    for mark in marks:
        out.append(f"<path d='M{at} {y(mark):.1f}h{WIDE}' stroke='#ccc'/>")
        out.append(f"<text x='{at - 6}' y='{y(mark) + 4:.1f}' {FONT} text-anchor='end'>{mark:g}</text>")
    for runs in PLACES:
        words = {60.0: "60 x 300", 200.0: "200 x 1,000", 500.0: "500 x 5,000"}[runs]
        out.append(f"<text x='{x(runs):.1f}' y='{TOP + HIGH + 20}' {FONT} text-anchor='middle'>{words}</text>")
    for row in rows:
        colour = {"1.5": "#b5651d", "2.0": "#1f5f8b"}[row["cap"]]
        place = f"cx='{x(float(row['runs'])):.1f}' cy='{y(float(row[column])):.1f}'"
        out.append(f"<circle {place} r='4' fill='{colour}' fill-opacity='0.7'/>")
    return out


def main() -> int:
    """Write the picture."""
    with (DOCS / "proof_over_size.csv").open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    second = LEFT + WIDE + BESIDE
    parts = panel(LEFT, "CPU seconds, all told", "cpu_s", (0.5, 1, 2, 5, 10, 30, 60, 180), rows)
    parts += panel(second, "gap that is left [%]", "gap_percent", (0.01, 0.1, 1, 5), rows)
    below = TOP + HIGH + 44
    for place, colour, words in ((LEFT, "#b5651d", "cap 1.5"), (LEFT + 90, "#1f5f8b", "cap 2.0")):
        parts.append(f"<circle cx='{place}' cy='{below - 4}' r='4' fill='{colour}'/>")
        parts.append(f"<text x='{place + 10}' y='{below}' {FONT}>{words}</text>")
    parts.append(f"<text x='{LEFT + 190}' y='{below}' {FONT}>runs x openings, logarithmic; a dot an instance</text>")
    size = f"width='{second + WIDE + 30:.0f}' height='{below + 14:.0f}'"
    body = "\n".join(parts)
    text = f"<svg xmlns='http://www.w3.org/2000/svg' {size}>\n<rect width='100%' height='100%' fill='white'/>\n{body}\n</svg>\n"
    (DOCS / "proof_over_size.svg").write_text(text, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
