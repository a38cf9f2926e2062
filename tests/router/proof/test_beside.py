"""Work done beside one's own: the same answer in a second process and here, and an end to what nobody asks for."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable

import pytest
import random_lattices

from ribway.router.proof.beside import Beside

HAS_FORK = hasattr(os, "fork")
WAYS: list[Callable[[], bool]] = [lambda: False, *([lambda: True] if HAS_FORK else [])]


@pytest.mark.parametrize("spare", WAYS)
def test_the_answer_is_that_of_the_work_and_of_the_moment_it_was_begun(spare: Callable[[], bool]) -> None:
    number = 20
    with Beside(lambda: [number**2], spare) as beside:
        number = 3
        assert beside.answer() == [400]
        assert beside.answer() is beside.answer()
    assert number == 3


@pytest.mark.skipif(not HAS_FORK, reason="the system copies no processes")
def test_work_is_done_here_if_the_second_process_dies() -> None:
    here = os.getpid()

    def work() -> int:
        if os.getpid() != here:
            os._exit(9)
        return 7

    with Beside(work, lambda: True) as beside:
        assert beside.answer() == 7


@pytest.mark.skipif(not HAS_FORK, reason="the system copies no processes")
def test_work_that_nobody_asks_for_is_ended(monkeypatch: pytest.MonkeyPatch) -> None:
    copied, copy = [], os.fork

    def fork() -> int:
        copied.append(copy())
        return copied[-1]

    monkeypatch.setattr(os, "fork", fork)
    begun = time.perf_counter()
    with Beside(lambda: time.sleep(60.0), lambda: True):
        pass
    assert time.perf_counter() - begun < 30.0
    (child,) = copied
    with pytest.raises(ChildProcessError):  # it is not there any more, nor left behind as a dead one
        os.waitpid(child, os.WNOHANG)


PLAN = """
import sys
from random_lattices import random_instance
from ribway.router.proof import beside, many, solve
from ribway.router.proof.result import Limits

many.MANY_RUNS = solve.MANY_RUNS = 8
many.TRIES = 40
many.FIRST_STEPS = many.LAST_STEPS = 10
begun = []
def spare():
    begun.append(sys.argv[1] == "two")
    return begun[-1]
class Told(beside.Beside):
    def __init__(self, work):
        super().__init__(work, spare)
many.Beside = Told
instance = random_instance(5, 12, tight=3.0, rows=3, columns=4)
found = solve.solve(instance, Limits(tolerance=1e-9, steps=20))
print(found.cost.hex(), found.bound.hex(), [route.arcs for route in found.routes])
print(len(begun) > 1, file=sys.stderr)
"""


@pytest.mark.skipif(not HAS_FORK, reason="the system copies no processes")
def test_many_runs_come_out_alike_on_one_core_and_on_two() -> None:
    """In a process of its own each, since a test's process may have threads."""
    seen = {**os.environ, "PYTHONPATH": os.path.dirname(random_lattices.__file__)}
    found = [
        subprocess.run([sys.executable, "-c", PLAN, cores], env=seen, capture_output=True, text=True, check=True)
        for cores in ("one", "two")
    ]
    assert all("True" in one.stderr for one in found)  # something was done beside
    assert "0x" in found[0].stdout
    assert found[0].stdout == found[1].stdout
