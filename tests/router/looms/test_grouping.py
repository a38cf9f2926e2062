"""Which runs become one loom, and how it is cut into sections: drawn by hand, then on whole plans."""

from __future__ import annotations

import itertools
import random
from collections.abc import Sequence

import networkx as nx
import numpy as np
import pytest

from ribway.router.laying.layer import Laid, Leg, Piece
from ribway.router.looms.grouping import Loom, Member, group, letters
from ribway.router.looms.joining import hanging_together


def leg(number: int, kind: str = "bay") -> Leg:
    """Stretch ``number`` of a straight line of stretches, each 1 m long."""
    piece: Piece = ("bay", number, 0, 1) if kind == "bay" else ("way", number, 0, 0)
    points = np.array([[number, 0.0, 0.0], [number + 1, 0.0, 0.0]])
    return Leg(kind, f"{kind}{number}", points, 1.0, 1.0, "wall", "square", piece)  # type: ignore[arg-type]


def spur(number: int, at: float) -> Leg:
    """A stretch of its own, 1 m long, that leaves the line at ``at``."""
    points = np.array([[at, 0.0, 0.0], [at, 0.0, -1.0]])
    return Leg("bay", f"spur{number}", points, 1.0, 1.0, "wall", "square", ("bay", 200 + number, 0, 1))


def detour(number: int) -> Leg:
    """A stretch of its own from ``number`` to ``number`` + 1, round the outside: 3 m."""
    points = np.array([[number, 0, 0], [number, 1, 0], [number + 1, 1, 0], [number + 1, 0, 0]], dtype=float)
    return Leg("bay", f"round{number}", points, 3.0, 3.0, "wall", "square", ("bay", 100 + number, 0, 1))


def stub(at: float, length: float) -> Leg:
    """From a device down to the line at ``at``."""
    points = np.array([[at, 0, length], [at, 0, 0]], dtype=float)
    return Leg("stub", "device", points, length, length, "wall", "", None)


def laid(legs: Sequence[Leg]) -> Laid:
    return Laid(tuple(legs), np.vstack([one.points for one in legs]), ())


def member(run: str, legs: Sequence[Leg], zone: str = "rear", family: str = "low", **ends: str) -> Member:
    """A run from ``a`` to ``b`` of its own circuit unless said otherwise."""
    return Member(run, ends.get("a", "board"), ends.get("b", run), ends.get("circuit", run), zone, family, laid(legs))


def check(loom: Loom, members: Sequence[Member]) -> None:
    """Every stretch lies in exactly one section, with just the runs that take it; sections hang together."""
    own = {one.run: one for one in members if one.run in loom.runs}
    assert sorted(loom.runs) == sorted(own)
    pieces = {}
    for one in own.values():
        for stretch in one.laid.legs:
            if stretch.piece is not None:
                runs, length = pieces.get(stretch.piece, (set(), stretch.sharp_m))
                pieces[stretch.piece] = (runs | {one.run}, length)
    want: dict[tuple[str, ...], float] = {}
    for runs, length in pieces.values():
        key = tuple(sorted(runs))
        want[key] = want.get(key, 0.0) + length
    got: dict[tuple[str, ...], float] = {}
    for section in loom.sections:
        assert section.to_m > section.from_m
        assert section.runs == tuple(sorted(section.runs))
        got[section.runs] = got.get(section.runs, 0.0) + section.to_m - section.from_m
        steps = np.linalg.norm(np.diff(section.points, axis=0), axis=1)
        assert steps.sum() == pytest.approx(section.to_m - section.from_m, abs=1e-6), "no jump, nothing left out"
    assert got == pytest.approx(want)
    order = [section.branch for section in loom.sections]
    assert order == sorted(order)
    assert set(order) == set(range(max(order) + 1)), "branches are numbered without gaps"
    starts = []
    for number in range(1, max(order) + 1):
        branch = [section for section in loom.sections if section.branch == number]
        starts.append(branch[0].from_m)
        for before, after in itertools.pairwise(branch):
            assert after.from_m == pytest.approx(before.to_m)
            assert after.points[0] == pytest.approx(before.points[-1])
    assert starts == sorted(starts), "branches stand in the order in which they leave"
    trunk = [section for section in loom.sections if section.trunk]
    assert trunk == list(loom.sections[: len(trunk)])
    for before, after in itertools.pairwise(trunk):
        assert after.from_m == pytest.approx(before.to_m)
        assert after.points[0] == pytest.approx(before.points[-1])
    assert len(loom.breakouts) == max(0, len(trunk) - 1)
    for at, (before, after) in zip(loom.breakouts, itertools.pairwise(trunk), strict=True):
        assert at.at_m == pytest.approx(before.to_m)
        assert set(at.runs) == set(before.runs) ^ set(after.runs) != set()
        assert set(at.joining) == set(after.runs) - set(before.runs)
        assert at.point == pytest.approx(before.points[-1])


def test_two_runs_that_part_half_way() -> None:
    """r1: stretches 0-4; r2: 0-1, then off by a spur. Trunk r1: [0, 2) both, [2, 5) r1; branch [2, 3) r2."""
    members = [member("r1", [leg(k) for k in range(5)]), member("r2", [leg(0), leg(1), spur(7, 2)])]
    (loom,) = group(members)
    assert loom.id == "A"
    assert loom.runs == ("r1", "r2")
    found = [(section.from_m, section.to_m, section.runs, section.trunk) for section in loom.sections]
    assert found == [
        (0.0, 2.0, ("r1", "r2"), True),
        (2.0, 5.0, ("r1",), True),
        (2.0, 3.0, ("r2",), False),
    ]
    assert [(one.at_m, one.runs) for one in loom.breakouts] == [(2.0, ("r2",))]
    assert loom.length_m == 5.0
    check(loom, members)


def test_distance_counts_from_the_device_where_the_trunk_begins() -> None:
    members = [member("r1", [stub(0, 0.4), leg(0), leg(1), leg(2)]), member("r2", [leg(0), spur(8, 1)])]
    (loom,) = group(members)
    assert [(one.from_m, one.to_m) for one in loom.sections if one.trunk] == [(0.4, 1.4), (1.4, 3.4)]
    assert loom.length_m == pytest.approx(3.4)
    check(loom, members)


def test_ways_and_places_are_named() -> None:
    members = [
        member("r1", [leg(0), leg(1, "opening"), leg(2), leg(3, "opening"), leg(4)]),
        member("r2", [leg(0), leg(1, "opening"), spur(9, 2)]),
        member("r3", [leg(0), spur(8, 1)]),
    ]
    (loom,) = group(members)
    assert [section.ways for section in loom.sections if section.trunk] == [(), ("opening1",), ("opening3",)]
    assert [one.place for one in loom.breakouts] == ["before opening1", "after opening1"]
    check(loom, members)


def test_who_leaves_and_who_joins() -> None:
    """r1 lies on stretches 0 to 5; r2 comes in at 2 and goes out after 3. Walking from the start: r2 in, r2 out."""
    members = [
        member("r1", [leg(k) for k in range(6)]),
        member("r2", [spur(1, 2), leg(2), leg(3), spur(2, 4)], a="pump"),
    ]
    (loom,) = group(members)
    assert [(one.at_m, one.runs, one.joining) for one in loom.breakouts] == [
        (2.0, ("r2",), ("r2",)),
        (4.0, ("r2",), ()),
    ]
    check(loom, members)


def test_a_branch_says_where_it_begins_and_stands_after_those_that_leave_before_it() -> None:
    members = [
        member("a", [leg(0), leg(1), leg(2, "opening"), spur(1, 3)]),
        member("b", [leg(0), spur(2, 1)]),
        member("r", [leg(0), leg(1), leg(2, "opening"), leg(3), leg(4), leg(5)]),
        member("s", [spur(3, 4), leg(4), leg(5)], a="pump"),
    ]
    (loom,) = group(members)
    check(loom, members)
    found = [(one.branch, one.from_m, one.runs, one.device, one.way) for one in loom.sections if not one.trunk]
    assert found == [(1, 0.0, ("s",), "pump", ""), (2, 1.0, ("b",), "", ""), (3, 3.0, ("a",), "", "opening2")]


def cord(run: str, legs: Sequence[Leg], zone: str = "rear") -> Member:
    return Member(run, "board", run, "", zone, "low", laid(legs), cord=True)


def test_a_draw_cord_makes_no_loom_and_joins_none_together() -> None:
    """Cables p, q share 0-1, cables x, y share 5-7. The cord lies along both, longer along the second."""
    cables = [
        member("p", [leg(0), leg(1)]),
        member("q", [leg(0), leg(1), spur(1, 2)]),
        member("x", [leg(5), leg(6), leg(7)]),
        member("y", [leg(5), leg(6), leg(7), spur(2, 8)]),
        member("single", [leg(20), leg(21)]),
    ]
    both = cord("spare-1", [leg(k) for k in range(9)])
    beside_single = cord("spare-2", [leg(20), leg(21)])
    elsewhere = cord("spare-3", [leg(5), leg(6)], zone="front")
    looms = group([both, *cables, beside_single, elsewhere])
    assert [set(loom.runs) for loom in looms] == [{"x", "y", "spare-1"}, {"p", "q"}, {"single"}]
    assert [loom.runs[0] for loom in looms] == ["y", "q", "single"], "no trunk is a cord's, however long that is"
    check(looms[0], [*cables, both])


def test_what_makes_a_loom_and_what_does_not() -> None:
    shared = [leg(0), leg(1)]
    members = [
        member("low1", [*shared, leg(2)]),
        member("low2", [*shared, spur(3, 2)]),
        member("mains", [*shared, spur(4, 2)], family="ac"),
        member("front", [*shared, spur(5, 2)], zone="front"),
        member("alone", [leg(50)]),
        member("x", [leg(20), leg(21)]),
        member("y", [leg(21), leg(22)]),
        member("z", [leg(22), leg(23)]),
    ]
    looms = group(members)
    found = [set(loom.runs) for loom in looms]
    assert found == [{"x", "y", "z"}, {"low1", "low2"}, {"alone"}, {"front"}, {"mains"}]
    assert [loom.id for loom in looms] == ["A", "B", "C", "D", "E"]
    for loom in looms:
        check(loom, members)


def test_a_chain_is_one_loom_though_it_shares_nothing() -> None:
    """Board to lamp 1 to lamp 2 to lamp 3, one circuit: distances go on along the chain, whatever zones it crosses."""
    members = [
        member("c-1", [leg(0), leg(1)], circuit="c", b="lamp1"),
        member("c-2", [leg(2)], circuit="c", a="lamp1", b="lamp2", zone="front"),
        member("c-3", [leg(3)], circuit="c", a="lamp2", b="lamp3"),
        member("d", [leg(30)], circuit="d", a="lamp1", b="other"),
    ]
    looms = group(members)
    assert [set(loom.runs) for loom in looms] == [{"c-1", "c-2", "c-3"}, {"d"}]
    assert [(one.from_m, one.to_m, one.runs) for one in looms[0].sections] == [
        (0.0, 2.0, ("c-1",)),
        (2.0, 3.0, ("c-2",)),
        (3.0, 4.0, ("c-3",)),
    ]
    assert looms[0].zone == "rear", "where most of its runs lead"


def test_runs_that_part_and_meet_again() -> None:
    """r2 goes round a full hole at stretch 2 and at stretch 4. It is the longer one, so the trunk; what r1 takes there are
    two sections, not one with a jump."""
    members = [
        member("r1", [leg(k) for k in range(6)]),
        member("r2", [leg(0), leg(1), detour(2), leg(3), detour(4), leg(5)]),
    ]
    (loom,) = group(members)
    check(loom, members)
    assert [section.runs for section in loom.sections if section.trunk] == [
        ("r1", "r2"), ("r2",), ("r1", "r2"), ("r2",), ("r1", "r2"),
    ]  # fmt: skip
    branches = [(section.from_m, section.to_m, section.runs) for section in loom.sections if not section.trunk]
    assert branches == [(2.0, 3.0, ("r1",)), (6.0, 7.0, ("r1",))], "each counted from where it leaves the trunk"


@pytest.mark.parametrize("seed", range(30))
def test_random_trees_of_stretches(seed: int) -> None:
    """Runs along a line that leave it at random and detour at random."""
    rng = random.Random(seed)
    members = []
    for k in range(rng.randint(1, 7)):
        begin, end = rng.randint(0, 3), rng.randint(4, 9)
        legs = [detour(n) if rng.random() < 0.15 else leg(n) for n in range(begin, end)]
        if rng.random() < 0.5:
            legs.append(spur(k, end))
        members.append(member(f"r{k}", legs, family=rng.choice(("ac", "low", "low"))))
    looms = group(members)
    assert sorted(run for loom in looms for run in loom.runs) == sorted(one.run for one in members)
    family = {one.run: one.family for one in members}
    for loom in looms:
        assert len({family[run] for run in loom.runs}) == 1
        check(loom, members)
    shuffled = members[:]
    rng.shuffle(shuffled)
    assert [loom.runs for loom in group(shuffled)] == [loom.runs for loom in looms], "the order given does not matter"


@pytest.mark.parametrize("seed", range(20))
def test_what_hangs_together_by_networkx(seed: int) -> None:
    draw = random.Random(seed)
    count = draw.randrange(0, 30)
    pairs = [(draw.randrange(count), draw.randrange(count)) for _ in range(draw.randrange(0, 25))] if count else []
    graph: nx.Graph[int] = nx.Graph()
    graph.add_nodes_from(range(count))
    graph.add_edges_from(pairs)
    assert sorted(hanging_together(count, pairs)) == sorted(sorted(one) for one in nx.connected_components(graph))


def test_letters() -> None:
    assert [letters(n) for n in (0, 25, 26, 27, 51, 52, 701, 702)] == ["A", "Z", "AA", "AB", "AZ", "BA", "ZZ", "AAA"]
