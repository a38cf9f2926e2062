"""The copper area that would satisfy a demand no stocked conductor satisfies."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from ribway.sizing.ampacity import derated_ampacity
from ribway.sizing.bases import base_table
from ribway.sizing.conductor import Conductor, System
from ribway.sizing.copper import resistance_at
from ribway.sizing.demand import Demand, Leg
from ribway.sizing.fuse import FuseChoice, NoFuse, choose_fuse
from ribway.sizing.maker import Terminal
from ribway.sizing.metals import COPPER, metal_named, times_copper
from ribway.sizing.resistance import greatest_ohm_mm2_per_m_20c
from ribway.sizing.rules import SizingRules, fuse_window, least_size
from ribway.sizing.verdict import LimitName, node_lost_v

ANY_AMPS: Final = 1e9
"""As good as no limit from the wire [A]: to ask what fuse a load wants."""


@dataclass(frozen=True)
class NeededArea:
    """What would do.

    Attributes:
        area_mm2: least copper that would [mm2], erring to the thick side; None if no copper helps.
        decided_by: the limit that asks for it, or that no copper can satisfy.
        says: one sentence for people.
    """

    area_mm2: float | None
    decided_by: LimitName
    says: str


def needed_area(
    demand: Demand, rules: SizingRules, insulation_c: float, sheath: bool, metal: str = COPPER
) -> NeededArea:
    """Least area that would satisfy a demand.

    Args:
        demand: the demand.
        rules: rule set.
        insulation_c: rated temperature of the insulation it would have [deg C].
        sheath: whether it would lie in a sheath.
        metal: what it would be of.

    Returns:
        The area and the limit that asks for it.
    """
    rule = least_size(rules.least_size)
    asked: list[tuple[float | None, LimitName, str]] = [
        (max(demand.least_area_mm2, rule.sheath_mm2 if sheath else rule.single_mm2), "mechanical minimum", ""),
        _for_amps(demand.run_amps, demand, rules, insulation_c, "ampacity"),
    ]
    if demand.fused:
        asked.append(_for_fuse(demand, rules, insulation_c))
    if demand.drop_limit_percent is not None:
        asked.append(_for_drop(demand, demand.drop_limit_percent, insulation_c, metal, starting=False))
    if demand.start_limit_percent is not None:
        asked.append(_for_drop(demand, demand.start_limit_percent, insulation_c, metal, starting=True))
    asked += _for_maker(demand, insulation_c, metal)
    asked += [(one.least_mm2, "terminal", "") for one in demand.terminals]
    asked += [_for_plug(demand.run_amps, one) for one in demand.terminals]
    for area, name, says in asked:
        if area is None:
            return NeededArea(None, name, says)
    area, name = max(((area or 0.0, name) for area, name, _ in asked), key=lambda pair: pair[0])
    area *= times_copper(metal)
    for one in demand.terminals:
        if one.most_mm2 is not None and area > one.most_mm2:
            says = f"{area:.3g} mm2 or more would be needed ({name}) and {one.where} takes at most {one.most_mm2:g} mm2"
            return NeededArea(None, "terminal", f"{says}: end in a thinner tail, or in a bigger terminal")
    return NeededArea(area, name, f"{area:.3g} mm2 or more would be needed ({name})")


def _for_maker(demand: Demand, insulation_c: float, metal: str) -> list[tuple[float | None, LimitName, str]]:
    maker = demand.maker
    if maker is None:
        return []
    out: list[tuple[float | None, LimitName, str]] = []
    area = maker.least_area_mm2(demand.cut_m)
    if area is not None:
        too_long = f"{demand.cut_m:.2f} m one way is longer than the table of {maker.device}'s maker goes"
        out.append((None if math.isinf(area) else area, "maker's area", too_long))
    if maker.drop_v is not None:
        percent = 100.0 * maker.drop_v / demand.nominal_v
        area, _, says = _for_drop(demand, percent, insulation_c, metal, starting=False)
        out.append((area, "maker's drop", says))
    if maker.fuse_a is not None and demand.fused:
        choice = choose_fuse(demand.fuse_load_amps, ANY_AMPS) if demand.fuse_a is None else None
        rating = choice.fuse.rating_a if isinstance(choice, FuseChoice) else demand.fuse_a or 0.0
        if rating > maker.fuse_a:
            says = f"{maker.device}'s maker allows a fuse of {maker.fuse_a:g} A, the circuit needs {rating:g} A"
            out.append((None, "maker's fuse", f"{says}: give the device a fuse of its own"))
    return out


def _for_plug(amps: float, terminal: Terminal) -> tuple[float | None, LimitName, str]:
    if terminal.most_a is None or amps <= terminal.most_a * (1.0 + 1e-9):
        return 0.0, "plug", ""
    return None, "plug", f"{terminal.where} may carry {terminal.most_a:g} A, {amps:.4g} A flow: take another plug"


def _for_drop(
    demand: Demand, limit_percent: float, insulation_c: float, metal: str, *, starting: bool
) -> tuple[float | None, LimitName, str]:
    name: LimitName = "start drop" if starting else "drop"
    allowed = limit_percent / 100.0 * demand.nominal_v
    fixed = node_lost_v(demand, 0.0, starting=starting)
    with_one_ohm = node_lost_v(demand, 1.0, starting=starting)
    rho = resistance_at(greatest_ohm_mm2_per_m_20c(), demand.copper_c(insulation_c), metal_named(metal).alpha_per_k)
    area = 0.0
    for leg, at_zero, at_one in zip(demand.legs, fixed, with_one_ohm, strict=True):
        slope = at_one - at_zero
        if at_zero >= allowed and not (at_zero == allowed and slope == 0.0):
            says = f"{at_zero:.3g} V of {allowed:.3g} V allowed is lost outside this run's own wire"
            return None, name, f"{says}, {_most_of_it(demand, leg, at_zero, starting=starting)}"
        if slope > 0.0:
            area = max(area, rho * slope / (allowed - at_zero))
    return area, name, ""


def _most_of_it(demand: Demand, leg: Leg, lost_v: float, *, starting: bool) -> str:
    """Where most of what is lost outside a run's own wire is lost, and what mends that."""
    before = demand.upstream_start_v if starting and demand.upstream_start_v is not None else demand.upstream_v
    beyond = leg.beyond_start_v if starting and leg.beyond_start_v is not None else leg.beyond_v
    contacts = lost_v - before - beyond
    return max(
        (before, f"{before:.3g} V of it before: thicken what feeds it"),
        (beyond, f"{beyond:.3g} V of it beyond: thicken what lies behind it"),
        (contacts, f"{contacts:.3g} V of it in its fuse, contacts and return: better ones, or a larger limit"),
    )[1]


def _for_amps(
    amps: float, demand: Demand, rules: SizingRules, insulation_c: float, name: LimitName
) -> tuple[float | None, LimitName, str]:
    table = base_table(rules.base)
    for row in table.rows:
        system: System = "metric" if table.metric else "awg"
        tried = Conductor("tried", system, row.size, row.area_mm2, 1, insulation_c, False)
        if derated_ampacity(tried, demand.stretches, rules).derated_a >= amps * (1.0 - 1e-9):
            return (row.area_mm2 if amps > 0.0 else 0.0), name, ""
    says = f"no single conductor may carry {amps:.4g} A there with {insulation_c:g} C insulation"
    return None, name, f"{says}: split the load, or take hotter insulation, a cooler place or a smaller bundle"


def _for_fuse(demand: Demand, rules: SizingRules, insulation_c: float) -> tuple[float | None, LimitName, str]:
    window = fuse_window(rules.fuse_window)
    load = demand.fuse_load_amps
    if demand.fuse_a is not None:
        if demand.fuse_a < load * window.load_factor * (1.0 - 1e-9):
            return None, "fuse window", f"the {demand.fuse_a:g} A fuse is too small for {load:.4g} A"
        return _for_amps(demand.fuse_a / window.ampacity_factor, demand, rules, insulation_c, "fuse window")
    choice = choose_fuse(load, 0.0, window)
    if isinstance(choice, NoFuse) and choice.needed_ampacity_a is not None:
        return _for_amps(choice.needed_ampacity_a, demand, rules, insulation_c, "fuse window")
    return None, "fuse window", choice.remedy if isinstance(choice, NoFuse) else ""
