"""Labels stay true over revisions: the lines that ``ribway diff`` prints, written into the project, keep every name."""

from __future__ import annotations

from pathlib import Path

import pytest

from ribway.cli import main
from ribway.models.plan.plan import Plan
from ribway.models.plan_file import load_plan

VAN = """\
ribway: 1
name: Labels
vehicle: {{preset: short-high}}
devices:
  - {{id: battery, name: Battery, kind: source, at: {{wall: left, back: 0.65 m, up: 0.30 m}}}}
  - {{id: board, name: Board, kind: board, at: {{wall: left, back: 1.10 m, up: 0.75 m}}}}
{lamps}
circuits:
  - {{id: main, name: Main, from: battery, to: [board]}}
  - {{id: lamps, name: Lamps, from: board, to: [{names}], pattern: home}}
"""


def plan(folder: Path, name: str, lamps: tuple[str, ...], runs: str = "") -> tuple[Path, Plan]:
    places = {"a": "1.2 m", "b": "1.7 m", "c": "2.1 m", "d": "2.4 m"}
    rows = "\n".join(
        f"  - {{id: {one}, name: Lamp {one}, at: {{wall: roof, back: {places[one]}}}, amps: 0.5 A}}" for one in lamps
    )
    file = folder / f"{name}.yaml"
    file.write_text(VAN.format(lamps=rows, names=", ".join(lamps)) + runs, encoding="utf-8")
    assert main(["plan", str(file), "--out", str(folder / name), "--no-picture"]) == 0
    return file, load_plan(folder / name / "plan.json")


def leads(plan: Plan) -> dict[str, str]:
    return {run.to: run.id for run in plan.runs if run.circuit == "lamps"}


def test_names_on_cables_are_kept_by_the_lines_that_diff_prints(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    _, first = plan(tmp_path, "first", ("a", "b", "c"))
    _, second = plan(tmp_path, "second", ("d", "b", "a"))
    assert leads(first) == {"a": "lamps-1", "b": "lamps-2", "c": "lamps-3"}
    assert leads(second) == {"d": "lamps-1", "b": "lamps-2", "a": "lamps-3"}  # labels of a and c lead elsewhere
    capsys.readouterr()
    main(["diff", str(tmp_path / "first"), str(tmp_path / "second")])
    printed = capsys.readouterr().out.splitlines()
    lines = [line for line in printed if line.startswith("  - {id:")]
    assert len(lines) == 2
    _, kept = plan(tmp_path, "kept", ("d", "b", "a"), "runs:\n" + "\n".join(lines) + "\n")
    assert leads(kept) == {"d": "lamps-4", "b": "lamps-2", "a": "lamps-1"}
    main(["diff", str(tmp_path / "first"), str(tmp_path / "kept")])
    assert "To keep the names" not in capsys.readouterr().out


def test_where_a_load_goes_those_behind_it_keep_their_names(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    plan(tmp_path, "first", ("a", "b", "c"))
    plan(tmp_path, "second", ("b", "c"))
    capsys.readouterr()
    main(["diff", str(tmp_path / "first"), str(tmp_path / "second")])
    lines = [line for line in capsys.readouterr().out.splitlines() if line.startswith("  - {id:")]
    _, kept = plan(tmp_path, "kept", ("b", "c", "d"), "runs:\n" + "\n".join(lines) + "\n")
    assert leads(kept) == {"b": "lamps-2", "c": "lamps-3", "d": "lamps-4"}
