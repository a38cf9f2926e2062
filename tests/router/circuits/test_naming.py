"""Names of runs: a cable's label leads to one run. Held against the rule alone, over random circuits."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from ribway.router.circuits.naming import run_names

NAMES = st.one_of(st.none(), st.sampled_from(["C1", "C1-1", "C1-2", "C1-3", "C1-4", "C1-7", "pump"]))


@given(stated=st.lists(NAMES, min_size=1, max_size=7), others=st.sets(st.sampled_from(["C1", "C1-2", "C1-5", "D1"])))
def test_no_name_is_given_twice_and_stated_ones_stay(stated: list[str | None], others: set[str]) -> None:
    once = [name if name not in stated[:place] and name not in others else None for place, name in enumerate(stated)]
    names = run_names("C1", once, others)
    assert len(set(names)) == len(names) == len(once)
    assert not set(names) & others
    assert [name for name, said in zip(names, once, strict=True) if said] == [said for said in once if said]


def test_by_place_where_nothing_is_stated() -> None:
    assert run_names("C1", [None]) == ["C1"]
    assert run_names("C1", [None, None, None]) == ["C1-1", "C1-2", "C1-3"]


def test_a_new_run_counts_on_behind_names_that_are_kept() -> None:
    assert run_names("C1", ["C1-2", "C1-3", None]) == ["C1-2", "C1-3", "C1-4"]
    assert run_names("C1", [None, "C1-1"]) == ["C1-3", "C1-1"]
