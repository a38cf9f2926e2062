"""Positions, ends, step-downs and the ways of a board."""

import csv
import random
from itertools import permutations
from pathlib import Path

import pytest

from ribway.sizing.errors import BadNumberError, SizingError, UnknownRuleError
from ribway.sizing.protection.boards import Board, BoardCircuit, allot_ways
from ribway.sizing.protection.position import End, Stage, end_findings, farthest_m, step_down_findings

RULES = {
    row["rule"]: row["value"]
    for row in csv.DictReader((Path(__file__).parents[2] / "data" / "checks" / "rules.csv").open(encoding="utf-8"))
}


def test_distance_from_the_source():
    """rules.csv: 178 mm (7 in); 1016 mm (40 in) if sheathed (33 CFR 183.455)."""
    printed = RULES["fuse within this distance of the source, along the wire"]
    assert f"{1000 * farthest_m('33CFR183', False):.0f} mm (7 in)" in printed
    assert f"{1000 * farthest_m('33CFR183', True):.0f} mm (40 in)" in printed
    with pytest.raises(UnknownRuleError, match="accepted: 33CFR183, ISO10133"):
        farthest_m("Atlantis", False)


def test_a_fuse_too_far_away():
    board = End("board", False, None)
    assert end_findings("feed", End("battery", True, 0.178), board) == ()
    assert end_findings("feed", End("battery", True, 1.0, sheathed=True), board) == ()
    (found,) = end_findings("feed", End("battery", True, 0.25), board)
    assert found.rule == "position"
    assert "250 mm along the wire from battery; 178 mm of bare wire" in found.says


def test_both_ends_where_both_can_feed():
    """Alternator and battery, solar controller and battery: a fuse at each."""
    battery, alternator = End("battery", True, 0.1), End("alternator", True, None)
    (found,) = end_findings("charge", alternator, battery)
    assert (found.rule, found.where) == ("both ends", "charge")
    assert "no fuse at alternator, and both its ends can feed it" in found.says
    (single,) = end_findings("lamp", End("board", True, None), End("lamp", False, None))
    assert single.rule == "position"
    assert end_findings("dead", End("lamp", False, None), End("switch", False, None)) == ()


def test_step_down_to_the_thinnest_tail():
    """Feeder 80 A fuse and 100 A wire; branch 20 A wire without a fuse; tail of 8 A behind a fuse of 7.5 A."""
    stages = [
        Stage("feeder", -1, 100, 80),
        Stage("branch", 0, 20),
        Stage("fused branch", 0, 20, 15),
        Stage("tail", 2, 8),
        Stage("fused tail", 2, 8, 7.5),
        Stage("end", 4, 7.5),
    ]
    found = step_down_findings(stages)
    assert [one.where for one in found] == ["branch", "tail"]
    assert "branch may have a fuse of 20 A and lies behind one of 80 A at feeder" in found[0].says
    assert [one.where for one in step_down_findings(stages, "33CFR183-150")] == ["branch", "tail"]
    assert step_down_findings([Stage("a", -1, 10, 15)], "33CFR183-150") == ()
    assert "no fuse before bare" in step_down_findings([Stage("bare", -1, 10)])[0].says
    with pytest.raises(SizingError, match="list it after"):
        step_down_findings([Stage("a", 0, 10)])


def test_ways_are_allotted_and_spares_counted():
    board = Board("B1", (30, 15, 15, 30, 15), 100)
    circuits = [BoardCircuit("lights", 10, 4), BoardCircuit("pump", 15, 8, 3), BoardCircuit("fridge", 20, 10)]
    allotted = allot_ways(board, circuits)
    assert dict(allotted.ways) == {"lights": 2, "pump": 3, "fridge": 1}
    assert allotted.spare == (4, 5)
    assert allotted.total_a == 22
    assert allotted.findings == ()


def test_what_a_board_cannot_do():
    board = Board("B1", (30, 15), 20)
    allotted = allot_ways(board, [BoardCircuit("a", 30, 25), BoardCircuit("b", 30, 5), BoardCircuit("c", 15, 1)])
    assert dict(allotted.ways) == {"a": 1, "c": 2}
    assert ["no free way" in allotted.findings[0].says, "26 A may flow" in allotted.findings[1].says] == [True, True]
    assert "no way of B1 is left for z" in allot_ways(Board("B1", (30,), 99), [
        BoardCircuit("y", 5, 1), BoardCircuit("z", 5, 1)]).findings[0].says  # fmt: skip
    stated = allot_ways(board, [BoardCircuit("a", 20, 5, 2)])
    assert "in way 2 of B1, which may carry 15 A" in stated.findings[0].says
    assert allot_ways(board, [BoardCircuit("a", 30, 25)], diversity=0.5).findings == ()
    for circuits, says in (
        ([BoardCircuit("a", 5, 1), BoardCircuit("a", 5, 1)], "twice"),
        ([BoardCircuit("a", 5, 1, 1), BoardCircuit("b", 5, 1, 1)], "which is taken"),
        ([BoardCircuit("a", 5, 1, 3)], "has ways 1 to 2"),
    ):
        with pytest.raises(SizingError, match=says):
            allot_ways(board, circuits)
    with pytest.raises(BadNumberError, match="no ways"):
        Board("B", (), 10)
    with pytest.raises(BadNumberError, match="diversity"):
        allot_ways(board, [], diversity=0)


def test_no_order_places_more_circuits():
    """Enumeration of all orders and ways on small boards."""
    rng = random.Random(17)
    for _ in range(60):
        board = Board("B", tuple(rng.choice([10.0, 15.0, 30.0]) for _ in range(rng.randint(1, 4))), 1000)
        circuits = [BoardCircuit(f"c{n}", rng.choice([7.5, 15, 30]), 1.0) for n in range(rng.randint(1, 4))]
        ways = range(len(board.ways_a))
        padded = [*circuits, *[None] * len(board.ways_a)]
        best = max(
            sum(one is not None and one.fuse_a <= board.ways_a[way] for way, one in zip(ways, order, strict=False))
            for order in permutations(padded, len(board.ways_a))
        )
        allotted = allot_ways(board, circuits)
        assert len(allotted.ways) == best
        assert len(allotted.spare) == len(board.ways_a) - best
        for one in circuits:
            if one.id in allotted.ways:
                assert board.ways_a[allotted.ways[one.id] - 1] >= one.fuse_a
