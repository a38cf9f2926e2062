"""``ribway diff``: every change is named once for what it is, and said with what a cut piece is good for."""

from __future__ import annotations

import csv
import itertools
from pathlib import Path

import pytest

from ribway.cli import main
from ribway.models.plan.plan import Plan
from ribway.models.plan_file import save_plan
from ribway.plan_changes import other_changes, run_changes


def changed(plan: Plan, run_id: str, **update: object) -> Plan:
    runs = tuple(run.model_copy(update=update) if run.id == run_id else run for run in plan.runs)
    return plan.model_copy(update={"runs": runs})


def kinds(old: Plan, new: Plan) -> list[tuple[str, str, str]]:
    return [(one.run, one.kind, one.piece) for one in run_changes(old, new)]


def test_nothing_changed(sample_plan: Plan) -> None:
    assert run_changes(sample_plan, sample_plan) == ()
    assert other_changes(sample_plan, sample_plan) == ()


def test_runs_added_and_gone(sample_plan: Plan) -> None:
    fewer = sample_plan.model_copy(update={"runs": sample_plan.runs[1:]})
    first = sample_plan.runs[0].id
    assert kinds(fewer, sample_plan) == [(first, "added", "cut it")]
    assert kinds(sample_plan, fewer) == [(first, "gone", "keep it for another run")]


def test_longer_shorter_resized_moved(sample_plan: Plan) -> None:
    run = next(one for one in sample_plan.runs if one.id == "fridge-1")
    longer = changed(sample_plan, run.id, cut_m=run.cut_m + 0.35)
    assert kinds(sample_plan, longer) == [(run.id, "longer", "too short by 0.35 m: cut again")]
    assert kinds(longer, sample_plan) == [(run.id, "shorter", "long enough")]
    other = next(one.id for one in sample_plan.cables if one.id != run.cable)
    assert kinds(sample_plan, changed(sample_plan, run.id, cable=other)) == [
        (run.id, "resized", "other cable: cut again")
    ]
    moved = changed(sample_plan, run.id, openings=("X1", *run.openings[1:]))
    assert kinds(sample_plan, moved) == [(run.id, "moved", "long enough")]
    turned = changed(sample_plan, run.id, to=sample_plan.devices[0].id)
    assert kinds(sample_plan, turned) == [(run.id, "other ends", "long enough: mark its ends anew")]


def test_over_a_chain_of_revisions_each_run_is_followed_whatever_it_is_called(sample_plan: Plan) -> None:
    """A chain of four lamps; the second goes, then comes back at the end. Held against the ends alone: a run with the same ends
    is never cut again, one that bears a name that another had is told of."""
    run = next(one for one in sample_plan.runs if one.kind == "dc")
    known = sample_plan.devices[0]
    lamps = [known.model_copy(update={"id": f"lamp{k}", "name": f"Lamp {k}"}) for k in range(5)]

    def chain(*stops: str) -> Plan:
        runs = tuple(
            run.model_copy(
                update={"id": f"lights-{number}", "circuit": "lights", "from_": a, "to": b, "cut_m": 1.0 + int(b[-1])}
            )
            for number, (a, b) in enumerate(itertools.pairwise(stops), start=1)
        )
        return sample_plan.model_copy(update={"devices": (*sample_plan.devices, *lamps), "runs": runs})

    first, second = chain("lamp0", "lamp1", "lamp2", "lamp3"), chain("lamp0", "lamp2", "lamp3")
    third = chain("lamp0", "lamp2", "lamp3", "lamp1")
    assert [(name, kind) for name, kind, _ in kinds(first, second)] == [
        ("lights-2", "gone"), ("lights-2", "renamed"), ("lights-1", "other ends"), ("lights-1", "longer"),
    ]  # fmt: skip
    for old, new in ((first, second), (second, third), (first, third)):
        wires = {(one.from_, one.to): one.id for one in old.runs}
        told = {(one.run, one.kind) for one in run_changes(old, new)}
        for now in new.runs:
            was = wires.get((now.from_, now.to))
            if was is None:
                assert {(now.id, "added"), (now.id, "other ends")} & told
            else:
                assert ((now.id, "renamed") in told) == (was != now.id)
                assert (now.id, "longer") not in told
                assert (now.id, "other ends") not in told


def test_a_run_may_change_in_several_ways(sample_plan: Plan) -> None:
    run = sample_plan.runs[0]
    new = changed(sample_plan, run.id, cut_m=run.cut_m + 1.0, openings=("X1",))
    assert [kind for _, kind, _ in kinds(sample_plan, new)] == ["longer", "moved"]


def test_fuses_places_and_holes(sample_plan: Plan) -> None:
    circuits = tuple(
        one.model_copy(update={"fuse_a": 10.0}) if one.id == "fridge" else one for one in sample_plan.circuits
    )
    device = sample_plan.devices[0]
    x, y, z = device.point
    devices = (
        device.model_copy(update={"point": (x - 0.2, y, z), "back_m": device.back_m + 0.2}),
        *sample_plan.devices[1:],
    )
    used = next(one.id for one in sample_plan.openings if one.runs)
    openings = tuple(one.model_copy(update={"runs": ()}) if one.id == used else one for one in sample_plan.openings)
    new = sample_plan.model_copy(update={"circuits": circuits, "devices": devices, "openings": openings})
    found = {one.what: (one.before, one.after) for one in other_changes(sample_plan, new)}
    assert found["fuse of fridge"] == ("7.5 A", "10 A")
    assert f"{device.back_m + 0.2:.2f} m back" in found[f"place of {device.name}"][1]
    assert found["holes no longer used"] == (used, "-")
    assert len(found) == 3


def test_the_command_prints_and_writes(sample_plan: Plan, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run = sample_plan.runs[0]
    new = changed(sample_plan, run.id, cut_m=run.cut_m + 0.35).model_copy(update={"revision": "B"})
    files = []
    for name, plan in (("old", sample_plan), ("new", new)):
        files.append(tmp_path / f"{name}.json")
        files[-1].write_text(save_plan(plan), encoding="utf-8")
    table = tmp_path / "changes.csv"
    assert main(["diff", *(str(file) for file in files), "--out", str(table)]) == 0
    said = capsys.readouterr().out
    assert "revision A" in said
    assert "revision B" in said
    assert "Longer" in said
    assert f"1 run changed, {len(sample_plan.runs) - 1} as before" in said
    (row,) = csv.DictReader(table.open(encoding="utf-8", newline=""))
    assert (row["run"], row["change"], row["revision"]) == (run.id, "longer", "B")
    assert float(row["cut_after_m"]) - float(row["cut_before_m"]) == pytest.approx(0.35)
    assert main(["diff", str(files[0]), str(files[0])]) == 0
    assert "No run changed" in capsys.readouterr().out


def test_a_later_plan_that_is_not_complete_is_code_3(
    sample_plan: Plan, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for name, ready in (("old", True), ("new", False)):
        text = save_plan(sample_plan.model_copy(update={"complete": ready}))
        (tmp_path / f"{name}.json").write_text(text, encoding="utf-8")
    assert main(["diff", str(tmp_path / "old.json"), str(tmp_path / "new.json")]) == 3
    assert "new.json: this plan is not complete" in capsys.readouterr().err
    assert main(["diff", str(tmp_path / "new.json"), str(tmp_path / "old.json")]) == 0


def test_files_that_cannot_be_used_are_code_2(
    sample_plan: Plan, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    good = tmp_path / "plan.json"
    good.write_text(save_plan(sample_plan), encoding="utf-8")
    assert main(["diff", str(good), str(tmp_path / "none.json")]) == 2
    assert main(["diff", str(good), str(good), "--out", str(tmp_path / "x.txt")]) == 2
    assert "written as .csv" in capsys.readouterr().err
