"""Planning again and again while a project is edited: what was found before is used where it can be."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ribway.kept_numbers import keep
from ribway.live.drafting import Draft, draft_of
from ribway.live.presenting import metal_data, metal_key, plan_data
from ribway.models.numbers_file import read_numbers
from ribway.models.plan.plan import Plan
from ribway.models.project_faults import ProjectFaults
from ribway.models.reading import with_numbers
from ribway.models.told import FEW, FINISHING, HowFar, Told, stages_of
from ribway.models.vehicle import Datum

Raw = dict[str, Any]

Tell = Callable[[str, float], None]
"""Is told what is being done, and the share of all steps that is done, from 0 to 1. What it raises stops the work."""

NOTHING_YET = "There is nothing to plan yet: add things, and say what each of them is fed from."


@dataclass(frozen=True)
class Said:
    """Something that planning has to say.

    Args:
        kind: ``metal`` (key and JSON), ``plan`` (data), ``faults`` (sentences).
        value: what.
    """

    kind: str
    value: Any


def spoken(draft: Draft) -> list[str]:
    """The faults of a draft as sentences; of a project that is just begun, what comes next instead.

    Args:
        draft: the project as it stands.
    """
    begun = {"devices", "circuits"}
    rest = [str(fault) for fault in draft.faults if not (fault.place in begun and not fault.found)]
    return [*([] if len(rest) == len(draft.faults) else [NOTHING_YET]), *rest]


class Replanner:
    """Plans one project, or one alternative of it, whenever it changed."""

    def __init__(self, folder: Path, alternative: str = "", file: Path | None = None) -> None:
        """Begins with nothing planned.

        Args:
            folder: where the project file lies.
            alternative: the alternative; empty for the base.
            file: the project file, for the register of run numbers beside it; None for no register.
        """
        self._folder, self._alternative, self._file = folder, alternative, file
        self._planned: Any = None
        self._metal = ""
        self._own: set[Any] = set()
        self._faulty = False

    def plan(self, raw: Raw, tell: Tell = lambda *_: None) -> Iterator[Said]:
        """Plan the project as it stands.

        Args:
            raw: its data.
            tell: how far it is.

        Yields:
            Faults, the metal if it is new, and the plan: first without bound and audit, then with them. Of what cannot be
            planned, the last picture or the van alone, with the lists as they stand.
        """
        draft = draft_of(raw, self._folder, self._alternative)
        self._own = {one.get("id") for one in raw.get("devices") or () if isinstance(one, dict)}
        self._faulty = bool(draft.faults)
        yield Said("faults", spoken(draft))
        if draft.project is None:
            yield Said("plan", None)
            return
        # The planner brings the numerical libraries along: loaded when there is something to plan.
        from ribway.router.errors import RouterError
        from ribway.router.faults import RouterFaults
        from ribway.router.planner import AuditError

        try:
            yield from self._plans(draft, tell)
        except ProjectFaults as error:
            yield from self._cannot(draft, [*spoken(draft), *map(str, error.faults)])
        except RouterFaults as faults:
            yield from self._cannot(draft, [*spoken(draft), *(str(fault) for fault in faults.faults)])
        except RouterError as fault:
            yield from self._cannot(draft, [*spoken(draft), str(fault)])
        except AuditError as error:
            yield from self._cannot(draft, [f"the plan did not pass its own audit, a defect of ribway: {error}"])

    def _cannot(self, draft: Draft, faults: list[str]) -> Iterator[Said]:
        self._faulty = True
        yield Said("faults", faults)
        if self._planned is None:
            yield from self._van_alone(draft)
        else:  # what was planned last stays in the picture, while lists and forms say what is to be put right
            yield from self._shown(self._planned.plan, draft, ())

    def _van_alone(self, draft: Draft) -> Iterator[Said]:
        """The van without its things, where nothing else can be shown: with its lists and forms things are put right."""
        from ribway.router.again.replan import start
        from ribway.router.errors import RouterError
        from ribway.router.faults import RouterFaults

        if draft.project is None:
            return
        alone = draft.project.model_copy(update={"devices": (), "circuits": (), "runs": ()})
        try:
            plan = start(alone, self._folder, self._alternative, finish=False).plan
        except (ProjectFaults, RouterFaults, RouterError):
            yield Said("plan", None)
        else:
            yield from self._shown(plan, draft, ())

    def _plans(self, draft: Draft, tell: Tell) -> Iterator[Said]:
        from ribway.router.again.replan import again, finished, start

        project = draft.project
        if project is None:
            return
        if self._file is not None:
            project = with_numbers(project, read_numbers(self._file))
        changed: tuple[str, ...] = ()
        few = () if project.shop.use_at_most is None else (FEW,)
        stages = (*few, *stages_of(project.shop.search == "thorough", finish=False))
        told = _counting(stages, lambda words, share: tell(f"planning: {words}", share))
        if self._planned is None:
            self._planned = start(project, self._folder, self._alternative, finish=False, told=told)
        else:
            self._planned = again(self._planned, project, told=told)
            changed = tuple(one.run for one in self._planned.changed)
        yield from self._shown(self._planned.plan, draft, changed)
        if self.more:
            self._planned = finished(self._planned, _counting(FINISHING, tell))
            yield from self._shown(self._planned.plan, draft, changed)

    def _shown(self, plan: Plan, draft: Draft, changed: tuple[str, ...]) -> Iterator[Said]:
        key = metal_key(plan)
        if key != self._metal:
            self._metal = key
            yield Said("metal", (key, metal_data(plan)))
        yield Said(
            "plan", plan_data(plan, draft.raw, _datum(draft), changed) | {"metal": key, **self._of_sheet(draft.raw)}
        )

    def _of_sheet(self, raw: Raw) -> Raw:
        """The name of the equipment sheet, and the devices that stand in it alone."""
        name = raw.get("equipment")
        entries = raw.get("devices")
        ids = [one.get("id") for one in entries if isinstance(one, dict)] if isinstance(entries, list) else []
        return {"sheet": name, "inSheet": [one for one in ids if one not in self._own]} if name else {"inSheet": []}

    def keep_numbers(self) -> str:
        """Write the numbers of the last plan's runs into the register; why that could not be done, empty if it was."""
        if self._planned is None or self._file is None or self._faulty:
            return ""
        return keep(self._file, self._planned.plan).trouble

    @property
    def more(self) -> bool:
        """Whether bound and audit of the last plan are still to come."""
        return self._planned is not None and not self._planned.finished

    @property
    def latest(self) -> Plan | None:
        """The plan of what was asked for last, with bound and audit; None if it has faults or was given up halfway."""
        return None if self._planned is None or self._faulty or self.more else self._planned.plan


def _counting(stages: Sequence[str], tell: Tell) -> Told:
    far = HowFar(stages)

    def told(stage: str, done: int, of: int) -> None:
        words = far.words(stage, done, of)
        tell(words, far.share)

    return told


def _datum(draft: Draft) -> Datum:
    from ribway.router.shell.choose import survey_of

    return Datum() if draft.project is None else survey_of(draft.project).vehicle.datum
