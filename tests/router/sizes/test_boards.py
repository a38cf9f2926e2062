"""Cables on a battery board: their lengths by pencil, their lugs, and what may not be."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
import small_vans
from board_vans import HEIGHT, ON_BOARD, WIDTH, board_plan, board_project

from ribway.models.project_faults import ProjectFaults
from ribway.models.reading import check_data
from ribway.router.audit.check import audit_plan
from ribway.router.faults import RouterFaults
from ribway.router.planner import plan_on
from ribway.sheets.catalogue import all_tables
from samples.spoilt.boards import BOARDS
from samples.spoilt.changes import Spoilt, take

TERMINAL_M = 0.05
SLACK = 0.05
STEP_M = 0.05


def _square_m(a: str, b: str) -> float:
    return sum(abs(one - other) for one, other in zip(ON_BOARD[a], ON_BOARD[b], strict=True))


def test_cables_across_the_board_are_square_with_terminals_and_no_tails() -> None:
    plan = board_plan()
    main = [take(plan, "runs", name) for name in take(plan, "circuits", "main").runs]
    assert [(run.from_, run.to) for run in main] == list(pairwise(("battery", "fuse", "isolator", "bus")))
    for run in main:
        square = _square_m(run.from_, run.to)
        assert run.sharp_m == pytest.approx(square, abs=2e-4)
        assert (run.tail_a_m, run.tail_b_m, run.openings, run.loom) == (TERMINAL_M, TERMINAL_M, (), "")
        whole = math.ceil(round((square * (1 + SLACK) + 2 * TERMINAL_M) / STEP_M, 3)) * STEP_M
        assert run.cut_m == pytest.approx(whole, abs=1e-9), "slack, both terminals, and the next step"
        assert [one.kind for one in run.legs] == ["board"]


def test_what_hangs_on_the_board_hangs_where_its_measures_say() -> None:
    """The wall is plain, y = 0.9 m, and the board 60 mm off it: right is forward for whoever faces the left wall."""
    for name, (across, up) in ON_BOARD.items():
        point = np.array(take(board_plan(), "devices", name).point)
        assert point == pytest.approx([-1.15 + across, 0.9 - 0.06, 0.2 + up], abs=2e-4)


def test_a_cable_off_the_board_goes_along_it_to_an_edge_first() -> None:
    run = take(board_plan(), "runs", "B")
    stub = run.legs[0]
    across, up = ON_BOARD["bus"]
    to_edge = min(across, WIDTH - across, up, HEIGHT - up)
    assert (stub.kind, stub.name) == ("stub", "bus")
    assert stub.sharp_m >= to_edge + 0.02 + (0.06 - 0.0275) - 2e-4
    assert run.tail_a_m == 0.6, "off the board a tail is by its class: here that of a fuse board"


def test_thick_cables_are_two_singles_with_lugs_cut_to_template() -> None:
    plan = board_plan()
    for name in take(plan, "circuits", "main").runs:
        run = take(plan, "runs", name)
        assert (run.conductor_area_mm2 >= 16.0, run.pieces, run.cut_to_template) == (True, 2, True)
        studs = {"battery": "M8", "fuse": "M8", "isolator": "M10", "bus": ""}
        assert [(one.at, one.size, one.stud, one.count) for one in run.lugs] == [
            (end, run.size_name, studs[end], 2) for end in (run.from_, run.to)
        ]
    assert take(plan, "runs", "C1").lugs[0].stud == "M6", "a thin cable has a lug where there is a stud"
    assert len(take(plan, "runs", "C1").lugs) == 1
    assert [one.about for one in plan.findings if one.code == "stud-unknown"] == ["bus"]


def test_the_papers_list_every_lug() -> None:
    plan = board_plan()
    listed = next(table for table in all_tables(plan) if table.title == "Lugs")
    counted: dict[tuple[str, str], int] = {}
    for run in plan.runs:
        for lug in run.lugs:
            counted[lug.size, lug.stud] = counted.get((lug.size, lug.stud), 0) + lug.count
    assert sum(int(row[2]) for row in listed.rows) == sum(counted.values())
    assert len(listed.rows) == len(counted)


def test_the_audit_passes_it() -> None:
    assert [one for one in audit_plan(board_plan()) if one.level == "error"] == []
    assert board_plan().complete


@pytest.mark.parametrize("spoilt", BOARDS, ids=[f"{index}-{one.code}" for index, one in enumerate(BOARDS)])
def test_the_audit_finds_a_wrong_board(spoilt: Spoilt) -> None:
    found = {(one.level, one.code, one.about) for one in audit_plan(spoilt.make(board_plan()))}
    assert (spoilt.level, spoilt.code, spoilt.about) in found


def test_beyond_the_edge_is_refused() -> None:
    said = board_project(panel={"width": 0.3})
    with pytest.raises(RouterFaults, match=r"lies beyond the board panel, which is 0\.300 m wide"):
        plan_on(said, small_vans.shell())


@pytest.mark.parametrize(
    ("devices", "words"),
    [
        ([{"at": {"on": "nail", "across": "0.1 m", "up": "0.1 m"}}], "did you mean nails"),
        ([{"at": {"on": "B", "across": "0.1 m", "up": "0.1 m"}}], "which is a board: it must be a mounting board"),
        ([{"at": {"on": "nails", "across": "0.1 m"}}], "a place on a mounting board is on, across and up"),
        ([{"kind": "mounting board"}], "a mounting board has a width, a height and a place on a wall"),
    ],
)
def test_a_misplaced_board_is_said_in_words(devices: list[dict[str, Any]], words: str) -> None:
    wall = {"wall": "left", "back": "1 m", "up": "0.4 m"}
    data = {
        "ribway": 1,
        "name": "van",
        "vehicle": {"preset": "medium-high"},
        "devices": [
            {"id": "B", "name": "Board", "kind": "board", "at": wall},
            {"id": "nails", "name": "N", "kind": "mounting board", "at": wall, "width": "0.4 m", "height": "0.3 m"},
            *({"id": "L", "name": "Lamp", "at": wall, **one} for one in devices),
        ],
        "circuits": [{"id": "C", "name": "C", "from": "B", "to": ["L"]}],
    }
    with pytest.raises(ProjectFaults) as caught:
        check_data(data)
    assert words in str(caught.value)
