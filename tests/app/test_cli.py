"""The command line: exit codes, what goes to which stream, and that nothing is written when something is wrong."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from ribway.arguments import make_parser
from ribway.cli import main
from ribway.commands.view import files_to_draw
from ribway.models.plan.plan import Plan
from ribway.models.plan_file import load_plan, save_plan
from ribway.outputs import PRODUCTS

FILE = Path(__file__).parents[1] / "samples" / "projects" / "small.yaml"
GOOD = FILE.read_text(encoding="utf-8")


@pytest.fixture
def saved(sample_plan: Plan, tmp_path: Path) -> Path:
    file = tmp_path / "plan.json"
    file.write_text(save_plan(sample_plan), encoding="utf-8")
    return file


def project(folder: Path, *changes: tuple[str, str]) -> Path:
    text = GOOD
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    file = folder / "project.yaml"
    file.write_text(text, encoding="utf-8")
    return file


def test_version_and_help(capsys: pytest.CaptureFixture[str]) -> None:
    for word, expected in (("--version", "ribway "), ("--help", "usage: ribway")):
        with pytest.raises(SystemExit) as ended:
            main([word])
        assert ended.value.code == 0
        assert capsys.readouterr().out.startswith(expected)


def test_every_command_has_its_module_and_help() -> None:
    text = make_parser().format_help()
    folder = Path(sys.modules[main.__module__].__file__ or "").parent / "commands"
    modules = sorted(file.stem for file in folder.glob("*.py") if file.stem != "__init__")
    assert modules == [
        "audit",
        "compare",
        "diff",
        "explain",
        "new",
        "page",
        "papers",
        "place",
        "plan",
        "schema",
        "serve",
        "sheet",
        "suppose",
        "survey",
        "view",
    ]
    assert [name for name in modules if f"\n    {name}" not in text] == []


@pytest.mark.parametrize(
    "words", [[], ["paint"], ["plan"], ["plan", "x.yaml", "--speed"], ["view", "x", "--wall", "up"]]
)
def test_wrong_words_end_with_code_2(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(words)
    assert ended.value.code == 2
    assert "usage: ribway" in capsys.readouterr().err


def test_all_faults_go_to_the_error_stream_one_line_each(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = project(tmp_path, ("kind: source", "kind: sauce"), ("to: [fridge]", "to: [frigde]"))
    out = tmp_path / "out"
    assert main(["plan", str(tmp_path), "--out", str(out)]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    lines = said.err.splitlines()
    assert [line.startswith(f"{file}: ") for line in lines] == [True, True]
    assert "did you mean source?" in lines[0]
    assert "did you mean fridge?" in lines[1]
    assert not out.exists()


def test_faults_that_need_the_shell_have_their_lines_too(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = project(tmp_path, ("member: L3", "member: L33"), ("{wall: floor, back: 0.4 m", "{wall: floor, back: 40 m"))
    out = tmp_path / "out"
    assert main(["plan", str(file), "--out", str(out)]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert [line.split(": ")[:2] for line in said.err.splitlines()] == [
        [str(file), "vehicle / ways / over-L3 / member, line 18"],
        [str(file), "devices / battery / at, line 38"],
    ]
    assert not out.exists()


def test_an_unknown_alternative(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["plan", str(FILE), "--alternative", "no fam"]) == 2
    assert "there is no alternative called no fam: did you mean no fan?" in capsys.readouterr().err


def test_a_good_plan_is_written_whole(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "out"
    assert main(["plan", str(project(tmp_path)), "--out", str(out), "--no-picture", "--alternative", "no fan"]) == 0
    said = capsys.readouterr()
    assert "Field laboratory, no fan, revision B" in said.out
    assert f"\nwritten to {out}\n" in said.out
    assert said.out.endswith(f"ribway papers {out}\n")
    plan = load_plan(out / "plan.json")
    assert plan.complete
    assert {run.circuit for run in plan.runs if run.purpose != "spare"} == {"main", "fridge"}
    products = json.loads((out / PRODUCTS).read_text(encoding="utf-8"))
    assert "plan.json" in products
    assert any(name.endswith(".pdf") for name in products)
    assert not any(name.endswith(".png") for name in products)
    page = (out / "page.html").read_text(encoding="utf-8")
    assert page.startswith("<!doctype html>")
    assert all(f'data-id="{run.id}"' in page for run in plan.runs)


def test_no_safe_plan_is_code_3_and_without_papers(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "out"
    file = project(tmp_path, ("state: measured", "state: blocked"))
    assert main(["plan", str(file), "--out", str(out)]) == 3
    said = capsys.readouterr()
    assert "NOT READY" in said.out
    assert "--papers-anyway" in said.err
    assert sorted(item.name for item in out.iterdir()) == [PRODUCTS, "plan.json"]
    assert json.loads((out / "plan.json").read_text(encoding="utf-8"))["complete"] is False


def test_compare_orders_by_copper_and_writes_all(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    at = GOOD.index("  - name: fridge right")
    file = project(tmp_path, (GOOD[at:], GOOD[GOOD.index("  - name: no fan") : GOOD.index("  - name: second light")]))
    out = tmp_path / "out"
    assert main(["compare", str(file), "--out", str(out)]) == 0
    said = capsys.readouterr().out
    assert "no fan against the base:\n  fan: only in the base" in said
    rows = (out / "comparison.csv").read_text(encoding="utf-8").splitlines()
    assert [row.split(",")[0] for row in rows] == ["name", "no fan", "base"]
    assert (out / "comparison.txt").read_text(encoding="utf-8").startswith("Copper, least first")
    page = (out / "page.html").read_text(encoding="utf-8")
    assert [f'data-show="{number}"' in page for number in range(3)] == [True, True, False]
    base, without = (load_plan(out / name / "plan.json") for name in ("base", "no-fan"))
    assert base.totals.copper_kg > without.totals.copper_kg
    assert without.alternative == "no fan"


def test_explain_reads_a_saved_plan(saved: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", str(saved), "fridge-1"]) == 0
    assert "2.450 m" in capsys.readouterr().out
    assert main(["explain", str(saved.parent), "frige-1"]) == 2
    assert "did you mean fridge-1?" in capsys.readouterr().err
    assert main(["explain", str(saved), "fridge-1", "--alternative", "other"]) == 2
    assert "this plan is of the base, not of other" in capsys.readouterr().err


def test_audit_reads_a_saved_plan(saved: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["audit", str(saved)]) == 0
    assert "no error found in 4 runs and 2 openings" in capsys.readouterr().out
    assert main(["audit", str(saved.parent / "plam.json")]) == 2
    assert "there is no such file: did you mean plan.json?" in capsys.readouterr().err


def test_audit_finds_a_cable_cut_short(sample_plan: Plan, saved: Path, capsys: pytest.CaptureFixture[str]) -> None:
    short = sample_plan.runs[0].model_copy(update={"cut_m": 1.0})
    plan = sample_plan.model_copy(update={"runs": (short, *sample_plan.runs[1:])})
    saved.write_text(save_plan(plan), encoding="utf-8")
    assert main(["audit", str(saved)]) == 3
    assert "not safe" in capsys.readouterr().out


def test_schema_is_printed_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["schema"]) == 0
    assert json.loads(capsys.readouterr().out)["title"] == "ribway project"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--wall", "left"], "--wall goes with --picture"),
        (["--cut", "roof"], "--around and --cut go with --picture"),
        (["--picture", "x.jpg"], "x.jpg is no .png file"),
        (["--picture", "no/such/x.png"], "there is no folder no/such"),
    ],
)
def test_view_refuses_what_it_cannot_draw(
    saved: Path, words: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["view", str(saved), *words]) == 2
    assert said in capsys.readouterr().err


def test_view_draws_a_wall_to_a_file(saved: Path, capsys: pytest.CaptureFixture[str]) -> None:
    picture = saved.with_name("van.png")
    assert main(["view", str(saved), "--picture", str(picture), "--wall", "left"]) == 0
    assert capsys.readouterr().out == f"drawn to {picture}\n"
    # The eight bytes that every PNG begins with (ISO/IEC 15948).
    assert picture.read_bytes()[:8] == b"\x89PNG\r\n\x1a\n"


def test_several_walls_go_to_a_file_each() -> None:
    picture = Path("a/van.png")
    assert files_to_draw(picture, [None], []) == [picture]
    assert files_to_draw(picture, ["left"], []) == [picture]
    assert files_to_draw(picture, ["left", "roof"], []) == [Path("a/van-left.png"), Path("a/van-roof.png")]
    assert files_to_draw(picture, [], ["A"]) == [picture]
    assert files_to_draw(picture, [], ["A"], ["above"]) == [picture]
    both = [Path("a/van-loom-A-above.png"), Path("a/van-loom-A-rear-left.png")]
    assert files_to_draw(picture, [], ["A"], ["above", "rear-left"]) == both
    assert files_to_draw(picture, [None], ["A", "left low"]) == [
        Path("a/van-van.png"),
        Path("a/van-loom-A.png"),
        Path("a/van-loom-left-low.png"),
    ]


def test_view_draws_looms_and_the_order_of_pulling(saved: Path, capsys: pytest.CaptureFixture[str]) -> None:
    picture, moving = saved.with_name("van.png"), saved.with_name("pull.gif")
    words = ["view", str(saved), "--picture", str(picture), "--loom", "all", "--animation", str(moving)]
    assert main(words) == 0
    said = capsys.readouterr().out.splitlines()
    looms = [loom.id for loom in load_plan(saved).looms]
    assert len(said) == len(looms) + 1
    assert said[-1] == f"drawn to {moving}"
    assert moving.read_bytes()[:6] == b"GIF89a"  # W3C, GIF89a specification, section 17
    assert main(["view", str(saved), "--picture", str(picture), "--loom", "attic"]) == 1
    assert "the plan has no loom 'attic'; it has" in capsys.readouterr().err


def test_a_reader_that_goes_away_is_no_crash() -> None:
    reading, writing = os.pipe()
    os.close(reading)
    done = subprocess.run(
        [sys.executable, "-m", "ribway", "schema"], stdout=writing, stderr=subprocess.PIPE, check=False
    )
    os.close(writing)
    assert (done.returncode, done.stderr) == (141, b"")


# A shell in the background lets its children ignore the interrupt: this puts Python's own handling back first.
INTERRUPTIBLE = """
import signal, sys
signal.signal(signal.SIGINT, signal.default_int_handler)
from ribway.cli import main
sys.exit(main(sys.argv[1:]))
"""


def test_an_interrupt_ends_with_130_and_writes_nothing(tmp_path: Path) -> None:
    fifo = tmp_path / "project.yaml"
    os.mkfifo(fifo)
    words = [sys.executable, "-c", INTERRUPTIBLE, "plan", str(fifo), "--out", str(tmp_path / "out")]
    process = subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    with fifo.open("wb"):  # opens once the command has opened its project, and then it waits for what stands in it
        process.send_signal(signal.SIGINT)
        out, err = process.communicate(timeout=60)
    assert (process.returncode, out) == (130, b"")
    assert err == b"ribway: interrupted, nothing was written\n"
    assert not (tmp_path / "out").exists()
