"""``ribway audit``: a saved plan checked from scratch."""

from __future__ import annotations

import argparse

from ribway.console import make_console
from ribway.models.plan_file import load_plan, plan_file
from ribway.router.audit.check import audit_plan
from ribway.speech import GOOD, NO_SAFE_PLAN
from ribway.summary import findings_lines


def run(args: argparse.Namespace) -> int:
    """Check a saved plan and print what is found.

    Args:
        args: ``plan``, the file or its folder.

    Returns:
        The exit code: no safe plan if there is an error, or if the plan itself says that it is not complete.
    """
    plan = load_plan(plan_file(args.plan))
    findings = audit_plan(plan)
    console = make_console()
    for part in findings_lines(findings):
        console.print(part)
    errors = sum(1 for finding in findings if finding.level == "error")
    if errors:
        print(f"{args.plan}: not safe, {errors} {'error' if errors == 1 else 'errors'} found")
        return NO_SAFE_PLAN
    if not plan.complete:
        print(f"{args.plan}: no error found in what is there, but the plan is not complete")
        return NO_SAFE_PLAN
    print(f"{args.plan}: no error found in {len(plan.runs)} runs and {len(plan.openings)} openings")
    return GOOD
