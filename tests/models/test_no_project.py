"""Files that are no project, and values that nobody would write: each is refused in plain words, none is a crash."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ribway.models.project import Project
from ribway.models.project_faults import Fault, ProjectFaults
from ribway.models.reading import check_text, read_project

FILE = Path(__file__).parents[1] / "samples" / "projects" / "small.yaml"
GOOD = FILE.read_text(encoding="utf-8")
FOREIGN_WORDS = ("Input should", "pydantic", "validation", "Field required", "Extra inputs", "Value error", "type=")


def faults_of(text: str) -> tuple[Fault, ...]:
    with pytest.raises(ProjectFaults) as caught:
        check_text(text, "van.yaml", FILE.parent)
    return caught.value.faults


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        ("a: [1\nb: 2\n", 2, ["no YAML", "column"]),
        ("a: 1\n---\nb: 2\n", 2, ["a second document"]),
        ("", 0, ["holds nothing"]),
        ("# only a remark\n", 0, ["holds nothing"]),
        ("- a\n- b\n", 1, ["must begin with keys"]),
        ("just text\n", 1, ["must begin with keys"]),
        ("[" * 5000, 0, ["nested more than 50 deep"]),
        ("- " * 5000, 0, ["nested more than 50 deep"]),
        ("ribway_plan: 1\n", 0, ["saved plan, not a project"]),
        ("a: &a [*a]\n", 1, ["holds itself"]),
        ("a: !!python/object:os.system x\n", 1, ["the tag", "leave it out"]),
        ("? [a]\n: b\n", 1, ["where a key should be"]),
    ],
)
def test_what_is_no_project_at_all(text: str, line: int, words: list[str]) -> None:
    faults = faults_of(text)
    fitting = [fault for fault in faults if all(word in fault.message for word in words)]
    assert [fault.line for fault in fitting] == [line], [str(fault) for fault in faults]


def test_anchors_that_grow_are_refused_fast() -> None:
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 10)}]" for n in range(1, 12)]
    assert "more than 100000 values" in faults_of("\n".join(lines))[0].message


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"ribway: 1\nname: caf\xe9\n", "line 2: the file is not UTF-8 text (byte 0xe9)"),
        (b"PK\x03\x04rest", "spreadsheet or an archive"),
        (b"rib\0way", "binary file"),
        (b"#" * 2_000_001, "bigger than 2 MB"),
    ],
)
def test_what_is_no_text(tmp_path: Path, data: bytes, words: str) -> None:
    file = tmp_path / "project.yaml"
    file.write_bytes(data)
    with pytest.raises(ProjectFaults, match=r"project\.yaml") as caught:
        read_project(file)
    assert words in str(caught.value)


def test_a_missing_file_names_the_one_that_is_there(tmp_path: Path) -> None:
    (tmp_path / "project.yaml").write_text(GOOD, encoding="utf-8")
    with pytest.raises(ProjectFaults, match=r"no such file: did you mean project\.yaml\?"):
        read_project(tmp_path / "projekt.yaml")
    with pytest.raises(ProjectFaults, match="this is a folder"):
        read_project(tmp_path)


def test_a_byte_order_mark_and_windows_line_ends_are_read(tmp_path: Path) -> None:
    file = tmp_path / "project.yaml"
    file.write_bytes(b"\xef\xbb\xbf" + GOOD.replace("\n", "\r\n").encode())
    assert read_project(file) == read_project(FILE)


@given(st.text(max_size=300))
@settings(max_examples=60)
def test_any_text_is_read_or_refused_in_words(text: str) -> None:
    with pytest.raises(ProjectFaults) as caught:
        check_text(text, "van.yaml", FILE.parent)
    assert all(fault.message for fault in caught.value.faults)


VALUES = [
    "",
    "null",
    "12",
    "-3",
    ".nan",
    "true",
    "[a, b]",
    "{a: b}",
    "text",
    '"0"',
    "2025-01-31",
    "1e400",
    "!x y",
    "*no",
]


@given(st.integers(0, GOOD.count("\n") - 1), st.sampled_from(VALUES))
@settings(max_examples=60)
def test_any_value_in_any_line_is_read_or_refused_in_words(number: int, value: str) -> None:
    lines = GOOD.split("\n")
    head, colon, _ = lines[number].partition(": ")
    lines[number] = f"{head}{colon}{value}" if colon else f"{lines[number]}{value}"
    faults, read = read_or_refused("\n".join(lines))
    assert (read is None) == bool(faults)
    assert all(fault.message and fault.file == "van.yaml" for fault in faults)
    assert not [word for fault in faults for word in FOREIGN_WORDS if word in str(fault)]


def read_or_refused(text: str) -> tuple[tuple[Fault, ...], Project | None]:
    try:
        return (), check_text(text, "van.yaml", FILE.parent).base
    except ProjectFaults as error:
        return error.faults, None
