"""A price on looms: metres counted once, a bound below every plan with these cables, and plans that share more."""

from __future__ import annotations

from functools import cache

import pytest
from small_vans import shell, small_project

from ribway.models.plan.bound import bound_words
from ribway.models.plan.plan import Plan
from ribway.models.shop import Shop
from ribway.router.audit.check import audit_plan
from ribway.router.choosing.sharing import stretches_of
from ribway.router.paths.search import Path, Searcher
from ribway.router.planner import audited, written
from ribway.router.planning import Planning, State
from ribway.router.rising import planned

PRICE = 0.02


@cache
def made(seed: int, price: float) -> tuple[Planning, State]:
    van = small_project(seed)
    shop = van.shop.model_copy(update={"loom_costs": price})
    planning = Planning(van.model_copy(update={"shop": shop}), shell())
    return planning, planned(planning)


@cache
def plan(seed: int, price: float) -> Plan:
    return audited(written(*made(seed, price), "", bounded=True))


def path_between(planning: Planning, a: str, b: str) -> Path:
    names = [portal.device for portal in planning.space.portals]
    cost = planning.network.length
    found = Searcher(planning.network).path(names.index(a), names.index(b), cost, 0.0 * cost[: planning.network.ways])
    assert found is not None
    return found


def test_a_run_alone_is_its_own_loom_and_the_way_back_is_the_same() -> None:
    planning, _ = made(0, 0.0)
    stretches = stretches_of(planning.network)
    there, back = path_between(planning, "board", "fridge"), path_between(planning, "fridge", "board")
    metres = float(planning.network.length[list(there.edges)].sum())
    assert stretches.loom_m(planning.network, [there]) == pytest.approx(metres, abs=1e-9)
    assert stretches.loom_m(planning.network, [there, there]) == pytest.approx(metres, abs=1e-9)
    if back.cost == pytest.approx(there.cost, abs=1e-9):
        assert stretches.loom_m(planning.network, [there, back]) <= 2.0 * metres
    other = path_between(planning, "board", "pump")
    both = stretches.loom_m(planning.network, [there, other])
    assert metres < both <= metres + float(planning.network.length[list(other.edges)].sum()) + 1e-9


@pytest.mark.parametrize("seed", [0, 1])
def test_looms_are_shared_more_and_the_bound_holds(seed: int) -> None:
    (before, plain), (after, shared) = made(seed, 0.0), made(seed, PRICE)
    stretches = stretches_of(after.network)
    assert stretches.loom_m(after.network, shared.paths) <= stretches.loom_m(before.network, plain.paths) + 1e-9
    bound = plan(seed, PRICE).bound
    assert bound is not None
    looms = bound.looms
    assert looms is not None
    assert 0.0 < looms.least_kg <= looms.planned_kg
    assert looms.planned_kg == pytest.approx(bound.planned_kg + PRICE * looms.loom_m, abs=2e-6)
    assert looms.least_kg >= bound.same_cables_kg - 1e-6 or looms.gap_percent < 100.0
    # The routes that were found without a price are routes for these cables too, where no size changed.
    if plain.index == shared.index:
        base = plan(seed, 0.0).bound
        assert base is not None
        assert base.planned_kg + PRICE * stretches.loom_m(before.network, plain.paths) >= looms.least_kg - 1e-6


def test_without_a_price_nothing_is_said_of_looms() -> None:
    bound = plan(0, 0.0).bound
    assert bound is not None
    assert bound.looms is None
    assert "With looms" not in bound_words(bound, "metric")


def test_it_is_said_and_audited() -> None:
    good = plan(0, PRICE)
    bound = good.bound
    assert bound is not None
    looms = bound.looms
    assert looms is not None
    assert "With looms at 20 g of copper a metre" in bound_words(bound, "metric")
    assert not [one for one in audit_plan(good) if one.code == "bound"]
    for wrong in ({"planned_kg": 9.0}, {"least_kg": 99.0, "gap_percent": 0.0}, {"gap_percent": 77.0}, {"loom_m": 1.0}):
        spoilt = bound.model_copy(update={"looms": looms.model_copy(update=wrong)})
        found = [one for one in audit_plan(good.model_copy(update={"bound": spoilt})) if one.code == "bound"]
        assert [one for one in found if one.about == "looms" and one.level == "error"], wrong


@pytest.mark.parametrize(("text", "kg"), [("20 g", 0.02), ("7,5 g", 0.0075), ("0 g", 0.0)])
def test_the_price_is_text(text: str, kg: float) -> None:
    assert Shop.model_validate({"loom_costs": text}).loom_costs == pytest.approx(kg)


@pytest.mark.parametrize("text", ["20", "20 kg", "-1 g", "9999 g"])
def test_other_text_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="no copper a metre"):
        Shop.model_validate({"loom_costs": text})
