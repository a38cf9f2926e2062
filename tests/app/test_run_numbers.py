"""Numbers of runs over revisions of one project file: given once, kept while the run stays, never on another cable. The reference
is the rule alone, written down revision by revision from what ``plan.json`` says of names and ends."""

from __future__ import annotations

import errno
from pathlib import Path

import pytest

from ribway.cli import main
from ribway.models.plan.plan import Plan
from ribway.models.plan_file import load_plan

VAN = """\
ribway: 1
name: Numbers
vehicle: {{preset: short-high}}
devices:
  - {{id: battery, name: Battery, kind: source, at: {{wall: left, back: 0.65 m, up: 0.30 m}}}}
  - {{id: board, name: Board, kind: board, at: {{wall: left, back: 1.10 m, up: 0.75 m}}}}
{lamps}
circuits:
  - {{id: main, name: Main, from: battery, to: [board]}}
  - {{id: lamps, name: Lamps, from: board, to: [{star}], pattern: home}}
{chain}"""
PLACES = {"a": "1.2 m", "b": "1.7 m", "c": "2.1 m", "d": "2.4 m", "e": "1.45 m", "f": "1.9 m", "g": "2.25 m"}
SMALL = Path(__file__).parents[1] / "samples" / "projects" / "small.yaml"
REVISIONS = (
    ("abc", "efg"),
    ("ab", "efg"),  # c goes
    ("abd", "efg"),  # d comes: c's number is not free
    ("dba", "fe"),  # written in another order; g goes, and the chain is led anew
    ("dbac", "fe"),  # c comes back
    ("c", "gfe"),  # g comes back, at another end of the chain
    ("cbad", "egf"),  # the chain is led anew
    ("ad", "efg"),  # as it was led at first
    ("a", "e"),
    ("abcd", "efg"),
)


def text(star: str, chain: str, extra: str = "") -> str:
    rows = "\n".join(
        f"  - {{id: {one}, name: Lamp {one}, at: {{wall: roof, back: {PLACES[one]}}}, amps: 0.5 A}}"
        for one in star + chain
    )
    more = (
        f"  - {{id: row, name: Row, from: board, to: [{', '.join(chain)}], pattern: chain, order: as listed}}\n"
        if chain
        else ""
    )
    return VAN.format(lamps=rows, star=", ".join(star), chain=more) + extra


def planned(folder: Path, written: str, *words: str, code: int = 0) -> Plan:
    (folder / "van.yaml").write_text(written, encoding="utf-8")
    out = folder / "out"
    assert main(["plan", str(folder / "van.yaml"), "--out", str(out), "--no-picture", *words]) == code
    return load_plan(out / "plan.json")


def ends(plan: Plan) -> dict[str, tuple[str, frozenset[str]]]:
    """What makes each run itself: its circuit and two ends; of a spare the part of the van that it leads to."""
    zones = {one.id: one.zone for one in plan.devices}
    return {
        run.id: (run.circuit, frozenset((run.from_, run.to) if run.circuit else (zones[run.to],))) for run in plan.runs
    }


def test_over_ten_revisions_no_number_is_used_again_and_none_changes(tmp_path: Path) -> None:
    owner: dict[str, tuple[str, frozenset[str]]] = {}
    last: dict[tuple[str, frozenset[str]], str] = {}
    for star, chain in REVISIONS:
        plan = planned(tmp_path, text(star, chain))
        assert main(["audit", str(tmp_path / "out")]) == 0
        for name, run in ends(plan).items():
            assert owner.setdefault(name, run) == run, f"{name} was another run's"
            assert last.setdefault(run, name) == name, f"{name} was called {last[run]}"
    register = (tmp_path / "van.numbers.yaml").read_text(encoding="utf-8")
    listed = [line for line in register.splitlines() if line.startswith("  - {run:")]
    assert len(listed) == len(owner), "every number that was ever given has its line"
    assert {"lamps-1", "lamps-2", "lamps-3", "lamps-4"} <= owner.keys()
    assert last["lamps", frozenset(("board", "d"))] == "lamps-4"
    circuits = [line.partition("circuit: ")[2].partition(",")[0] for line in listed if "circuit: " in line]
    assert circuits == sorted(circuits)


def test_a_spare_is_called_as_before_when_its_zone_has_another_furthest_device(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """c, 2.1 m back, and d, 2.4 m back, both lie in the last third of the roof."""

    def spares(plan: Plan) -> dict[str, str]:
        return {run.to: run.id for run in plan.runs if run.purpose == "spare"}

    near = spares(planned(tmp_path, text("ac", "")))
    capsys.readouterr()
    far = spares(planned(tmp_path, text("acd", "")))
    assert "c" in near
    assert "d" in far
    assert far["d"] == near["c"], "led further, and called as before"
    assert f"{far['d']} leads to d now, and is called as before" in capsys.readouterr().out
    assert main(["audit", str(tmp_path / "out")]) == 0
    assert spares(planned(tmp_path, text("acd", ""))) == far
    assert spares(planned(tmp_path, text("ac", ""))) == near, (
        "d is gone from the project, and the register has the zone"
    )
    assert (tmp_path / "van.numbers.yaml").read_text(encoding="utf-8").count(f"run: {near['c']},") == 1


def test_the_plan_depends_on_project_and_register_alone_and_is_the_same_again(tmp_path: Path) -> None:
    planned(tmp_path, text("abc", ""))
    first, register = ((tmp_path / name).read_bytes() for name in ("out/plan.json", "van.numbers.yaml"))
    stamp = (tmp_path / "van.numbers.yaml").stat()
    planned(tmp_path, text("abc", ""))
    assert (tmp_path / "out" / "plan.json").read_bytes() == first
    assert (tmp_path / "van.numbers.yaml").read_bytes() == register
    after = (tmp_path / "van.numbers.yaml").stat()
    assert (after.st_mtime_ns, after.st_ino) == (stamp.st_mtime_ns, stamp.st_ino), "nothing new, so nothing was written"


def test_a_plan_that_is_shown_or_not_complete_gives_no_numbers(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    register = tmp_path / "van.numbers.yaml"
    (tmp_path / "van.yaml").write_text(text("ab", ""), encoding="utf-8")
    assert main(["plan", str(tmp_path / "van.yaml")]) == 0
    planned(tmp_path, text("ab", ""), "--no-numbers")
    blocked = SMALL.read_text(encoding="utf-8").replace("state: measured", "state: blocked")
    planned(tmp_path, blocked, "--papers-anyway", code=3)
    assert not register.exists()
    planned(tmp_path, text("ab", ""))
    before = register.read_bytes()
    capsys.readouterr()
    (tmp_path / "van.yaml").write_text(text("abc", ""), encoding="utf-8")
    assert main(["plan", str(tmp_path / "van.yaml")]) == 0
    assert "not in van.numbers.yaml before: lamps-3, spare-3; --out writes" in capsys.readouterr().out
    assert register.read_bytes() == before


def test_papers_of_a_project_keep_numbers_and_those_of_a_plan_do_not(tmp_path: Path) -> None:
    (tmp_path / "van.yaml").write_text(text("ab", ""), encoding="utf-8")
    words = ["--only", "labels", "--format", "csv"]
    assert main(["papers", str(tmp_path / "van.yaml"), *words, "--out", str(tmp_path / "papers")]) == 0
    register = tmp_path / "van.numbers.yaml"
    assert "lamps-2" in register.read_text(encoding="utf-8")
    planned(tmp_path, text("ab", ""))
    register.unlink()
    assert main(["papers", str(tmp_path / "out"), *words, "--out", str(tmp_path / "more")]) == 0
    assert not register.exists()


def test_a_number_of_another_run_is_refused_where_the_project_gives_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    planned(tmp_path, text("abc", ""))
    capsys.readouterr()
    (tmp_path / "van.yaml").write_text(
        text("ab", "", "runs:\n  - {id: lamps-3, circuit: lamps, from: board, to: a}\n"), encoding="utf-8"
    )
    assert main(["plan", str(tmp_path / "van.yaml"), "--out", str(tmp_path / "out")]) == 2
    said = capsys.readouterr().err.strip()
    assert said.count("\n") == 0
    assert "runs / lamps-3, line " in said
    assert "lamps-3 was given to another run before, from board to c, of lamps" in said


def test_an_id_written_anew_in_the_register_keeps_the_number(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    planned(tmp_path, text("ab", ""))
    capsys.readouterr()
    renamed = text("ab", "").replace("id: b,", "id: bow-lamp,").replace("[a, b]", "[a, bow-lamp]")
    planned(tmp_path, renamed)
    assert "if bow-lamp is only another id for b, write it in the line of lamps-2" in capsys.readouterr().out
    register = tmp_path / "van.numbers.yaml"
    lines = [
        line.replace("to: b}", "to: bow-lamp}")
        for line in register.read_text(encoding="utf-8").splitlines()
        if "to: bow-lamp" not in line
    ]
    register.write_text("\n".join(lines) + "\n", encoding="utf-8")
    assert {run.to: run.id for run in planned(tmp_path, renamed).runs if run.circuit == "lamps"} == {
        "a": "lamps-1", "bow-lamp": "lamps-2",
    }  # fmt: skip


DAMAGED = (
    ("", "", "the register of run numbers is empty"),
    ("ribway_numbers: 1", "ribway_numbers: 2", "the register format is 2, and this ribway reads 1: use a newer ribway"),
    ("ribway_numbers: 1", "ribway_numbers: one", "the register format is one, and this ribway reads 1"),
    ("ribway_numbers: 1\n", "", "this is no register of run numbers: it has no ribway_numbers"),
    ("run: lamps-2", "run: lamps-1", "line {last}: lamps-1 stands in line {first} already"),
    ("run: lamps-2", "run: 2", "line {last}: run is 2, and accepted is a letter, then letters"),
    (
        "role: feed, from: board, to: b",
        "role: fed, from: board, to: b",
        "line {last}: role is fed, and accepted is feed",
    ),
    ("from: board, to: b", "from: board", "line {last}: the run lacks to: accepted is a line such as {{run: lamps-1"),
    ("to: b}", "to: b, by: me}", "line {last}: the key by is unknown here: accepted are before, circuit, from"),
    ("to: b}", "to: a}", "line {last}: this run, board to a, stands in line {first} already: take one of the two"),
    ("to: b}", "to: b, nth: 0}", "line {last}: nth is 0, and accepted is a whole number from 1"),
    ("to: b}", "to: b, before: [lamps-1]}", "line {last}: lamps-1 stands in line {first} already"),
    ("to: b}", "to: b", "this is no YAML"),
    ("runs:", "<<<<<<< ours\nruns:", "this is no YAML"),
    ("runs:", "runs: none\nmore:", "runs is a list with a line for each run, and no list was found"),
)


@pytest.fixture(scope="module")
def register(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("numbers")
    planned(folder, text("ab", ""))
    return folder / "van.numbers.yaml"


@pytest.mark.parametrize(("good", "bad", "words"), DAMAGED)
def test_a_damaged_register_is_refused_in_one_sentence(
    good: str, bad: str, words: str, register: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    written = register.read_text(encoding="utf-8")
    places = {
        f"{name}": number
        for number, line in enumerate(written.splitlines(), start=1)
        for name, run in (("first", "run: lamps-1"), ("last", "run: lamps-2"))
        if run in line
    }
    head, split, tail = (
        written.partition("run: lamps-2") if good.startswith(("role", "from", "to")) else ("", "", written)
    )
    damaged = head + split + tail.replace(good, bad, 1) if good else bad
    assert damaged != written
    register.write_text(damaged, encoding="utf-8")
    plan_json = (register.parent / "out" / "plan.json").read_bytes()
    capsys.readouterr()
    try:
        assert main(["plan", str(register.with_name("van.yaml")), "--out", str(register.parent / "out")]) == 2
        said = capsys.readouterr()
        assert words.format(**places) in said.err
        assert str(register) in said.err
        assert "Traceback" not in said.err
        assert register.read_text(encoding="utf-8") == damaged
        assert (register.parent / "out" / "plan.json").read_bytes() == plan_json
    finally:
        register.write_text(written, encoding="utf-8")


def test_the_register_is_no_project(register: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["plan", str(register)]) == 2
    assert "this is the register of a project's run numbers: give the project file beside it" in capsys.readouterr().err


def test_where_the_register_cannot_be_written_the_plan_says_so(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise OSError(errno.EROFS, "read-only file system")

    monkeypatch.setattr("ribway.models.numbers_file.put_file", refuse)
    planned(tmp_path, text("ab", ""))
    said = capsys.readouterr().err
    assert "van.numbers.yaml: cannot be written, the disk may only be read: the numbers " in said
    assert "are kept nowhere, and a later plan may give them to other runs" in said
    assert (tmp_path / "out" / "papers.pdf").exists()


def test_numbers_given_meanwhile_are_never_written_over(tmp_path: Path) -> None:
    from ribway.models.numbers_file import NotKeptError, keep_numbers, read_numbers

    file = tmp_path / "van.yaml"
    mine = planned(tmp_path, text("abc", ""), "--no-numbers")
    yours = planned(tmp_path, text("abd", ""), "--no-numbers")  # lamps-3 leads elsewhere
    keep_numbers(file, yours.numbers)
    with pytest.raises(NotKeptError, match="numbers were given meanwhile that this plan does not know"):
        keep_numbers(file, mine.numbers)
    assert read_numbers(file) == yours.numbers


def test_no_test_leaves_a_register_among_the_samples() -> None:
    assert list(SMALL.parents[2].rglob("*.numbers.yaml")) == []


def test_diff_says_where_a_plan_does_not_follow_from_the_earlier_numbers(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    planned(tmp_path, text("abc", ""))
    (tmp_path / "out").rename(tmp_path / "first")
    planned(tmp_path, text("abd", ""))
    (tmp_path / "out").rename(tmp_path / "second")
    capsys.readouterr()
    assert main(["diff", str(tmp_path / "first"), str(tmp_path / "second")]) == 0
    followed = " ".join(capsys.readouterr().out.split())
    assert "does not follow" not in followed
    assert "Named otherwise" not in followed
    (tmp_path / "van.numbers.yaml").unlink()
    planned(tmp_path, text("abd", ""))
    main(["diff", str(tmp_path / "second"), str(tmp_path / "out")])
    lost = " ".join(capsys.readouterr().out.split())
    assert "does not follow from the earlier one's numbers: lamps-3. Put the register of run numbers back" in lost


def test_what_is_supposed_renames_no_run(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The first lamp of three taken out: the others are called as before, without a register and with one."""
    file = tmp_path / "van.yaml"
    file.write_text(text("abc", ""), encoding="utf-8")
    for _ in range(2):
        capsys.readouterr()
        assert main(["suppose", str(file), "--take-out", "a"]) == 0
        said = capsys.readouterr().out
        assert "Named otherwise" not in said
        assert "Gone" in said
        planned(tmp_path, text("abc", ""))
    assert "lamps-3" in (tmp_path / "van.numbers.yaml").read_text(encoding="utf-8")
