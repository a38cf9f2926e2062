"""A saved plan: one JSON file, the same bytes for the same plan."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, NoReturn

from pydantic import ValidationError

from ribway.models.fault_words import problems_of
from ribway.models.file_kinds import PLAN_FILE, file_in, lacking_plan, other_version, project_instead
from ribway.models.key_paths import names_of
from ribway.models.plan.plan import PLAN_FORMAT_VERSION, Plan
from ribway.models.project_faults import Fault, PlanFaults, whole_file
from ribway.models.text_file import read_text

MOST_BYTES = 200_000_000
_SHOWN = 20
GREATEST = 1e9
"""No length, mass, current or share of a plan comes near it, and squares of it are still numbers."""


def save_plan(plan: Plan) -> str:
    """A plan as the text of its file.

    Args:
        plan: the plan, its floats already rounded.

    Returns:
        JSON with the keys in the order of the model and one line for each thing in a list, so that two plans can be
        compared line by line; the same text for the same plan, ending with a line feed.
    """
    data = plan.model_dump(mode="json", by_alias=True)
    lines = [f"{_json(key)}: {_block(value)}" for key, value in data.items()]
    return "{\n" + ",\n".join(lines) + "\n}\n"


def _block(value: object) -> str:
    """A list of things on a line each; anything else on the one line."""
    if isinstance(value, list) and value and all(isinstance(item, dict) for item in value):
        return "[\n" + ",\n".join(_json(item) for item in value) + "\n]"
    return _json(value)


def _json(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False)


def plan_file(path: Path) -> Path:
    """The plan file that a path means.

    Args:
        path: the file, or the folder that holds a ``plan.json``.

    Returns:
        The file's path; whether it is there is found by reading it.

    Raises:
        PlanFaults: a folder with a project in it, and no plan.
    """
    file = file_in(path, PLAN_FILE)
    lacking = lacking_plan(path) if file != path else ""
    if lacking:
        raise PlanFaults([whole_file(str(path), lacking)])
    return file


def load_plan(path: Path) -> Plan:
    """Read a saved plan.

    Args:
        path: the file.

    Returns:
        The plan.

    Raises:
        PlanFaults: missing or unreadable file, no JSON, another format version, or not a plan.
    """
    file = str(path)
    data = _parsed(read_text(path, MOST_BYTES, PlanFaults, project_instead), file)
    if not isinstance(data, dict) or "ribway_plan" not in data:
        raise PlanFaults([whole_file(file, "this is JSON, but no plan of ribway: it has no ribway_plan")])
    older = "an older plan does not say what in it was assumed: "
    other = other_version(file, "ribway_plan", "plan", data["ribway_plan"], PLAN_FORMAT_VERSION, older)
    if other is not None:
        raise PlanFaults([other])
    try:
        return Plan.model_validate(data)
    except ValidationError as error:
        raise PlanFaults(_faults(error, data, file)) from None


class _NoNumberError(ValueError):
    """What stands in the place of a number; its text is what was found."""


def _parsed(text: str, file: str) -> Any:
    try:
        return json.loads(text, parse_constant=_no_constant, parse_float=_number, parse_int=_whole)
    except json.JSONDecodeError as error:
        message = f"this is no JSON: it breaks off or is damaged in column {error.colno}: plan the project again"
        raise PlanFaults([whole_file(file, message, accepted="a plan.json", line=error.lineno)]) from None
    except RecursionError:
        raise PlanFaults([whole_file(file, "lists are nested too deeply for a plan", accepted="a plan.json")]) from None
    except _NoNumberError as error:
        found = str(error)
        line = text.count("\n", 0, text.find(found)) + 1
        message = (
            f"this is no plan: it holds {found[:40]}, which is no number of anything in a van: plan the project again"
        )
        raise PlanFaults([whole_file(file, message, found=found, accepted="finite numbers", line=line)]) from None
    except ValueError:  # an integer of thousands of digits
        message = "this is no plan: a number in it is longer than any that ribway writes: plan the project again"
        raise PlanFaults([whole_file(file, message, accepted="finite numbers")]) from None


def _no_constant(text: str) -> NoReturn:
    raise _NoNumberError(text)


def _number(text: str) -> float:
    number = float(text)
    if abs(number) > GREATEST:
        raise _NoNumberError(text)
    return number


def _whole(text: str) -> int:
    _number(text)
    return int(text)


def _faults(error: ValidationError, data: dict[str, Any], file: str) -> list[Fault]:
    """What the model refused; a file that is mangled throughout is not listed to the end."""
    problems = problems_of(error, data, {}, in_project=False)
    faults = [
        Fault(file, " / ".join(names_of(data, problem.path)), problem.found, problem.accepted, problem.message)
        for problem in problems[:_SHOWN]
    ]
    if len(problems) > _SHOWN:
        faults.append(whole_file(file, f"and {len(problems) - _SHOWN} more: plan the project again"))
    return faults
