"""``ribway explain``: how a run's length and size, or a circuit's fuse, came about."""

from __future__ import annotations

import argparse

from ribway.console import make_console
from ribway.explanation import UnknownNameError, explanation_parts
from ribway.models.rates.rates import Rates
from ribway.models.rates.reading import read_rates
from ribway.models.reading import project_file
from ribway.other_ways import other_routes_of, other_routes_table
from ribway.planning import is_saved_plan, plan_of
from ribway.speech import BAD_INPUT, GOOD, NO_SAFE_PLAN, say


def run(args: argparse.Namespace) -> int:
    """Explain one run or circuit.

    Args:
        args: ``project``, ``name``, ``alternative``, ``rates``, ``others``.

    Returns:
        The exit code.
    """
    rates = read_rates(args.rates) if args.rates is not None else Rates()
    plan = plan_of(args.project, args.alternative)
    console = make_console()
    try:
        for part in explanation_parts(plan, args.name, rates):
            console.print(part)
    except UnknownNameError as error:
        say(f"{args.project}: {error.args[0]}")
        return BAD_INPUT
    if args.others:
        if is_saved_plan(args.project):
            say(f"{args.project}: other routes are looked for in a project, not in a saved plan")
            return BAD_INPUT
        routes = other_routes_of(project_file(args.project), args.alternative, args.name, args.others)
        console.print(other_routes_table(routes, plan.rules.units))
    return GOOD if plan.complete else NO_SAFE_PLAN
