"""Names of runs: a cable's label leads to one run, now and in every later revision. Held against that rule alone, over random
circuits and random histories of them."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from types import SimpleNamespace

from hypothesis import given
from hypothesis import strategies as st

from ribway.models.run_numbers import Ends, RunNumber, ends_of, identities, with_runs
from ribway.router.circuits.naming import Naming

NAMES = st.one_of(st.none(), st.sampled_from(["C1", "C1-1", "C1-2", "C1-3", "C1-4", "C1-7", "pump"]))
CHAIN = st.permutations(["a", "b", "c", "d", "e"]).flatmap(
    lambda order: st.integers(1, len(order)).map(lambda count: ("board", *order[:count]))
)
STAR = st.sets(st.sampled_from("abcde"), min_size=1)


def to(*loads: str, circuit: str = "C1") -> list[Ends]:
    return [ends_of(circuit, "feed", "board", load) for load in loads]


def names(stated: Sequence[str | None], others: Sequence[str] = (), numbers: Sequence[RunNumber] = ()) -> list[str]:
    naming = Naming(numbers, [*others, *filter(None, stated)])
    return naming.of("C1", to(*(f"load{n}" for n in range(len(stated)))), stated)


def kept(
    numbers: Sequence[RunNumber], runs: Sequence[tuple[str, str, str]], found: Sequence[str]
) -> tuple[RunNumber, ...]:
    made = [
        SimpleNamespace(id=name, circuit=circuit, role="feed", from_=a, to=b)
        for name, (circuit, a, b) in zip(found, runs, strict=True)
    ]
    return with_runs(numbers, made)


@given(stated=st.lists(NAMES, min_size=1, max_size=7), others=st.sets(st.sampled_from(["C1", "C1-2", "C1-5", "D1"])))
def test_no_name_is_given_twice_and_stated_ones_stay(stated: list[str | None], others: set[str]) -> None:
    once = [name if name not in stated[:place] and name not in others else None for place, name in enumerate(stated)]
    found = names(once, sorted(others))
    assert len(set(found)) == len(found) == len(once)
    assert not set(found) & others
    assert [name for name, said in zip(found, once, strict=True) if said] == [said for said in once if said]


def test_by_place_where_nothing_is_stated() -> None:
    assert names([None]) == ["C1"]
    assert names([None, None, None]) == ["C1-1", "C1-2", "C1-3"]


def test_a_new_run_counts_on_behind_names_that_are_kept() -> None:
    assert names(["C1-2", "C1-3", None]) == ["C1-2", "C1-3", "C1-4"]
    assert names([None, "C1-1"]) == ["C1-3", "C1-1"]


def test_circuits_whose_names_run_into_one_another() -> None:
    naming = Naming()
    found = naming.of("C1", to("a", "b", "c"), [None] * 3) + naming.of("C1-2", to("d", circuit="C1-2"), [None])
    assert found[:3] == ["C1-1", "C1-2", "C1-3"]
    assert len(set(found)) == 4


@given(
    revisions=st.lists(st.tuples(CHAIN, STAR), min_size=2, max_size=8),
    counts=st.data(),
)
def test_over_any_history_a_number_is_one_run_and_a_run_has_one_number(
    revisions: list[tuple[tuple[str, ...], set[str]]], counts: st.DataObject
) -> None:
    """A chain led in any order and a star of any loads, revision after revision, each made with the register of the one before.
    By the rule alone: which number is on which pair of ends is written down over all of history and never contradicted."""
    numbers: tuple[RunNumber, ...] = ()
    owner: dict[str, tuple[str, frozenset[str]]] = {}
    number_of: dict[tuple[str, frozenset[str]], str] = {}
    for chain, star in revisions:
        leads = {"chain": list(pairwise(chain)), "star": [("board", one) for one in sorted(star)]}
        naming, runs, found = Naming(numbers), [], []
        for circuit, pairs in leads.items():
            turned = [(b, a) if counts.draw(st.booleans()) else (a, b) for a, b in pairs]
            runs += [(circuit, a, b) for a, b in turned]
            found += naming.of(circuit, [ends_of(circuit, "feed", a, b) for a, b in turned], [None] * len(turned))
        assert len(set(found)) == len(found)
        for name, (circuit, a, b) in zip(found, runs, strict=True):
            run = (circuit, frozenset((a, b)))
            assert owner.setdefault(name, run) == run, "a number that was given before is on another run"
            assert number_of.setdefault(run, name) == name, "a run that is there has another number"
        after = kept(numbers, runs, found)
        assert {(one.run, one.identity) for one in numbers} <= {(one.run, one.identity) for one in after}
        assert kept(after, runs, found) == after, "the same revision again changes nothing"
        numbers = after


def test_a_new_run_goes_on_behind_numbers_of_runs_that_are_gone() -> None:
    numbers = kept((), [("C1", "board", one) for one in "abc"], ["C1-1", "C1-2", "C1-3"])
    assert Naming(numbers).of("C1", to("a", "d"), [None, None]) == ["C1-1", "C1-4"]
    assert Naming(numbers).of("C1", to("d"), [None]) == ["C1-4"]
    assert Naming(numbers).of("C1", to("c", "b"), [None, None]) == ["C1-3", "C1-2"], "they come back as what they were"
    alone = kept((), [("C2", "board", "a")], ["C2"])
    assert Naming(alone).of("C2", to("b", "a", circuit="C2"), [None, None]) == ["C2-2", "C2"]


def test_runs_between_the_same_ends_are_told_apart_by_their_order() -> None:
    ends = [ends_of("", "feed", "board", "fridge")] * 2
    assert [nth for _, nth in identities(ends)] == [1, 2]
    numbers = kept((), [("", "board", "fridge")] * 2, ["spare-1", "spare-2"])
    assert Naming(numbers).of("spare", [*ends, ends_of("", "feed", "board", "lamp")], [None] * 3) == [
        "spare-1", "spare-2", "spare-3",
    ]  # fmt: skip


def test_a_spare_is_told_by_its_zone_where_its_ends_are_new() -> None:
    zones = {"fridge": "right rear", "lamp": "right rear", "pump": "left rear"}
    runs = [
        SimpleNamespace(id=name, circuit="", role="feed", from_="board", to=far)
        for name, far in (("spare-1", "fridge"), ("spare-2", "pump"))
    ]
    numbers = with_runs((), runs, zones)
    assert {one.run: one.zone for one in numbers} == {"spare-1": "right rear", "spare-2": "left rear"}

    def named(*far: str) -> list[str]:
        led = [ends_of("", "feed", "board", one) for one in far]
        return Naming(numbers).of("spare", led, [None] * len(led), [zones[one] for one in far])

    assert named("lamp", "pump") == ["spare-1", "spare-2"]
    assert named("fridge", "lamp") == ["spare-1", "spare-3"], "the first one still leads where it led"
    assert named("lamp", "fridge") == ["spare-3", "spare-1"]
    moved = SimpleNamespace(id="spare-1", circuit="", role="feed", from_="board", to="lamp")
    after = with_runs(numbers, [moved, runs[1]], zones)
    assert [(one.run, one.to) for one in after] == [("spare-1", "lamp"), ("spare-2", "pump")], "one line for one number"
    old = tuple(one.model_copy(update={"zone": ""}) for one in numbers)
    assert Naming(old).of("spare", [ends_of("", "feed", "board", "lamp")], [None], ["right rear"]) == ["spare-3"]


def test_a_name_that_the_project_gives_stays_and_the_one_before_is_nobodys() -> None:
    numbers = kept((), [("C1", "board", "a"), ("C1", "board", "b")], ["C1-1", "C1-2"])
    called = kept(numbers, [("C1", "board", "a"), ("C1", "board", "b")], ["galley", "C1-2"])
    assert {one.run: one.before for one in called} == {"galley": ("C1-1",), "C1-2": ()}
    assert Naming(called).of("C1", to("a", "b", "c"), [None] * 3) == ["galley", "C1-2", "C1-3"]
    (fault,) = Naming(called).taken(to("b"), ["C1-1"])
    assert "C1-1 was given to another run before, from board to a, of C1" in str(fault)
    assert list(Naming(called).taken(to("a"), ["C1-1"])) == [], "its own earlier name"
