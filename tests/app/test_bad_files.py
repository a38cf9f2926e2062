"""Files and places that cannot be used: one sentence in our own words, exit code 2, nothing written."""

from __future__ import annotations

import json
import random
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from ribway.cli import main
from ribway.models.plan.plan import Plan
from ribway.models.plan_file import save_plan

GOOD = (Path(__file__).parents[1] / "samples" / "projects" / "small.yaml").read_bytes()
FOREIGN = re.compile(
    r"Traceback|Error\b|Exception|Errno|Input should|pydantic|while (?:parsing|scanning)|unacceptable character|codec|"
    r"NoneType|Expecting|delimiter|object at 0x"
)
Says = Callable[..., list[str]]


@pytest.fixture
def says(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Says:
    """What a command says that must be refused, the folder's name left out."""

    def run(*words: str) -> list[str]:
        before = sorted(tmp_path.rglob("*"))
        try:
            code = main(list(words))
        except SystemExit as ended:
            code = int(ended.code or 0)
        said = capsys.readouterr()
        assert (code, said.out) == (2, "")
        assert FOREIGN.search(said.err) is None, said.err
        assert sorted(tmp_path.rglob("*")) == before
        return [line.replace(f"{tmp_path}/", "") for line in said.err.splitlines()]

    return run


def with_text(old: bytes, new: bytes) -> bytes:
    assert old in GOOD
    return GOOD.replace(old, new, 1)


# name, bytes of project.yaml, the one sentence (its beginning)
UNREADABLE: tuple[tuple[str, bytes, str], ...] = (
    ("empty", b"", "the file holds nothing"),
    ("blank", b" \n\n", "the file holds nothing"),
    ("latin-1", with_text(b"Field", b"F\xfceld"), "line 3: the file is not UTF-8 text (byte 0xfc)"),
    ("UTF-16", GOOD.decode().encode("utf-16"), "this is a binary file, not text"),
    ("too big", b"#" * 2_000_001, "the file is bigger than 2 MB"),
    (
        "tab",
        with_text(b"  name: van 7", b"\tname: van 7"),
        "line 8: this is no YAML (column 1): a tab stands where spaces",
    ),
    ("bell", with_text(b"Field", b"Fi\x07eld"), "line 3: the character U+0007 has no place in a text"),
    ("two documents", GOOD + b"---\n" + GOOD, "line 98: this is no YAML (column 1): a second document begins here"),
    ("version of YAML", b"%YAML 3.0\n---\n" + GOOD, "line 1: this is no YAML (column 1): the version of YAML"),
    ("unknown alias", b"ribway: *x\n", "line 1: this is no YAML (column 9): a name with * stands here"),
    (
        "open quote",
        with_text(b"name: van 7", b'name: "van 7'),
        "line 42: this is no YAML (column 40): this line does not fit those above",
    ),
    ("open bracket", b"a: [1, 2\nb: 3\n", "line 2: this is no YAML"),
    ("reserved", b"name: @x\n", "line 1: this is no YAML (column 7): a value begins with a sign that YAML keeps"),
    ("escape", b'name: "\\q"\n', "line 1: this is no YAML (column 9): a backslash in double quotes"),
    ("two colons", b"a: b: c\n", "line 1: this is no YAML (column 5): a second colon stands in this line"),
    ("deep", b"[" * 100_000, "lists or mappings are nested more than 50 deep"),
    ("list", b"- 1\n", "line 1: the file must begin with keys"),
    (
        "bomb",
        b"a: &a [x,x,x,x,x,x,x,x,x]\n"
        + b"".join(b"b%d: &b%d [%s]\n" % (i, i, b",".join([b"*b%d" % (i - 1) if i else b"*a"] * 9)) for i in range(9)),
        "the file holds more than 100000 values",
    ),
)


@pytest.mark.parametrize(("data", "sentence"), [case[1:] for case in UNREADABLE], ids=[case[0] for case in UNREADABLE])
def test_what_is_no_project_text(says: Says, tmp_path: Path, data: bytes, sentence: str) -> None:
    (tmp_path / "project.yaml").write_bytes(data)
    (said,) = says("plan", str(tmp_path), "--out", str(tmp_path / "out"))
    assert said.startswith(f"project.yaml: {sentence}")


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ((b"0.4 m, left", b".nan, left"), ["back", ".nan is a number to YAML", "quotes"]),
        ((b"0.4 m, left", b"1e999 m, left"), ["back", "1e999 m"]),
        ((b"0.4 m, left", b"0000, left"), ["back", "0000 is a number to YAML", "quotes"]),
        ((b"0.4 m, left", b"1_000, left"), ["back", "1_000 is a number to YAML"]),
        ((b"0.4 m, left", b"2024-01-01, left"), ["back", "2024-01-01 is a date to YAML"]),
        ((b"amps: 5 A", "amps: \N{MINUS SIGN}5 A".encode()), ["amps", "5 A"]),
        ((b"amps: 5 A", b"amps: " + b"5" * 9000 + b" A"), ["amps", "longer than 60"]),
        ((b"kind: source", b"kind: no"), ["kind", "accepted are source"]),
        ((b"name: House battery", b"name: no\n    name: yes"), ["stands here twice, in line 36 and in line 37"]),
        ((b"from: battery", b"from: " + b"x" * 5000), ["xxxx", "is no id: accepted are letters, digits"]),
    ],
)
def test_odd_values(says: Says, tmp_path: Path, change: tuple[bytes, bytes], words: list[str]) -> None:
    (tmp_path / "project.yaml").write_bytes(with_text(*change))
    said = says("plan", str(tmp_path))
    assert [word for word in words if word not in said[0]] == []
    assert all(len(line) < 700 for line in said)


@pytest.mark.parametrize("ending", [b"\r\n", b"\r"])
def test_line_ends_and_marks_of_other_systems_are_read(tmp_path: Path, ending: bytes) -> None:
    (tmp_path / "project.yaml").write_bytes(b"\xef\xbb\xbf" + GOOD.replace(b"\n", ending))
    assert main(["sheet", str(tmp_path), "--out", str(tmp_path / "a.csv")]) == 0


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("plan", "{}/none.yaml"), "none.yaml: there is no such file"),
        (("plan", "{}/notes.txt/x"), "notes.txt/x: the file cannot be read: a file stands where a folder should be"),
        (("plan", "{}/ring"), "ring: the file cannot be read: links lead in a circle there"),
        (("plan", "{}", "--out", "{}/notes.txt"), "notes.txt: this is a file, not a folder: give another name"),
        (("plan", "{}", "--out", "{}"), "the folder holds notes.txt, project.yaml, ring"),
        (("new", "{}/notes.txt"), "notes.txt: this is no folder"),
        (("new", "{}/notes.txt/x"), "notes.txt/x: cannot be made: a file stands where a folder should be"),
        (("new", "/proc/no-such-place/x"), "cannot be made: there is no such folder"),
        (("sheet", "{}", "--out", "{}/no/x.csv"), "no/x.csv: cannot be written: there is no such folder"),
        (("sheet", "{}", "--out", "{}/notes.txt"), "notes.txt: ribway writes sheets as .xlsx or .csv"),
        (("plan", ""), "argument PROJECT: the name is empty"),
        (("plan", "a\0b"), "argument PROJECT: the name holds a null character"),
        (("plan", "{}", "--out", "x" * 300), "argument --out: the name is longer than the 240 bytes"),
        (("new", "x" * 300), "argument DIR: the name is longer than the 240 bytes"),
    ],
)
def test_places_that_cannot_be_used(says: Says, tmp_path: Path, words: tuple[str, ...], sentence: str) -> None:
    (tmp_path / "project.yaml").write_bytes(GOOD)
    (tmp_path / "notes.txt").write_text("mine")
    (tmp_path / "ring").symlink_to("ring")
    assert sentence in says(*(word.replace("{}", str(tmp_path)) for word in words))[-1]


def test_a_plan_changed_by_hand_is_refused_or_judged(
    sample_plan: Plan, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Values of a saved plan changed at random, seed 5: never anything but an answer or a refusal in our own words."""
    good, file, chance = json.loads(save_plan(sample_plan)), tmp_path / "plan.json", random.Random(5)
    codes = []
    for _ in range(120):
        data = json.loads(json.dumps(good))
        for _ in range(chance.choice((1, 1, 3))):
            spoil(data, chance)
        file.write_text(json.dumps(data), encoding="utf-8")
        codes.append(main(chance.choice((["audit", str(file)], ["explain", str(file), "main"]))))
        said = capsys.readouterr()
        assert FOREIGN.search(said.err + said.out) is None
        assert (codes[-1] == 2) == bool(said.err)
    assert set(codes) == {0, 2, 3}


def spoil(data: Any, chance: random.Random) -> None:
    """Change one value somewhere in the data."""
    while True:
        key = chance.choice(list(data)) if isinstance(data, dict) else chance.randrange(len(data))
        value = data[key]
        if not isinstance(value, dict | list) or not value or chance.random() < 0.03:
            break
        data = value
    if isinstance(value, float):
        data[key] = chance.choice((0.0, -value, value * 1e6, 1e308, -1e308, 1e-320, 10**400, None, float("nan")))
    elif chance.random() < 0.2:
        data.pop(key)
    else:
        data[key] = chance.choice((None, 0, -1, 10**30, True, "", "board", [], {}, [value, value]))


def test_a_damaged_workbook_is_read_or_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Bytes of a workbook changed or cut off, seed 3: an answer, or one sentence in our own words."""
    assert main(["new", str(tmp_path / "van"), "--rows", "5"]) == 0
    sheet, chance = tmp_path / "van" / "equipment.xlsx", random.Random(3)
    good, codes = sheet.read_bytes(), []
    for _ in range(60):
        data = bytearray(good if chance.random() < 0.8 else good[: chance.randrange(1, len(good))])
        for _ in range(chance.choice((1, 3, 20))):
            data[chance.randrange(len(data))] = chance.randrange(256)
        sheet.write_bytes(data)
        capsys.readouterr()
        codes.append(main(["sheet", str(tmp_path / "van"), "--out", str(tmp_path / "other.csv")]))
        said = capsys.readouterr()
        assert FOREIGN.search(said.err + said.out) is None
        assert (codes[-1] == 2) == bool(said.err)
        assert not (tmp_path / "other.csv").exists()
    assert set(codes) == {2}  # a new sheet has no device in it yet, so that a sound one is refused for its rows
