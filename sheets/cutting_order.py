"""In which order cables are cut, and what the pieces are called."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ribway.models.plan.plan import Plan, PlanCable
from ribway.models.plan.results import PlanRun
from ribway.sheets.places import cables_by_id
from ribway.sheets.wire_list import colours_text

NEVER_CUT = "Maker's lead: never cut, never extended"
POLES = ("+", "-")


@dataclass(frozen=True)
class Cut:
    """One run to be cut.

    Attributes:
        run: the run.
        cable: the cable it is cut from.
    """

    run: PlanRun
    cable: PlanCable


def cuts(plan: Plan) -> tuple[Cut, ...]:
    """All runs that are cut: cable by cable, the thickest copper first, and from each the longest piece first.

    What is left of a reel is then still long enough for what comes next. A maker's lead is never cut.

    Args:
        plan: the plan.
    """
    return tuple(_cuts(plan))


def _cuts(plan: Plan) -> Iterator[Cut]:
    for cable in sorted(cables_by_id(plan).values(), key=lambda one: (-one.area_mm2, -one.cores, one.id)):
        runs = [run for run in plan.runs if run.cable == cable.id and run.fixed_length_m is None]
        yield from (Cut(run, cable) for run in sorted(runs, key=lambda one: (-one.cut_m, one.id)))


def makers_leads(plan: Plan) -> tuple[PlanRun, ...]:
    """Runs that are makers' leads of fixed length: bought as they are, never cut."""
    return tuple(run for run in plan.runs if run.fixed_length_m is not None)


def with_plugs(plan: Plan) -> tuple[PlanRun, ...]:
    """Runs of free length whose cable is pulled with its plug on: bought ready-made, or cut and their plugs fitted here."""
    return tuple(run for run in plan.runs if run.fixed_length_m is None and run.plug_mm > run.outside_mm)


def either_way(plan: Plan) -> tuple[str, ...]:
    """The sentence on such runs; none if there is none."""
    names = ", ".join(run.id for run in with_plugs(plan))
    if not names:
        return ()
    return (
        f"{names}: with plugs. Buy them ready-made, the next longer lead, and cut none of it; or cut them as listed here and fit "
        "the plugs behind the holes. See Makers' leads.",
    )


def piece_name(run: PlanRun, piece: int) -> str:
    """A piece of a run: the run's id, and behind it, if there are several, the pole, or the number where poles say nothing."""
    if run.pieces == 1:
        return run.id
    poles = [POLES[one.endswith("negative")] for one in run.wire_functions]
    two = run.kind == "dc" and len(poles) == run.pieces == len(set(poles))
    return f"{run.id} {poles[piece]}" if two else f"{run.id} /{piece + 1}"


def piece_colours(run: PlanRun, piece: int) -> str:
    """The colours of a piece's conductors; empty where the plan says none."""
    if run.pieces > 1 and len(run.wire_colours) == run.pieces:
        return run.wire_colours[piece]
    return colours_text(run)
