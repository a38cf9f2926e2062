"""What a plan counts as on for a while only is said where the fuses are listed."""

from __future__ import annotations

from ribway.models.plan.plan import Plan
from ribway.sheets.circuits_list import circuits_list
from ribway.sheets.totals_list import totals


def test_a_load_that_is_on_for_a_while_is_told(sample_plan: Plan) -> None:
    first, *rest = sample_plan.circuits
    assert not any("for a while" in note for note in circuits_list(sample_plan).notes)
    for off, words in ((600.0, "then off for 600 s at least"), (None, "once, then left to cool")):
        short = first.model_copy(update={"on_s": 20.0, "off_s": off})
        notes = circuits_list(sample_plan.model_copy(update={"circuits": (short, *rest)})).notes
        assert any(f"{first.id} on for 20 s at most, {words}" in note for note in notes)


def test_aluminium_in_conductors_stands_among_the_totals(sample_plan: Plan) -> None:
    clad = sample_plan.totals.model_copy(update={"other_metal_kg": 0.25})
    rows = totals(sample_plan.model_copy(update={"totals": clad})).groups[0].rows
    assert any(row[0].startswith("Aluminium besides") and "0.25" in row[1] for row in rows)
    assert not any(row[0].startswith("Aluminium") for row in totals(sample_plan).groups[0].rows)
