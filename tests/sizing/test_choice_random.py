"""2,000 seeded demands: the size chosen is the first of the stock that keeps every limit, by `reference.py`."""

import importlib.util
import random
import sys
from collections import Counter
from pathlib import Path

from ribway.sizing.choice import Choice, NoConductor, choose_conductor, stock_order
from ribway.sizing.conductor import Conductor
from ribway.sizing.demand import Demand, Leg, Stretch
from ribway.sizing.gauge import awg_area_mm2, sae_area_mm2
from ribway.sizing.maker import MakerArea, MakerLimits, Terminal
from ribway.sizing.rules import rule_set
from ribway.sizing.verdict import passes

_SPEC = importlib.util.spec_from_file_location("sizing_reference", Path(__file__).with_name("reference.py"))
assert _SPEC is not None
assert _SPEC.loader is not None
reference = importlib.util.module_from_spec(_SPEC)
_SPEC.loader.exec_module(reference)

METRIC = [0.35, 0.5, 0.75, 1, 1.5, 2, 2.5, 3, 4, 6, 10, 16, 25, 35, 50, 70, 95, 120]
AWG = ["18", "16", "14", "12", "10", "8", "6", "4", "2", "1", "1/0", "2/0", "4/0"]
INSULATION = [60, 70, 75, 80, 85, 90, 105, 125]


def random_stock(rng):
    system = rng.choice(["metric", "awg", "sae"])
    sheath, insulation = rng.random() < 0.6, rng.choice(INSULATION)
    if system == "metric":
        wires = [(f"{area:g}", float(area)) for area in rng.sample(METRIC, rng.randint(2, 8))]
    else:
        area_of = awg_area_mm2 if system == "awg" else sae_area_mm2
        wires = [(name, area_of(name)) for name in rng.sample(AWG, rng.randint(2, 7))]
    metal = rng.choice(["copper"] * 5 + ["copper-clad aluminium"])
    stock = [
        Conductor(f"{system} {name}", system, name, area, 2, insulation, sheath, metal=metal) for name, area in wires
    ]
    return stock_order(stock)


def random_demand(rng):
    scale = rng.choice([1.0, 5.0, 20.0, 120.0])
    legs = []
    for _ in range(rng.choice([1, 1, 1, 2, 4])):
        run = round(rng.uniform(0, scale), 1)
        starts = rng.random() < 0.3
        legs.append(
            Leg(
                cut_m=rng.uniform(0.2, 6),
                run_a=run,
                start_a=run * rng.uniform(1, 5) if starts else None,
                beyond_v=rng.choice([0.0, rng.uniform(0, 0.1)]),
                beyond_start_v=rng.choice([None, rng.uniform(0, 0.2)]),
                return_ohm=rng.choice([None, None, rng.uniform(0, 0.02)]),
                extra_ohm=rng.choice([0.0, rng.uniform(0, 0.004)]),
            )
        )
    stretches = [
        Stretch(
            f"s{i}",
            rng.choice([25, 30, 40, 52.5, 60, rng.uniform(0, 70)]),
            rng.choice([2, 2, 2, 4, 6, rng.randint(1, 45)]),
        )
        for i in range(rng.randint(1, 4))
    ]
    return Demand(
        legs=tuple(legs),
        stretches=tuple(stretches),
        nominal_v=rng.choice([12.0, 24.0, 48.0]),
        drop_limit_percent=rng.choice([3.0, 5.0, 10.0, None]),
        start_limit_percent=rng.choice([None, 10.0, 15.0]),
        upstream_v=rng.choice([0.0, rng.uniform(0, 0.3)]),
        upstream_start_v=rng.choice([None, rng.uniform(0, 0.5)]),
        fixed_loss_v=rng.choice([0.0, 0.05]),
        circuit_a=rng.choice([None, round(rng.uniform(0, 2 * scale), 1)]),
        fuse_a=rng.choice([None, None, None, 10.0, 15.0, 40.0]),
        fused=rng.random() < 0.85,
        conductor_temperature_c=rng.choice([None, None, 20.0, 65.0]),
        least_area_mm2=rng.choice([0.0, 0.0, 2.5]),
        maker=random_maker(rng),
        terminals=tuple(
            Terminal(
                f"t{i}", rng.choice([None, 16.0, 50.0]), rng.choice([0.0, 0.75, 1.5]), rng.choice([None, None, 40.0])
            )
            for i in range(rng.choice([0, 0, 0, 1, 2]))
        ),
    )


def random_maker(rng):
    if rng.random() < 0.75:
        return None
    lengths, areas = sorted(rng.sample(range(1, 14), 3)), sorted(rng.sample([1.5, 2.5, 4.0, 6.0, 10.0], 3))
    rows = tuple(MakerArea(float(up_to), area) for up_to, area in zip(lengths, areas, strict=True))
    return MakerLimits(
        "device",
        rng.choice([(), rows]),
        fuse_a=rng.choice([None, 15.0, 30.0]),
        drop_v=rng.choice([None, 0.3, 0.6]),
    )


def plain_wire(wire):
    """A conductor in the reference's own words."""
    return {
        "system": wire.system,
        "name": wire.size_name,
        "area": wire.area_mm2,
        "insulation": wire.insulation_c,
        "sheath": wire.sheath,
        "clad": wire.metal != "copper",
    }


def plain(demand):
    """A demand in the reference's own words."""
    legs = [
        {
            "cut": leg.cut_m,
            "run": leg.run_a,
            "start": leg.run_a if leg.start_a is None else leg.start_a,
            "beyond_run": leg.beyond_v,
            "beyond_start": leg.beyond_v if leg.beyond_start_v is None else leg.beyond_start_v,
            "return_ohm": leg.return_ohm,
            "extra": leg.extra_ohm,
        }
        for leg in demand.legs
    ]
    return {
        "legs": legs,
        "stretches": [(stretch.ambient_c, stretch.loaded_conductors) for stretch in demand.stretches],
        "nominal": demand.nominal_v,
        "limit_run": demand.drop_limit_percent,
        "limit_start": demand.start_limit_percent,
        "upstream_run": demand.upstream_v,
        "upstream_start": demand.upstream_v if demand.upstream_start_v is None else demand.upstream_start_v,
        "fixed": demand.fixed_loss_v,
        "circuit": demand.circuit_a or 0.0,
        "fuse": demand.fuse_a,
        "fused": demand.fused,
        "celsius": demand.conductor_temperature_c,
        "least": demand.least_area_mm2,
        "maker": demand.maker
        and {
            "areas": [(row.up_to_m, row.area_mm2) for row in demand.maker.areas],
            "fuse": demand.maker.fuse_a,
            "drop": demand.maker.drop_v,
        },
        "ends": [(one.most_mm2, one.least_mm2, one.most_a) for one in demand.terminals],
    }


def test_choice_is_the_first_that_keeps_every_limit():
    rng = random.Random(20240613)
    seen = Counter()
    for _ in range(2000):
        stock, demand = random_stock(rng), random_demand(rng)
        rules = rule_set(rng.choice(["careful", "33CFR183", "NEC"]))
        said = {"bundle": rules.bundle, "least": rules.least_size, "window": rules.fuse_window}
        want = plain(demand)
        good = [reference.fine(plain_wire(wire), want, said) for wire in stock]
        assert [passes(wire, demand, rules).ok for wire in stock] == good
        answer = choose_conductor(stock, demand, rules)
        if any(good):
            assert isinstance(answer, Choice)
            assert answer.index == good.index(True)
            assert answer.verdict.conductor is stock[answer.index]
            assert all(limit.margin >= -1e-9 * max(1.0, limit.bound) for limit in answer.verdict.limits)
            seen[answer.reason] += 1
            start = rng.randrange(len(stock))
            later = choose_conductor(stock, demand, rules, from_index=start)
            if any(good[start:]):
                assert isinstance(later, Choice)
                assert later.index == good.index(True, start)
            else:
                assert isinstance(later, NoConductor)
        else:
            assert isinstance(answer, NoConductor)
            area = answer.needed.area_mm2
            seen["needs more copper" if area is not None else "no copper helps"] += 1
            sheath, insulation = stock[-1].sheath, stock[-1].insulation_c
            clad = stock[-1].metal != "copper"
            metric = {"system": "metric", "name": "", "insulation": insulation, "sheath": sheath, "clad": clad}
            if area is not None:
                assert reference.fine({**metric, "area": max(area, 0.05) * 1.0001}, want, said)
            else:
                assert not any(reference.fine({**metric, "area": big}, want, said) for big in (50.0, 120.0, 400.0))
    expected = {"drop", "start drop", "ampacity", "fuse window", "mechanical minimum", "smallest in stock"}
    expected |= {"maker's area", "maker's drop", "terminal", "needs more copper", "no copper helps"}
    assert expected == set(seen)
    assert min(seen.values()) >= 3, seen


def test_reference_loads_nothing_it_checks():
    assert not any(getattr(value, "__module__", "").startswith("ribway") for value in vars(reference).values())
    assert "ribway" not in Path(reference.__file__).read_text(encoding="utf-8")
    assert sys.modules.get("reference") is not reference
