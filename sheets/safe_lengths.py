"""Tails that make the whole van long enough, in the papers' words."""

from __future__ import annotations

from ribway.models.chances import chance_text
from ribway.models.plan.plan import Plan
from ribway.models.printed import counted, length, rounded_down
from ribway.sheets.words import joined, left_length

RUNS_NAMED = 12


def extra_of(plan: Plan) -> dict[str, float]:
    """What single runs would have to be cut longer by [m]."""
    return {} if plan.safe_lengths is None else {one.run: one.metres for one in plan.safe_lengths.extra}


def sure_percent(plan: Plan) -> str:
    """How sure the whole van is to be long enough with these tails: ``95 %``."""
    return "" if plan.safe_lengths is None else f"{rounded_down(100.0 * (1.0 - plan.safe_lengths.chance), 0)} %"


def safe_lengths_rows(plan: Plan) -> tuple[tuple[str, str], ...]:
    """What the totals say of it: what, and how much; nothing in older plans."""
    said, units = plan.safe_lengths, plan.rules.units
    if said is None:
        return ()
    sure = sure_percent(plan)
    alike = f"To be {sure} sure: each end of every run"
    half = said.common_m / 2.0
    if half > 0.0:
        shown = f"{length(half, units)} more"
    elif half < 0.0:
        unit = " m" if units == "metric" else ""
        shown = f"long enough, by {left_length(-half, units)}{unit}"
    else:
        shown = "long enough as it is"
    rows = [("Chance that any run is cut too short", chance_text(plan.totals.short_chance, "none")), (alike, shown)]
    if said.extra:
        rows.append(
            (
                f"Or instead: {counted(len(said.extra), 'run')} longer, see May be short",
                f"{length(said.extra_m, units)} in all",
            )
        )
    return tuple(rows)


def safe_lengths_note(plan: Plan) -> str:
    """A sentence for the lists of what to check; empty in older plans and in vans that are safe as they are."""
    said, units = plan.safe_lengths, plan.rules.units
    if said is None or not said.extra:
        return ""
    each = [f"{one.run} {length(one.metres, units)}" for one in said.extra[:RUNS_NAMED]]
    more = f" and {counted(len(said.extra) - RUNS_NAMED, 'more run')}" if len(said.extra) > RUNS_NAMED else ""
    return (
        f"To be {sure_percent(plan)} sure that no run of the whole van is too short, cut longer: {joined(tuple(each))}{more}. "
        f"Or give every run {length(max(0.0, said.common_m) / 2.0, units)} more at each end."
    )
