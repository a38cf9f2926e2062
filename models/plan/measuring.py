"""How lengths came about, and what a way that is no opening is, in the papers' words."""

from __future__ import annotations

from ribway.models.plan.plan import Plan
from ribway.models.plan.results import PlanRun
from ribway.models.plan.shell import PlanWay

MEASURED_WORDS = {
    "computed": "computed",
    "by hand": "computed along ways named by hand",
    "taped": "taped by hand, no way computed: the line is a sketch",
}
TAPED_THROUGH = "not computed: taped"


def measured_note(plan: Plan) -> str:
    """A sentence that says which lengths are computed and which are taped.

    Args:
        plan: the plan.
    """
    taped = ", ".join(run.id for run in plan.runs if run.measured == "taped")
    named = ", ".join(run.id for run in plan.runs if run.measured == "by hand")
    if not taped and not named:
        return "All lengths are computed."
    parts = [f"taped by hand, with no way computed and no opening filled: {taped}"] if taped else []
    parts += [f"computed along ways named by hand: {named}"] if named else []
    return f"Lengths {'; '.join(parts)}; all others are computed."


def sketches(plan: Plan) -> tuple[str, ...]:
    """Taped runs, and taped stretches in use: what a picture shows of them is a sketch."""
    taped = [run.id for run in plan.runs if run.measured == "taped"]
    return (*taped, *(way.id for way in plan.ways if way.kind == "outside" and way.runs))


def measured_mark(run: PlanRun) -> str:
    """What is put behind a run's ends: nothing if its length and way are computed."""
    return {"computed": "", "by hand": " (way by hand)", "taped": " (taped)"}[run.measured]


def way_words(way: PlanWay) -> str:
    """A way that is no opening, in a few words, without its name.

    Args:
        way: as the plan has it.

    Returns:
        ``duct``, ``over the member``, ``inside LP``, ``outside, engine space, taped``, ``in furniture galley`` ...
    """
    if way.kind == "over":
        return "over the member, behind the lining" if way.lined else "over the member"
    if way.kind == "outside":
        return f"outside, {way.surroundings}, taped" if way.surroundings else "outside, taped"
    if way.kind == "inside":
        return f"inside {way.member}" if way.member else "inside the member"
    if way.kind == "entry":
        return f"entry of furniture {way.furniture}"
    return f"in furniture {way.furniture}" if way.kind == "furniture" else "duct"
