"""Voltage drop, node by node from the source, feeders included."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from ribway.models.plan.plan import PlanCable
from ribway.models.plan.results import Finding, PlanCircuit, PlanRun
from ribway.router.audit.book import Book
from ribway.router.audit.conductors import hot, ohm_range_20c
from ribway.router.audit.currents import Currents, feeders
from ribway.router.audit.findings import error
from ribway.router.audit.surroundings import worst_air_c
from ribway.router.audit.wiring import SPARE, before, drawn_behind

SHARE: Final = 0.005
PLAY_V: Final = 0.002
PERCENT_PLAY: Final = 0.002


class Drops:
    """Volts lost from the source to the end of each run, running or starting; found once each.

    Args:
        book: the plan.
        starting: with starting currents.
    """

    def __init__(self, book: Book, starting: bool) -> None:
        self._book, self._which = book, int(starting)
        self._currents = Currents(book)
        self._known: dict[str, float] = {}

    def upstream_v(self, circuit: PlanCircuit, above: tuple[str, ...] = ()) -> float:
        """Lost before a circuit's source [V]; the worst if it is fed by several circuits."""
        lost = [0.0]
        for feeder in feeders(self._book, circuit):
            if feeder.id in above:
                continue
            for name in feeder.runs:
                run = self._book.runs.get(name)
                if run is not None and circuit.source in drawn_behind(self._book, run):
                    lost.append(self.run_v(run, (*above, circuit.id)))
        return max(lost)

    def run_v(self, run: PlanRun, above: tuple[str, ...] = ()) -> float:
        """Lost from the source to the end of a run [V]: both conductors, and all runs that its current comes through."""
        if run.id not in self._known:
            circuit = self._book.circuits[run.circuit]
            through = before(self._book, run)
            start = self.run_v(through, above) if through is not None else self.upstream_v(circuit, above)
            amps = self._currents.run(run)[self._which]
            one_way = len([core for core in run.wire_functions if core != SPARE]) == 1
            loop = (1.0 if one_way else 2.0) * run.cut_m * hot_ohm(self._book, run)
            contacts = (1.0 if one_way else 2.0) * self._book.devices[run.to].contact_ohm
            self._known[run.id] = start + (loop + contacts) * amps + self._back_v(run, amps)
        return self._known[run.id]

    def _back_v(self, run: PlanRun, amps: float) -> float:
        """Lost beyond a run on the way back [V]: in the body and the bond, or in the negative that circuits share."""
        circuit = self._book.circuits[run.circuit]
        if circuit.return_ == "chassis" and run.to == circuit.earth:
            bond = self._runs_of(circuit.negative)
            return self._book.plan.rules.body_ohm * amps + sum(self.run_v(one) for one in bond)
        if circuit.return_ == "shared":
            return max((self.run_v(one) for one in self._runs_of(circuit.negative) if one.to == run.to), default=0.0)
        return 0.0

    def _runs_of(self, circuit: str) -> list[PlanRun]:
        one = self._book.circuits.get(circuit)
        return [self._book.runs[name] for name in one.runs if name in self._book.runs] if one is not None else []


def hot_ohm(book: Book, run: PlanRun) -> float:
    """Resistance of one core of a run's cable where it is hottest [ohm/m]: its insulation's rating unless the plan says
    otherwise, never cooler than the air around it."""
    cable, said = book.cable_of(run), book.plan.rules.conductor_temperature_c
    return hot(cable, cold_ohm(cable), max(cable.insulation_c if said is None else said, worst_air_c(run)))


def cold_ohm(cable: PlanCable) -> float:
    """Resistance of one core at 20 C [ohm/m]: the table's; between its rows what the plan says, inside their limits."""
    limits = ohm_range_20c(cable)
    return cable.ohm_per_m_20c if limits is None else min(max(cable.ohm_per_m_20c, limits[0]), limits[1])


def check_cables(book: Book) -> Iterator[Finding]:
    """Resistance of every cable that carries power against the tables."""
    carrying = {run.cable for run in book.plan.runs if run.kind != "data" and run.purpose != "spare"}
    for name in sorted(carrying):
        cable = book.cables[name]
        limits = ohm_range_20c(cable)
        if limits is None:
            yield error(
                "unknown-size",
                name,
                f"{cable.size_name or 'its size'} is in no table: neither drop nor ampacity is known",
            )
        elif not limits[0] * (1.0 - SHARE) <= cable.ohm_per_m_20c <= limits[1] * (1.0 + SHARE):
            yield error(
                "resistance",
                name,
                f"{cable.ohm_per_m_20c:.6g} ohm/m at 20 C; the tables give {limits[0]:.6g} to {limits[1]:.6g}",
            )


def check_drop(book: Book) -> Iterator[Finding]:
    """Drop at the end of every run and circuit, and its limit."""
    running, starting = Drops(book, False), Drops(book, True)
    for circuit in book.plan.circuits:
        if circuit.kind == "data" or not circuit.runs or not book.whole(circuit):
            continue
        runs = [book.runs[name] for name in circuit.runs]
        for run in runs:
            yield from _run(run, circuit, running.run_v(run))
        worst, start = max(running.run_v(run) for run in runs), max(starting.run_v(run) for run in runs)
        yield from _same("worst-drop", circuit.id, "at its far end", circuit.worst_drop_v, worst)
        yield from _same(
            "upstream-drop", circuit.id, "before its source", circuit.upstream_drop_v, running.upstream_v(circuit)
        )
        yield from _same(
            "upstream-drop",
            circuit.id,
            "before its source while starting",
            circuit.upstream_start_drop_v,
            starting.upstream_v(circuit),
        )
        yield from _percent(circuit.id, circuit.worst_drop_percent, circuit.worst_drop_v, circuit.volts)
        yield from _same(
            "start-drop", circuit.id, "while starting", circuit.start_drop_percent * circuit.volts / 100.0, start
        )


def _run(run: PlanRun, circuit: PlanCircuit, volts: float) -> Iterator[Finding]:
    yield from _same("drop", run.id, "at its end", run.drop_v, volts)
    yield from _percent(run.id, run.drop_percent, run.drop_v, circuit.volts)
    if run.drop_limit_percent is None or run.drop_limit_percent != circuit.drop_limit_percent:
        yield error(
            "drop-limit",
            run.id,
            f"its limit is {run.drop_limit_percent} %, that of its circuit {circuit.drop_limit_percent} %",
        )
    else:
        percent = 100.0 * volts / circuit.volts
        if percent > run.drop_limit_percent + PERCENT_PLAY:
            yield error(
                "drop-over-limit", run.id,
                f"loses {volts:.3f} V of {circuit.volts:g} V, {percent:.2f} %; allowed {run.drop_limit_percent:g} %",
                "a thicker cable, or a shorter way",
            )  # fmt: skip


def _same(code: str, about: str, where: str, said_v: float, found_v: float) -> Iterator[Finding]:
    if abs(said_v - found_v) > max(SHARE * found_v, PLAY_V):
        yield error(code, about, f"says {said_v:.4f} V are lost {where}; {found_v:.4f} V are")


def _percent(about: str, percent: float, volts: float, of_v: float) -> Iterator[Finding]:
    if abs(percent - 100.0 * volts / of_v) > PERCENT_PLAY:
        yield error("drop-percent", about, f"{percent:g} % is not {volts:g} V of {of_v:g} V")
