"""Electrics that cannot be: each typed into a real project file and given to the command line; one clear sentence each."""

from __future__ import annotations

from pathlib import Path

import pytest

from ribway.cli import main

GOOD = (
    (Path(__file__).parents[1] / "samples" / "projects" / "small.yaml")
    .read_text(encoding="utf-8")
    .partition("\nalternatives:")[0]
)
BATTERY, BOARD, FRIDGE, CRITICAL = "kind: source\n", "kind: board\n", "amps: 5 A\n", "drop: critical\n"
ONLY = "only: [twin-2x2.5, twin-2x1.5, single-1x16]\n"


def also(after: str, line: str) -> tuple[str, str]:
    """A line put behind another, as far in."""
    return after, f"{after}    {line}\n"


RING = (
    ("    to: [fridge]\n", "    to: [fridge, fan]\n    pattern: stated\n"),
    ("  - id: fan\n    name: Fan\n    from: board\n    to: [fan]\n    drop: 5 %\n", ""),
    (
        "  - circuit: fridge\n    from: board\n    to: fridge\n    via: [L4c]\n",
        "  - {circuit: fridge, from: board, to: fridge}\n  - {circuit: fridge, from: fridge, to: fan}\n"
        "  - {circuit: fridge, from: fan, to: fridge}\n",
    ),
)
SECOND_BOARD = (
    also(BOARD, "at: {wall: left, back: 1.2 m, up: 0.8 m}\n  - id: other\n    name: Other\n    kind: board"),
    (
        "runs:\n",
        "  - {id: up, name: Up, from: board, to: [other]}\n  - {id: down, name: Down, from: other, to: [board]}\nruns:\n",
    ),
)

# name, what is changed, where it must be said, words that must be said: what was found, what is accepted or mends it
BAD: tuple[tuple[str, tuple[tuple[str, str], ...], str, tuple[str, ...]], ...] = (
    ("no resistance", (also(BATTERY, "internal_ohms: 0 ohm"),), "devices / battery / internal_ohms", ("0 ohm", "0.00001 to 100")),
    ("negative resistance", (also(BATTERY, "internal_ohms: -3 mohm"),), "devices / battery / internal_ohms",
     ("-3 mohm", "like 2 mohm")),
    ("negative body", (("shop:\n", "shop:\n  body_resistance: -1 mohm\n"),),
     "shop / body_resistance", ("-1 mohm", "0 to 1000 ohm")),
    ("no short", (also(BATTERY, "short_circuit_a: 0 A"),), "devices / battery / short_circuit_a", ("0 A", "0.001 to 1000000 A")),
    ("cut-out above the battery", (also(FRIDGE, "cut_out_volts: 12 V"),), "devices / fridge / cut_out_volts",
     ("cuts out below 12 V", "has 12 V at its source", "a voltage below that")),
    ("a fuse at a far end that feeds nothing", (also(CRITICAL, "far_fuse: 15 A"),), "circuits / fridge",
     ("far end", "load_can_feed: true", "leave far_fuse")),
    ("rule set", (("shop:\n", "shop:\n  rules: Atlantis\n"),), "shop / rules", ("Atlantis", "careful, 33CFR183, NEC, ISO13297")),
    ("rule set of AC", (("shop:\n", "shop:\n  ac_rules: IEC\n"),), "shop / ac_rules", ("IEC", "did you mean IEC-AC?")),
    ("stock without a size", ((ONLY, "only: [twin-2x3]\n"),), "shop / only", ("twin-2x3", "did you mean")),
    ("stock without cores", ((ONLY, "only: [multi-4x1]\n"),), "circuits / fridge", ("no dc cable", "a stock list with one")),
    ("stock too thin", ((ONLY, "only: [twin-2x1, single-1x16]\n"), (FRIDGE, "amps: 60 A\n"), ("    start_amps: 12 A\n", "")),
     "circuits / main", ("thickest cable it may have", "mm2 or more would be needed")),
    ("a board of two voltages", (also(CRITICAL, "volts: 24 V"),), "circuits / fridge / volts",
     ("fridge has 24 V and main has 12 V", "board board", "one voltage", "converter")),
    ("fuse below the load", (also(CRITICAL, "fuse: 3 A"),), "circuits / fridge",
     ("3 A fuse is too small for 5 A", "take 6.25 A")),
    ("fuse above the wire", (also(CRITICAL, 'fuse: 60 A\n    cable: "2x1.5"'),), "circuits / fridge",
     ("a 60 A fuse needs conductors that may carry 60 A", "mm2 or more would be needed")),
    ("no fuse so big", ((FRIDGE, "amps: 900 A\n"), ("    start_amps: 12 A\n", "")), "circuits / main",
     ("the biggest is 500 A", "split the circuit")),
    ("a battery that is fed", (("circuits:\n", "circuits:\n  - {id: X, name: Ring, from: board, to: [battery]}\n"),),
     "circuits / X / to", ("battery is a source", "load_can_feed: true")),
    ("a ring of boards", SECOND_BOARD, "circuits / down / to", ("in a ring, board -> other -> board", "from one side")),
    ("a ring of runs", RING, "runs / fridge", ("reached twice", "leave this run out")),
    ("backing of a load", (also(FRIDGE, "backed_by: {fuse_kind: ANL, fuse: 60 A, up_to: 3 kA}"),), "devices / fridge",
     ("belongs to a board",)),
    ("backing by no fuse", (also(BOARD, "backed_by: {fuse_kind: glass, fuse: 60 A, up_to: 3 kA}"),),
     "devices / board / backed_by / fuse_kind", ("glass", "class T")),
)  # fmt: skip


def text_with(changes: tuple[tuple[str, str], ...]) -> str:
    text = f"{GOOD}\n"
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    return text


@pytest.mark.parametrize(("changes", "where", "says"), [one[1:] for one in BAD], ids=[one[0] for one in BAD])
def test_what_cannot_be_is_refused_in_words(
    changes: tuple[tuple[str, str], ...],
    where: str,
    says: tuple[str, ...],
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    file = tmp_path / "project.yaml"
    file.write_text(text_with(changes), encoding="utf-8")
    assert main(["plan", str(file), "--out", str(tmp_path / "out")]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert "Traceback" not in said.err
    lines = [line for line in said.err.splitlines() if line.startswith(f"{file}: {where}")]
    assert lines, said.err
    assert ", line " in lines[0]
    assert any(all(word in line for word in says) for line in lines), said.err
    assert not (tmp_path / "out").exists()


def test_power_that_no_voltage_feeds_is_no_safe_plan(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """12 V over 0.8 ohm give 12^2 / (4 x 0.8) = 45 W at most, and the fridge takes 5 A of it: good input, no safe plan."""
    file = tmp_path / "project.yaml"
    fan = ("watts: 36 W\n", "watts: 60 W\n    load: constant power\n")
    file.write_text(text_with((fan, also(BATTERY, "internal_ohms: 0.8 ohm"))), encoding="utf-8")
    assert main(["plan", str(file)]) == 3
    said = " ".join(capsys.readouterr().out.split())
    assert "NOT READY" in said
    assert "House battery cannot be fed: 60 W of constant power" in said
    assert "Roof fan is down to" in said
    assert "a battery with less resistance" in said


def test_a_gap_in_the_stock_is_told_with_what_would_do(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "project.yaml"
    changes = ((ONLY, "only: [twin-2x1, single-1x16, single-1x35]\n"), (FRIDGE, "amps: 12 A\n"))
    file.write_text(text_with(changes), encoding="utf-8")
    assert main(["plan", str(file)]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "fan: 16 mm2 is taken where 1.4 mm2 would do" in said
    assert "nothing between 1 mm2 and 16 mm2" in said
