"""The plans that a path means: one, or the alternatives that a comparison wrote side by side."""

from __future__ import annotations

from pathlib import Path

from ribway.models.file_kinds import PLAN_FILE, PROJECT_FILE
from ribway.models.plan.plan import Plan
from ribway.models.plan_file import load_plan
from ribway.outputs import OutputRefusedError
from ribway.planning import plan_of

MOST_PLANS = 12


def plans_of(path: Path) -> tuple[Plan, ...]:
    """The plans that a path means.

    Args:
        path: a saved plan or its folder, a folder of such folders as a comparison writes it, or a project.

    Returns:
        The plans, the base first, then by name of their folders.
    """
    if path.is_dir() and not (path / PLAN_FILE).exists() and not (path / PROJECT_FILE).exists():
        inside = sorted(path.glob(f"*/{PLAN_FILE}"))
        if len(inside) > MOST_PLANS:
            raise OutputRefusedError(
                f"{path}: {len(inside)} plans are too many for one page: give {MOST_PLANS} at most"
            )
        if inside:
            plans = [load_plan(file) for file in inside]
            return tuple(sorted(plans, key=lambda plan: plan.alternative != ""))
    return (plan_of(path),)
