"""A run by hand keeps to its ways in the proof too, at the cost that its planned path has."""

from __future__ import annotations

import numpy as np
import pytest
from plain_shells import Bar, Hole, on_wall, plain_shell, project

from ribway.router.paths.admission import Separation
from ribway.router.planning import Planning
from ribway.router.proof.from_space import adapt


@pytest.mark.parametrize("named", [["L1a"], ["L1b"]])
def test_by_hand_bars_all_other_ways(named: list[str]) -> None:
    shell = plain_shell(2.0, 1.2, [Bar(1.0, (Hole(0.3), Hole(0.8), Hole(1.0)))])
    places = {"a": on_wall(0.4, 0.3), "b": on_wall(1.6, 0.3)}
    circuit = [{"id": "C", "name": "C", "from": "a", "to": ["b"]}]
    runs = [{"circuit": "C", "from": "a", "to": "b", "by_hand": named}]
    wanted = project(places, circuit, None, None, {"a": {"kind": "source"}, "b": {"amps": 1.0}}, runs)
    planning = Planning(wanted, shell)
    jobs = planning.jobs({"C": 0})
    shut = [np.zeros(len(planning.space.ways))]
    adapted = adapt(planning.network, jobs, Separation("apart", "together"), shut, [1.0], [0.0])
    (run,) = adapted.instance.runs
    names = [way.name for way in planning.space.ways]
    assert [names[way] for way in run.via] == named
    assert sorted(names[way] for way in run.avoid) == sorted({"L1a", "L1b", "L1c"} - set(named))
