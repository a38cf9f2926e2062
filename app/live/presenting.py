"""What the browser is given: a plan as data to draw and to read, and the metal apart from it, which seldom changes."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any

from ribway.models.plan.bound import bound_words
from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanDevice
from ribway.models.printed import counted, length, mass, rounded_up
from ribway.models.vehicle import Datum
from ribway.viewer.report.loom_switches import loom_switches, looms_sum
from ribway.viewer.report.run_tables import cable_text
from ribway.viewer.report.scene_data import Meshes, scene_data, views_data
from ribway.viewer.report.table import Table
from ribway.viewer.report.tables import tables_of
from ribway.viewer.report.words import place
from ribway.viewer.thinning import thinned_parts

Data = dict[str, Any]


def metal_key(plan: Plan) -> str:
    """A short key of a plan's metal: the same for the same meshes."""
    found = hashlib.sha256()
    for part in plan.parts:
        found.update(f"{part.name}\n{part.kind}\n{part.vertices_f32}\n{part.faces_u32}\n".encode())
    found.update(repr(sorted({(one.member, one.wall) for one in plan.openings})).encode())
    return found.hexdigest()[:16]


def metal_data(plan: Plan) -> bytes:
    """A plan's metal and the standard views.

    Args:
        plan: the plan; of it only its shell is taken.

    Returns:
        JSON: ``meshes``, ``parts``, ``low``, ``high``, ``views``, ``thinned``.
    """
    parts, thinned = thinned_parts(plan.parts)
    meshes = Meshes()
    bare = plan.model_copy(update={"parts": parts, "runs": (), "devices": (), "keep_outs": (), "looms": ()})
    scene = scene_data(bare, meshes)
    data = {
        "meshes": meshes.data,
        "parts": scene["parts"],
        "low": scene["low"],
        "high": scene["high"],
        "views": views_data(),
        "thinned": thinned,
    }
    return json.dumps(data, separators=(",", ":")).encode()


def plan_data(plan: Plan, raw: Mapping[str, Any], datum: Datum, changed: Sequence[str] = ()) -> Data:
    """A plan without its metal.

    Args:
        plan: the plan.
        raw: the project's data with its sheet's, for places and plates as they are written.
        datum: what places are measured from.
        changed: runs that are otherwise than in the plan before.

    Returns:
        Fit for JSON.
    """
    scene = scene_data(plan.model_copy(update={"parts": ()}), Meshes())
    drawn = hashlib.sha256(json.dumps(scene).encode()).hexdigest()[:16]
    return {
        "name": plan.name,
        "alternative": plan.alternative,
        "complete": plan.complete,
        "units": plan.rules.units,
        "datum": {"name": plan.datum, "back": datum.forward, "up": datum.up},
        "scene": scene,
        "sceneKey": drawn,
        "runs": runs_data(plan),
        "looms": [asdict(one) for one in loom_switches(plan)],
        "loomsSum": looms_sum(plan),
        "totals": totals(plan),
        "bound": bound_words(plan.bound, plan.rules.units) if plan.bound is not None else "",
        "tables": [table_data(table) for table in tables_of(plan) if table.id != "cuts"],
        "devices": devices_data(plan, raw),
        "circuits": _entries(raw, "circuits"),
        "keepOuts": _entries(_mapping(raw.get("vehicle")), "keep_outs"),
        "changed": list(changed),
    }


def runs_data(plan: Plan) -> list[Data]:
    """Of every run what tells it from the same run of another plan: cut length, cable, way."""
    cables = {cable.id: cable for cable in plan.cables}
    return [
        {
            "id": run.id,
            "cut": length(run.cut_m, plan.rules.units),
            "metres": round(run.cut_m, 4),
            "cable": cable_text(run, cables),
            "openings": list(run.openings),
        }
        for run in plan.runs
    ]


def totals(plan: Plan) -> list[Data]:
    """The sums over a plan, each with its worth so that two plans can be set side by side."""
    units, sums = plan.rules.units, plan.totals
    errors = sum(1 for finding in plan.findings if finding.level == "error")
    warnings = sum(1 for finding in plan.findings if finding.level == "warning")
    return [
        {"name": "Copper", "text": mass(sums.copper_kg, units), "worth": round(sums.copper_kg, 4)},
        {"name": "Cable cut", "text": length(sums.cable_m, units), "worth": round(sums.cable_m, 3)},
        {"name": "Runs", "text": str(len(plan.runs)), "worth": len(plan.runs)},
        {"name": "Openings used", "text": str(sums.openings_used), "worth": sums.openings_used},
        {"name": "Holes to drill", "text": str(sums.holes_drilled), "worth": sums.holes_drilled},
        {"name": "Bends", "text": str(sums.bends), "worth": sums.bends},
        {"name": "Fullest opening", "text": f"{rounded_up(sums.fullest_percent, 1)} %",
         "worth": round(sums.fullest_percent, 2)},
        {"name": "Worst drop", "text": f"{rounded_up(sums.worst_drop_percent, 1)} %",
         "worth": round(sums.worst_drop_percent, 3)},
        {"name": "Findings", "text": _findings_words(errors, warnings), "worth": errors * 1000 + warnings},
    ]  # fmt: skip


def _findings_words(errors: int, warnings: int) -> str:
    words = [counted(errors, "error")] if errors else []
    words += [f"{warnings} to mind"] if warnings else []
    return ", ".join(words) or "none"


def table_data(table: Table) -> Data:
    """A table without the columns that are ticked or typed into."""
    kept = [index for index, column in enumerate(table.columns) if column.kind in ("text", "number")]
    columns = [table.columns[index] for index in kept]
    return {
        "id": table.id,
        "title": table.title,
        "notes": list(table.notes),
        "columns": [{"heading": one.heading, "kind": one.kind, "show": one.show} for one in columns],
        "rows": [
            {
                "id": row.id,
                "runs": list(row.runs),
                "openings": list(row.openings),
                "level": row.level,
                "cells": [{"text": row.cells[index].text, "value": row.cells[index].value} for index in kept],
            }
            for row in table.rows
        ],
    }


def devices_data(plan: Plan, raw: Mapping[str, Any]) -> list[Data]:
    """Devices for the list of things: as they are written, and where they lie."""
    placed = {device.id: device for device in plan.devices}
    found: list[Data] = []
    for entry in _entries(raw, "devices"):
        device = placed.get(str(entry.get("id")))
        said: Data = {
            key: entry[key]
            for key in ("id", "name", "kind", "amps", "watts", "start_amps", "confirmed")
            if key in entry
        }
        at = entry.get("at")
        if device is not None and not (isinstance(at, dict) and at):
            at = _spot(device, plan)
        found.append({**said, "at": at})
    return found


def _spot(device: PlanDevice, plan: Plan) -> Data:
    units = plan.rules.units
    found: Data = {"wall": device.wall}
    if device.wall != "bulkhead":
        found["back"] = place(device.back_m, units)
    if device.wall in ("left", "right", "bulkhead"):
        found["up"] = place(max(device.up_m, 0.0), units)
    if device.wall not in ("left", "right"):
        found["left" if device.left_m >= 0 else "right"] = place(abs(device.left_m), units)
    return found


def _entries(raw: Mapping[str, Any], key: str) -> list[Data]:
    found = raw.get(key)
    return [entry for entry in found if isinstance(entry, dict)] if isinstance(found, list) else []


def _mapping(value: object) -> Data:
    return value if isinstance(value, dict) else {}
