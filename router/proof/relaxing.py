"""What would make room when there is no plan: larger bores, a drilled hole, a run moved elsewhere; each solved again."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from ribway.router.proof.certificate import Certificate, certify
from ribway.router.proof.instance import Instance
from ribway.router.proof.plans import faults_of
from ribway.router.proof.result import Limits
from ribway.router.proof.solve import solve

TRIALS = 40
ANY_PLAN = Limits(tolerance=0.9, nodes=40)  # the first plan that is found will do
STEPS_MM = (4.0, 8.0, 16.0, 24.0)  # a step drill's usual steps; common practice, no source
MOVE_PRICE = 100.0  # a run laid outside the model is the last resort


@dataclass(frozen=True)
class Change:
    """One thing to change.

    Args:
        what: a larger bore, a hole to drill, or a run laid elsewhere.
        way: of the first two.
        run: of the last.
        bore_mm: new bore [mm].
        limit_mm2: new limit [mm2].
        price: what it costs, to rank changes.
    """

    what: Literal["larger", "drill", "move"]
    way: int = -1
    run: int = -1
    bore_mm: float = 0.0
    limit_mm2: float = 0.0
    price: float = 1.0


@dataclass(frozen=True)
class Relaxation:
    """Changes after which a plan was found.

    Args:
        changes: all of them are needed together.
        price: summed.
        cost: of the plan that was found; a run moved elsewhere is not in it.
    """

    changes: tuple[Change, ...]
    price: float
    cost: float


def changed(instance: Instance, changes: Sequence[Change]) -> Instance:
    """The instance with these changes made."""
    net = instance.network
    limit, bore = net.limit_mm2.copy(), net.bore_mm.copy()
    gone = {change.run for change in changes if change.what == "move"}
    for change in changes:
        if change.what != "move":
            limit[change.way], bore[change.way] = change.limit_mm2, change.bore_mm
    runs = tuple(run for k, run in enumerate(instance.runs) if k not in gone)
    return replace(instance, network=replace(net, limit_mm2=limit, bore_mm=bore), runs=runs)


def likely_changes(instance: Instance, why: Certificate) -> list[Change]:
    """Larger bores of the ways that a certificate names, and moving the runs that it names; cheapest first.

    Args:
        instance: without a plan.
        why: its certificate; without a proof, all ways and runs come in question.
    """
    net, out = instance.network, []
    for way in why.ways if why.ways else range(net.ways):
        bore = float(net.bore_mm[way])
        for step in STEPS_MM if bore > 0.0 else ():
            limit = float(net.limit_mm2[way]) * ((bore + step) / bore) ** 2
            out.append(Change("larger", way, bore_mm=bore + step, limit_mm2=limit, price=step))
    runs = why.runs if why.runs else range(len(instance.runs))
    out += [Change("move", run=run, price=MOVE_PRICE) for run in runs]
    return sorted(out, key=lambda one: one.price)


def relaxations(
    instance: Instance, changes: Sequence[Change] = (), most: int = 3, together: int = 2, trials: int = TRIALS
) -> list[Relaxation]:
    """The cheapest sets of changes after which there is a plan.

    Sets are tried by rising price; the plan after each is found by solving again and checked by its rules. A set that
    holds a smaller one that does is left out, and so is one that a certificate shows to be in vain.

    Args:
        instance: without a plan.
        changes: to choose from, drilled holes among them; larger bores and moved runs are added.
        most: how many to find.
        together: changes in one set at most.
        trials: sets to solve at most.
    """
    offered = sorted([*changes, *likely_changes(instance, certify(instance))], key=lambda one: one.price)
    sets = [one for size in range(1, together + 1) for one in itertools.combinations(range(len(offered)), size)]
    sets.sort(key=lambda some: (math.fsum(offered[i].price for i in some), len(some), some))
    out: list[Relaxation] = []
    done: list[set[int]] = []
    for some in sets:
        places = {(offered[i].way, offered[i].run) for i in some}
        if len(out) >= most or trials <= 0 or len(places) < len(some) or any(one <= set(some) for one in done):
            continue
        trials -= 1
        chosen = tuple(offered[i] for i in some)
        trial = changed(instance, chosen)
        if not trial.runs or certify(trial, rounds=20).proved:
            continue
        found = solve(trial, ANY_PLAN)
        if found.routes and not faults_of(trial, found.routes):
            out.append(Relaxation(chosen, math.fsum(change.price for change in chosen), found.cost))
            done.append(set(some))
    return out
