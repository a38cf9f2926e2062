"""The audit of a plan: named checks, one after another, on what stands in the plan alone."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Final

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import Finding
from ribway.models.told import CHECKING, Told, each_told, untold
from ribway.router.audit.ampacity import check_ampacity
from ribway.router.audit.apart import check_apart
from ribway.router.audit.assumed import check_assumed
from ribway.router.audit.bends import check_bends
from ribway.router.audit.boards import check_boards
from ribway.router.audit.book import Book, open_book
from ribway.router.audit.bound import check_bound
from ribway.router.audit.bundles import check_bundles
from ribway.router.audit.currents import check_currents
from ribway.router.audit.cutting import check_cutting
from ribway.router.audit.depths import check_depths
from ribway.router.audit.drop import check_cables, check_drop
from ribway.router.audit.feeders import check_states
from ribway.router.audit.fill import check_fill
from ribway.router.audit.fuses import check_fuses
from ribway.router.audit.given import check_given
from ribway.router.audit.heat import check_heat
from ribway.router.audit.joints import check_joints
from ribway.router.audit.keep_outs import check_keep_outs
from ribway.router.audit.lengths import check_lengths
from ribway.router.audit.membership import check_membership
from ribway.router.audit.metal import check_metal
from ribway.router.audit.negatives import check_negatives
from ribway.router.audit.numbers import check_numbers
from ribway.router.audit.packing import check_packing
from ribway.router.audit.references import check_references
from ribway.router.audit.route import check_route
from ribway.router.audit.scale import check_scale
from ribway.router.audit.shortness import check_shortness
from ribway.router.audit.shorts import check_shorts
from ribway.router.audit.signals import check_signals
from ribway.router.audit.surroundings import check_ambients
from ribway.router.audit.totals import check_totals
from ribway.router.audit.volts import check_volts
from ribway.router.audit.ways import check_ways
from ribway.router.audit.wiring import check_wiring
from ribway.router.audit.wished import check_wished

Check = Callable[[Book], Iterable[Finding]]

CHECKS: Final[dict[str, Check]] = {
    "membership": check_membership,
    "numbers": check_numbers,
    "wished": check_wished,
    "lengths": check_lengths,
    "cutting": check_cutting,
    "bends": check_bends,
    "bundles": check_bundles,
    "depths": check_depths,
    "route": check_route,
    "given": check_given,
    "fill": check_fill,
    "packing": check_packing,
    "apart": check_apart,
    "metal": check_metal,
    "keep-outs": check_keep_outs,
    "boards": check_boards,
    "cables": check_cables,
    "ambients": check_ambients,
    "wiring": check_wiring,
    "negatives": check_negatives,
    "joints": check_joints,
    "currents": check_currents,
    "drop": check_drop,
    "ampacity": check_ampacity,
    "heat": check_heat,
    "fuses": check_fuses,
    "volts": check_volts,
    "states": check_states,
    "shorts": check_shorts,
    "signals": check_signals,
    "ways": check_ways,
    "totals": check_totals,
    "bound": check_bound,
    "assumed": check_assumed,
    "scale": check_scale,
    "shortness": check_shortness,
}
"""Every check by its name, in the order they run."""

LEVELS: Final = ("error", "warning", "note")


def audit_plan(plan: Plan, told: Told = untold) -> tuple[Finding, ...]:
    """Check a finished plan from scratch.

    Args:
        plan: as it was saved.
        told: how far it is.

    Returns:
        What was found, errors first; no finding of level "error" means that the plan passes. Where names are doubled or
        name nothing, nothing else can be checked and only that is reported.
    """
    broken = tuple(check_references(plan))
    if broken:
        return broken
    book = open_book(plan)
    checks = each_told(told, CHECKING, tuple(CHECKS.values()))
    found = [finding for check in checks for finding in check(book)]
    return tuple(sorted(found, key=lambda one: LEVELS.index(one.level)))
