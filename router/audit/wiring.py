"""What a circuit's pattern makes of its runs: which run feeds which, what is drawn where, how many cores each needs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Final

from ribway.models.plan.results import Finding, PlanCircuit, PlanRun
from ribway.router.audit.book import Book
from ribway.router.audit.findings import error

STARS: Final = ("home", "sub-board", "control", "bond")
HEADS: Final = {"switched chain": 1, "two-way": 2}
"""Switches that stand between the source and the first load."""
LINES: Final = ("chain", "switched chain", "two-way", "dimmer", "relay", "shared negative")
SPARE: Final = "spare"
NEGATIVES: Final = ("bond", "shared negative")
"""Circuits that only lead current back."""


def leg_of(book: Book, circuit: PlanCircuit) -> PlanRun | None:
    """In a switch drop, the run down to the switch and back."""
    if circuit.pattern != "switch drop":
        return None
    return next((run for run in _runs(book, circuit) if book.devices[run.to].kind == "switch"), None)


def before(book: Book, run: PlanRun) -> PlanRun | None:
    """The run through which a run's current comes; None at the source.

    In a switch drop all that the lamps take goes down the leg and back before any of them has it.
    """
    circuit = book.circuits[run.circuit]
    leg = leg_of(book, circuit)
    if leg is not None and run.id != leg.id and run.from_ == leg.from_:
        return leg
    if run.from_ == circuit.source:
        return None
    return next((one for one in _runs(book, circuit) if one.to == run.from_), None)


def drawn_behind(book: Book, run: PlanRun) -> tuple[str, ...]:
    """Devices that take their current behind a run and before any other."""
    circuit = book.circuits[run.circuit]
    if circuit.return_ == "chassis":  # the load draws through its lead to the earth point, and so through both
        return (run.from_,) if run.to == circuit.earth else ()
    leg = leg_of(book, circuit)
    if leg is not None and run.id == leg.id:
        return (run.to, run.from_)
    return () if leg is not None and run.to == leg.from_ else (run.to,)


def fed_through(book: Book, run: PlanRun) -> list[PlanRun]:
    """A run and all that get their current through it."""
    found = {run.id: run}
    grew = True
    while grew:
        more = {
            one.id: one
            for one in _runs(book, book.circuits[run.circuit])
            if one.id not in found and (through := before(book, one)) is not None and through.id in found
        }
        found |= more
        grew = bool(more)
    return list(found.values())


def needed(book: Book, run: PlanRun) -> list[str]:
    """What the cores of a run must be for, as its pattern has it; which positive it is does not matter here."""
    circuit = book.circuits[run.circuit]
    live, back, earth = ("line", "neutral", ["earth"]) if run.kind == "ac" else ("positive", "negative", [])
    ends = [book.devices[end].kind for end in (run.from_, run.to)]
    if leads_back(book, run):
        return [back]
    if circuit.return_ != "wired":
        return [live]
    if circuit.pattern == "control" or leg_of(book, circuit) == run:
        return [live, live, *earth]
    if circuit.pattern == "two-way" and ends == ["switch", "switch"]:
        return ["traveller", "traveller", back, *earth]
    return [live, back, *earth]


def leads_back(book: Book, run: PlanRun) -> bool:
    """Whether a run only leads current back: to an earth point, or as the negative that several circuits share."""
    circuit = book.circuits[run.circuit]
    return circuit.pattern in NEGATIVES or (circuit.return_ == "chassis" and run.to == circuit.earth)


def role_of(book: Book, run: PlanRun) -> str:
    """What a run is used for."""
    circuit = book.circuits[run.circuit]
    if circuit.pattern == "control":
        return "control"
    if leg_of(book, circuit) == run:
        return "switch leg"
    if leads_back(book, run):
        return "return"
    return "travellers" if "traveller" in needed(book, run) else "feed"


def check_wiring(book: Book) -> Iterator[Finding]:
    """Runs in the shape of their circuit's pattern, each with the cores and colours that it needs."""
    for circuit in book.plan.circuits:
        if circuit.kind != "data" and circuit.runs and book.whole(circuit):
            yield from _shape(book, circuit)
    for run in book.plan.runs:
        if run.kind == "data" or run.purpose == "spare":
            if run.loaded_cores or run.wire_functions or run.wire_colours or run.role != "feed":
                yield error("cores", run.id, "carries no power, and says what its cores carry")
            continue
        yield from _cores(book, run)
        yield from _colours(run)


def _shape(book: Book, circuit: PlanCircuit) -> Iterator[Finding]:
    runs = _runs(book, circuit)
    leaving = Counter(run.from_ for run in runs)
    switches = [run for run in runs if book.devices[run.to].kind == "switch"]
    wrong = ""
    if (circuit.pattern == "control") != (circuit.control_a > 0.0):
        wrong = "only control leads, and all of them, carry a control current"
    elif circuit.pattern in STARS and any(not _begins_right(book, circuit, run) for run in runs):
        wrong = "each of its runs begins at its source"
    elif circuit.pattern == "control" and len(switches) != len(runs):
        wrong = "a control lead ends at a switch"
    elif circuit.pattern == "relay" and switches:
        wrong = "what a relay feeds does not pass its switch"
    elif circuit.pattern in LINES and max(leaving.values()) > 1:
        wrong = "it goes from device to device, and branches nowhere"
    elif circuit.pattern in HEADS and not _heads_stand_first(circuit, runs, switches):
        wrong = f"{HEADS[circuit.pattern]} switch(es) stand between its source and its first load"
    elif circuit.pattern == "switch drop" and not _drops_right(book, circuit, runs, switches):
        wrong = "one leg goes from its first lamp to its one switch, and it goes on from lamp to lamp"
    if wrong:
        yield error("pattern", circuit.id, f"its runs are not those of the pattern {circuit.pattern}: {wrong}")


def _begins_right(book: Book, circuit: PlanCircuit, run: PlanRun) -> bool:
    """At the source, at a joint that parts it, or as a lead back."""
    return run.from_ == circuit.source or book.devices[run.from_].kind == "joint" or leads_back(book, run)


def _heads_stand_first(circuit: PlanCircuit, runs: list[PlanRun], switches: list[PlanRun]) -> bool:
    at, firsts = circuit.source, []
    for _ in range(HEADS[circuit.pattern]):
        run = next((one for one in runs if one.from_ == at), None)
        if run is None:
            return False
        firsts.append(run.id)
        at = run.to
    return sorted(firsts) == sorted(run.id for run in switches) and len(runs) > len(firsts)


def _drops_right(book: Book, circuit: PlanCircuit, runs: list[PlanRun], switches: list[PlanRun]) -> bool:
    if len(switches) != 1:
        return False
    leaving = Counter(run.from_ for run in runs if run not in switches)
    firsts = [run.to for run in runs if run.from_ == circuit.source]
    return firsts == [switches[0].from_] and max(leaving.values()) == 1


def _cores(book: Book, run: PlanRun) -> Iterator[Finding]:
    needs, role = needed(book, run), role_of(book, run)
    if run.role != role:
        yield error("role", run.id, f"is used as {run.role}, its pattern makes it {role}")
    if run.cores < len(needs):
        yield error(
            "cores", run.id, f"has {run.cores} conductors, its pattern asks for {len(needs)}", "a cable of more cores"
        )
    said = [_plain(function) for function in run.wire_functions if function != SPARE]
    if sorted(said) != sorted(needs) or len(run.wire_functions) != run.cores:
        yield error(
            "wire-functions", run.id,
            f"its {run.cores} conductors are said to be for {', '.join(run.wire_functions) or 'nothing'}; "
            f"its pattern needs {', '.join(needs)}",
        )  # fmt: skip
    loaded = book.loaded(run)
    if run.loaded_cores != loaded:
        yield error(
            "loaded-cores", run.id, f"says that {run.loaded_cores} conductors carry current at once; {loaded} do"
        )


def _plain(function: str) -> str:
    """``switched control positive`` is a positive, ``switched line`` a line."""
    return function.split()[-1] if function else ""


def _colours(run: PlanRun) -> Iterator[Finding]:
    if len(run.wire_colours) != len(run.wire_functions):
        yield error(
            "wire-colours",
            run.id,
            f"{len(run.wire_colours)} colours for {len(run.wire_functions)} conductors",
        )
        return
    of: dict[str, set[str]] = {}
    for function, colour in zip(run.wire_functions, run.wire_colours, strict=True):
        of.setdefault(colour, set()).add(function)
    for colour, functions in of.items():
        if len(functions) > 1:
            yield error(
                "wire-colours", run.id, f"{colour or 'no colour'} is {' and '.join(sorted(functions))} in one run"
            )


def _runs(book: Book, circuit: PlanCircuit) -> list[PlanRun]:
    return [book.runs[name] for name in circuit.runs if name in book.runs]
