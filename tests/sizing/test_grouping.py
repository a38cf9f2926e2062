"""Counting of loaded conductors (BS 7671 523.5, read second-hand), by hand and against a plain enumeration."""

import random
from itertools import product

import pytest

from ribway.sizing.errors import SizingError
from ribway.sizing.grouping import Member, counted_conductors
from ribway.sizing.rules import bundle_factor


def twenty(_, count):
    """A conductor of 20 A alone, by the factors of 33 CFR 183.425."""
    return 20 * bundle_factor("33CFR183", count)


def test_light_ones_do_not_count_for_others_but_for_themselves():
    """Six conductors: 20 A x 0.6 = 12 A each; 3.6 A is 30 %: not counted; 3.7 A is."""
    three = [Member("a", 2, 10), Member("b", 2, 3.6), Member("c", 2, 3.7)]
    counted = counted_conductors(three, twenty)
    assert {name: one.count for name, one in counted.items()} == {"a": 4, "b": 6, "c": 4}
    assert counted["a"].light == ("b",)


def test_only_the_worst_of_those_never_loaded_together_counts():
    """Summer fan and winter heater."""
    members = [Member("fan", 2, 10, "season"), Member("heater", 4, 10, "season"), Member("light", 2, 10)]
    counted = counted_conductors(members, twenty)
    assert {name: one.count for name, one in counted.items()} == {"fan": 4, "heater": 6, "light": 6}
    assert counted["light"].never_together == ("fan",)


def test_spares_and_idle_runs_count_nothing():
    members = [Member("spare", 0, 0), Member("idle", 2, 0), Member("x", 2, 15)]
    counted = counted_conductors(members, twenty)
    assert {name: one.count for name, one in counted.items()} == {"spare": 2, "idle": 2, "x": 2}
    assert counted_conductors([Member("alone", 2, 0)], twenty)["alone"].count == 1


def test_against_every_way_the_sets_may_be_loaded():
    """The count is the most over all choices of one run from each set (enumeration)."""
    rng = random.Random(523)
    for _ in range(300):
        members = [
            Member(f"r{n}", rng.choice([1, 2, 2, 3]), rng.choice([6.0, 9.0, 15.0]), rng.choice(["", "", "p", "q"]))
            for n in range(rng.randint(1, 8))
        ]
        counted = counted_conductors(members, lambda _name, _count: 10.0)  # light from 3 A down: none here
        sets = {name: [one for one in members if one.never_with == name] for name in ("p", "q")}
        for member in members:
            worst = 0
            for chosen in product(*([None, *group] for group in sets.values())):
                loaded = [one for one in members if not one.never_with or one in chosen]
                if member in loaded:
                    worst = max(worst, sum(one.loaded for one in loaded))
            assert counted[member.id].count == worst


def test_twice_is_refused():
    with pytest.raises(SizingError, match="'a' is in the bundle twice"):
        counted_conductors([Member("a", 2, 1), Member("a", 2, 1)], twenty)
