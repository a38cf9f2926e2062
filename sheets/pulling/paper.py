"""The pull plan as a paper."""

from __future__ import annotations

import math
from itertools import groupby

from ribway.models.plan.looms import PlanLoom
from ribway.models.plan.metres import is_draw_cord
from ribway.models.plan.plan import Plan
from ribway.models.plan.shell import PlanOpening
from ribway.models.plan.unconfirmed import LEGEND, marked
from ribway.models.printed import Units, counted, rounded_down
from ribway.sheets.csv_file import Value
from ribway.sheets.paper.paper import paper_of_records
from ribway.sheets.paper.record import Field, Record, Section, Values, plainly, tick
from ribway.sheets.paper.wishes import Wishes
from ribway.sheets.places import cable_name, cables_by_id, device_names, measured_from
from ribway.sheets.pulling.order import RunPull
from ribway.sheets.pulling.steps import Step, pull_steps
from ribway.sheets.pulling.tension import FRICTION_DRY, FRICTION_WET, PULL_N_PER_MM2
from ribway.sheets.words import NOTHING, bare_place, glued

_EASIER = 0.9
"""From the other end a pull is worth naming where it takes this share or less."""
SINGLY = "Single cables and cords"

FORCES: dict[Units, tuple[str, float, str]] = {
    "metric": ("N", 1.0, "10 N lift 1 kg"),
    "feet and inches": ("lbf", 4.4482216152605, "1 lbf lifts 1 lb"),  # 0.45359237 kg x 9.80665 m/s2: exact
}
"""The unit of a pull, the same in newtons, and what it lifts."""


def pull_record(plan: Plan, wishes: Wishes) -> Record:
    """Every step with its ends, its openings by name and place, and its pull.

    Args:
        plan: the plan.
        wishes: with the shop's minutes.
    """
    fields = (
        Field("step", "No.", align="right", weight=0.1, strong=True),
        Field("where", ""),
        Field("people", ""),
        Field("", "Where, hands", weight=0.4),
        Field("do", "What", strong=True, weight=2.0),
        Field("run", ""),
        Field("feed_at", ""),
        Field("pull_at", ""),
        Field("", "Feed in at, pull out at", weight=1.6),
        Field("openings", "Openings in order: back / up", weight=2.2),
        Field("bends_deg", "Bends", _degrees, "°", 0.2, "right"),
        Field("pull_dry_n", ""),
        Field("pull_wet_n", ""),
        Field("pull_other_way_n", ""),
        Field("hardest_go_n", ""),
        Field("may_be_n", ""),
        Field("stiffness_nm2", ""),
        Field("", "Pull", unit=FORCES[plan.rules.units][0], weight=0.8),
        Field("take_care", "Take care", lambda value: str(value or ""), weight=3.2),
        Field("first", ""),
        Field("minutes", "Min.", lambda value: plainly(math.ceil(float(value or 0))), align="right", weight=0.1),
        tick("Done"),
    )
    looms = {loom.id: loom for loom in plan.looms}
    bundles = {loom.id for loom in plan.looms if len(loom.runs) > 1}
    sections = tuple(
        Section(
            _heading(plan, looms.get(loom), loom), tuple(_row(plan, step) for step in steps), _colour(looms.get(loom))
        )
        for loom, steps in (
            (loom, list(steps))
            for loom, steps in groupby(
                pull_steps(plan, wishes.rates), key=lambda step: step.loom if step.loom in bundles else SINGLY
            )
        )
    )
    unit, unit_n, lifts = FORCES[plan.rules.units]
    may_be = f"{float(rounded_down(PULL_N_PER_MM2 / unit_n, 2)):g} {unit} for each mm² of copper; {lifts}"
    notes = (
        "Before the first pull: each hole checked, each edge covered, each end marked twice. Plugs go first, since they need "
        "the most room, then the stiff, the stiffest first (by strands and sheath), then the farthest. A loom is pulled towards "
        "where most of it ends. Loose cords come last.",
        f"Openings: {measured_from(plan)} Roof and floor: back / off centre.",
        f"Pull: what the far end takes in one go, friction {FRICTION_DRY:g} dry and {FRICTION_WET:g} with compound (wet); "
        "turned: fed in at the other end, dry, where that is easier; too hard: more than it may be. With stops: the hardest go "
        f"between the holes that are named, dry. May be: {may_be}. By the "
        "capstan formula; it compares ways and is no measured force. Leave a draw cord beside each bundle.",
        LEGEND,
    )
    return Record("pull-plan", "Pull plan", fields, sections, notes, 9.0)


def opening_text(opening: PlanOpening, plan: Plan) -> str:
    """An opening by its name and place: ``L3d 1.02 / 1.21``."""
    units = plan.rules.units
    back = bare_place(opening.back_m, units)
    if opening.wall in ("roof", "floor"):
        side = "L" if opening.centre[1] > 0 else "R"
        other = bare_place(abs(opening.centre[1]), units) + side
    else:
        other = bare_place(opening.up_m, units)
    return f"{marked(opening.id, opening.state == 'assumed')} {back} / {other}"


def _row(plan: Plan, step: Step) -> Values:
    names, pull = device_names(plan), step.pull
    hands = f"{step.where}\n{glued('2 people') if step.people == 2 else 'alone'}"
    first = f"first: {step.first}" if step.first else ""
    if pull is None:
        return (
            step.number, step.where, step.people, hands, step.what, None, None, None, "", "", None, None, None, None, None,
            None, None, "", "; ".join(part for part in (first, *step.notes) if part), step.first, step.minutes, None,
        )  # fmt: skip
    holes = {one.id: one for one in plan.openings}
    run = pull.run
    through = ", ".join(glued(opening_text(holes[name], plan)) if name in holes else name for name in pull.openings)
    care = "; ".join(part for part in (first, step.tape_back, *step.notes) if part)
    cable = cable_name(cables_by_id(plan)[run.cable])
    what = f"{step.what} {glued(run.id)}, {cable}"
    feed, out = names.get(pull.feed, pull.feed), names.get(pull.pull, pull.pull)
    forces: tuple[float | None, ...] = (None, None, None, None, None)
    words = NOTHING
    if pull.known and not is_draw_cord(run):
        forces = tuple(round(one, 1) for one in (pull.dry_n, pull.wet_n, pull.other_dry_n, pull.goes_n, pull.limit_n))
        words = _pull_words(pull, FORCES[plan.rules.units][1])
    return (
        step.number, step.where, step.people, hands, what, run.id, feed, out, f"in: {feed}\nout: {out}", through or "none",
        round(pull.angle_deg, 1) if pull.known else None, *forces,
        round(pull.stiffness_nm2, 5), words, care, step.first, step.minutes, None,
    )  # fmt: skip


def _colour(loom: PlanLoom | None) -> str:
    return "" if loom is None else loom.colour


def _heading(plan: Plan, loom: PlanLoom | None, name: str) -> str:
    if loom is None:
        return name
    cords = {run.id for run in plan.runs if is_draw_cord(run)}
    cables, left = [run for run in loom.runs if run not in cords], [run for run in loom.runs if run in cords]
    with_cords = f", {counted(len(left), 'draw cord')}" if left else ""
    return f"Loom {loom.id}, {loom.zone}: {counted(len(cables), 'cable')}{with_cords}"


def _pull_words(pull: RunPull, unit_n: float) -> str:
    """What a run takes: a pull beyond what its copper may take is no figure to pull by, and is said as such."""
    may_be = f"may be {math.floor(pull.limit_n / unit_n + 1e-9):g}"

    def said(newtons: float) -> str:
        return "too hard" if newtons > pull.limit_n else _two_digits(newtons / unit_n)

    if min(pull.wet_n, pull.goes_n) > pull.limit_n:
        return "\n".join(glued(line) for line in ("too hard", may_be))
    lines = [f"dry {said(pull.dry_n)}", f"wet {said(pull.wet_n)}"]
    if pull.other_dry_n <= min(pull.limit_n, _EASIER * pull.dry_n):
        lines.append(f"turned {said(pull.other_dry_n)}")
    if pull.stops:
        lines.append(f"with stops {said(pull.goes_n)}")
    return "\n".join(glued(line) for line in (*lines, may_be))


def _degrees(value: Value) -> str:
    return NOTHING if value is None else f"{math.ceil(float(value) - 1e-6)}"


def _two_digits(force: float) -> str:
    """A pull, rounded up to two digits: it is no finer than that."""
    step = 10 ** max(0, math.floor(math.log10(max(force, 1.0))) - 1)
    return f"{math.ceil(force / step - 1e-9) * step:g}"


PULL_PLAN = paper_of_records("pull-plan", "Pull plan", lambda plan, wishes: (pull_record(plan, wishes),))
