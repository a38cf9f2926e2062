"""Every field of the plan reaches a paper, or is named here with why it need not."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path
from typing import Any, get_args

import pytest
from pydantic import BaseModel

import ribway.models.plan as plan_models
import ribway.sheets as papers
from ribway.models.plan.plan import Plan
from ribway.sheets.catalogue import PAPERS, all_files
from ribway.sheets.paper.wishes import Wishes

ELSEWHERE = "said by what follows from it"
NEED_NOT: dict[str, str] = {
    "CopperBound.rounding_kg": "the copper before and after rounding stand both",
    "Plan.ribway_plan": "the file's own version",
    "Plan.shell_length_m": "of the body, which nobody cuts by",
    "Plan.scale_error_percent": "stands among the measurements with what it does to lengths",
    "Plan.numbers": "those of its runs stand everywhere; those of runs that are gone belong on no paper",
    "Plan.frame": "how the file counts; papers count from the datum",
    "PlanBay.deviation_percent": "counted in full in every length",
    "PlanBay.exact": "counted in full in every length",
    "PlanBay.lay": "seen in the drawings",
    "PlanBoard.used": ELSEWHERE,
    "PlanBudget.drawn_a": ELSEWHERE,
    "PlanBudget.plugs": "in the sentence how the loss came about",
    "PlanCable.form": "in the cable's name",
    "PlanCable.insulation_c": "in the sentence of the air's factor",
    "PlanCable.min_bend_factor": "as a radius, run by run",
    "PlanCable.system": "in the size's name",
    "PlanCircuit.control_a": "a control lead is a circuit of its own here, with its amperes",
    "PlanCircuit.far_fuse_given": "the fuse at the far end stands on the map, stated or not",
    "PlanCircuit.upstream_start_drop_v": "the drop at start holds it",
    "PlanDevice.backed_fuse_a": "behind which circuit's fuse stands in the list of fuses",
    "PlanDevice.backed_kind": "behind which circuit's fuse stands in the list of fuses",
    "PlanDevice.backed_to_a": "behind which circuit's fuse stands in the list of fuses",
    "PlanDevice.contact_ohm": "in the drop",
    "PlanDevice.keeps_ohm": "in the volts at the device",
    "PlanDevice.keeps_w": "in the volts at the device",
    "PlanLeg.ambient_c": "in the sentence of the air's factor",
    "PlanLeg.lay": "seen in the drawings",
    "PlanLeg.sharp_m": "added up run by run",
    "PlanOpening.axis": "geometry",
    "PlanOpening.rim": "geometry",
    "PlanRun.by_hand": "the ways are listed, and said to be by hand",
    "PlanRun.centreline": "geometry",
    "PlanRun.cut_arms": "printed from the length, by the same rounding",
    "PlanRun.cut_feet_inches": "printed from the length, by the same rounding",
    "PlanSafeLengths.chance_then": "below the one that was asked for, which is said",
    "PlanWay.shares": "in the fill of each of them",
    "PlanWay.taped_m": "in the length of the runs that take it",
    "RunError.mean_m": "in the chance of being short",
    "RunNumber.before": "earlier names belong on no paper",
    "RunNumber.nth": "which of two runs with the same ends: their names say it",
}
"""Fields that no paper needs to print, each with why."""


def models_of(model: type[BaseModel], seen: set[type[BaseModel]] | None = None) -> set[type[BaseModel]]:
    """A model and all that its fields hold, at any depth."""
    found = seen if seen is not None else set()
    if model not in found:
        found.add(model)
        for field in model.model_fields.values():
            for inner in _held(field.annotation):
                models_of(inner, found)
    return found


def _held(annotation: Any) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for part in get_args(annotation):
        yield from _held(part)


def read_by_papers(plan: Plan, monkeypatch: pytest.MonkeyPatch) -> set[str]:
    """Fields that are looked at while all papers of a plan are made in every format: ``PlanRun.cut_m``."""
    read: set[str] = set()
    for model in models_of(Plan):
        usual = model.__getattribute__

        def seen(self: Any, name: str, usual: Any = usual) -> Any:
            if name in type(self).model_fields:
                read.update(f"{kind.__name__}.{name}" for kind in type(self).__mro__ if kind in OURS)
            return usual(self, name)

        monkeypatch.setattr(model, "__getattribute__", seen)
    for _ in all_files(plan, Wishes(), PAPERS, ("pdf", "csv", "xlsx", "svg")):
        pass
    return read


def named_in_papers() -> set[str]:
    """Attributes that the papers' source asks for, with what they call in the plan's own modules: for fields that a plan
    fills seldom."""
    folders = [Path(str(papers.__file__)).parent.rglob("*.py"), Path(str(plan_models.__file__)).parent.glob("*.py")]
    trees = [ast.parse(file.read_text(encoding="utf-8")) for folder in folders for file in folder]
    return {node.attr for tree in trees for node in ast.walk(tree) if isinstance(node, ast.Attribute)}


OURS = models_of(Plan)


def test_no_field_is_lost(sample_plan: Plan, monkeypatch: pytest.MonkeyPatch) -> None:
    read, named = read_by_papers(sample_plan, monkeypatch), named_in_papers()
    every = {f"{model.__name__}.{name}" for model in OURS for name in model.model_fields}
    assert len(read) > 0.5 * len(every)
    lost = {field for field in every - read if field.rsplit(".", 1)[-1] not in named}
    assert not lost - set(NEED_NOT), "these reach no paper, and nobody says why they need not"
    assert not set(NEED_NOT) - every, "these are no fields of the plan"
    assert not set(NEED_NOT) & read, "these do reach a paper"
