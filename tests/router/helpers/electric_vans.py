"""The small laboratory of the samples with what plates and manuals say, laid over its data."""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanCircuit, PlanDevice, PlanRun
from ribway.models.reading import check_data
from ribway.router.planner import plan_project
from samples.small_lab import SMALL

Changes = dict[str, dict[str, Any]]


def planned(devices: Changes | None = None, circuits: Changes | None = None, **shop: Any) -> Plan:
    """The plan of the small laboratory with keys of its devices, circuits and shop changed; audited.

    A device or circuit that it does not have is added.
    """
    data = copy.deepcopy(SMALL)
    for group, changes in (("devices", devices or {}), ("circuits", circuits or {})):
        for name, change in changes.items():
            found = next((one for one in data[group] if one["id"] == name), None)
            if found is None:
                data[group].append({"id": name, "name": name, **change})
            else:
                found.update(change)
    data["shop"] = {**data["shop"], **shop}
    return plan_project(check_data(data).base, Path("."))


def run(plan: Plan, name: str) -> PlanRun:
    """One of the plan's runs."""
    return next(one for one in plan.runs if one.id == name)


def circuit(plan: Plan, name: str) -> PlanCircuit:
    """One of the plan's circuits."""
    return next(one for one in plan.circuits if one.id == name)


def device(plan: Plan, name: str) -> PlanDevice:
    """One of the plan's devices."""
    return next(one for one in plan.devices if one.id == name)


def codes(plan: Plan, about: str = "") -> set[str]:
    """Codes of the plan's findings, about one thing if it is named."""
    return {one.code for one in plan.findings if not about or one.about == about}
