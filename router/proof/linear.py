"""A linear programme that grows by columns and rows and is solved again from where it stood.

Nothing that is proved rests on what stands here: prices may be wrong and still give a valid bound, and plans are checked.
"""

from __future__ import annotations

import importlib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Protocol

import numpy as np
from scipy.optimize import linprog
from scipy.sparse import csr_array

from ribway.router.proof.instance import Array, Ints

NO_LIMIT = 2**31 - 1


@dataclass(frozen=True, eq=False)
class Answer:
    """Value, ``(n,)`` columns and ``(m,)`` duals (change of the value with a row's right side)."""

    value: float
    columns: Array
    duals: Array


class Linear(Protocol):
    """Minimise costs over columns within bounds; rows have a lower and an upper side."""

    columns: int
    rows: int

    def add_column(self, cost: float, most: float, entries: Mapping[int, float]) -> int:
        """A column from 0 to ``most``; returns its index."""

    def add_row(self, low: float, high: float, entries: Mapping[int, float]) -> int:
        """A row; returns its index."""

    def set_most(self, columns: Ints, most: Array) -> None:
        """New upper bounds of columns."""

    def solve(self) -> Answer | None:
        """Optimum, or None if the solver found none."""

    def value_without(self, columns: Ints, steps: int) -> float:
        """About the value if some columns were shut: a lower bound on it after so many steps. Changes nothing."""


def linear() -> Linear:
    """The solver that starts warm, which scipy carries inside, if it is there; else scipy's public one."""
    try:
        core = importlib.import_module("scipy.optimize._highspy._core")
    except ImportError:
        return ColdLinear()
    return WarmLinear(core) if hasattr(core, "_Highs") else ColdLinear()


class WarmLinear:
    """HiGHS as scipy carries it: its simplex goes on from the last basis."""

    def __init__(self, core: Any) -> None:
        self._core, self._highs = core, core._Highs()
        self._highs.setOptionValue("output_flag", False)
        self._highs.setOptionValue("threads", 1)
        self._most: list[float] = []
        self.columns = self.rows = 0

    def add_column(self, cost: float, most: float, entries: Mapping[int, float]) -> int:
        self._highs.addCol(cost, 0.0, most, len(entries), *_pairs(entries))
        self._most.append(most)
        self.columns += 1
        return self.columns - 1

    def add_row(self, low: float, high: float, entries: Mapping[int, float]) -> int:
        self._highs.addRow(low, high, len(entries), *_pairs(entries))
        self.rows += 1
        return self.rows - 1

    def set_most(self, columns: Ints, most: Array) -> None:
        for column, value in zip(columns.tolist(), most.tolist(), strict=True):
            self._most[column] = value
        self._highs.changeColsBounds(len(columns), columns.astype(np.int32), np.zeros(len(columns)), most)

    def solve(self) -> Answer | None:
        for fresh in (False, True):
            if fresh:
                self._highs.clearSolver()
            self._highs.run()
            if self._highs.getModelStatus() == self._core.HighsModelStatus.kOptimal:
                found = self._highs.getSolution()
                value = float(self._highs.getInfo().objective_function_value)
                return Answer(value, np.array(found.col_value), np.array(found.row_dual))
        return None

    def value_without(self, columns: Ints, steps: int) -> float:
        basis = self._highs.getBasis()
        before = np.array([self._most[column] for column in columns.tolist()])
        place = columns.astype(np.int32), np.zeros(len(columns))
        self._highs.changeColsBounds(len(columns), *place, np.zeros(len(columns)))
        self._highs.setOptionValue("simplex_iteration_limit", steps)
        self._highs.run()
        value = float(self._highs.getInfo().objective_function_value)
        if self._highs.getModelStatus() == self._core.HighsModelStatus.kInfeasible:
            value = np.inf
        self._highs.setOptionValue("simplex_iteration_limit", NO_LIMIT)
        self._highs.changeColsBounds(len(columns), *place, before)
        self._highs.setBasis(basis)
        return value


class ColdLinear:
    """The same by scipy's public `linprog`, from scratch each time."""

    def __init__(self) -> None:
        self.columns = self.rows = 0
        self._cost: list[float] = []
        self._most: list[float] = []
        self._sides: list[tuple[float, float]] = []
        self._row: list[int] = []
        self._column: list[int] = []
        self._value: list[float] = []

    def add_column(self, cost: float, most: float, entries: Mapping[int, float]) -> int:
        self._cost.append(cost)
        self._most.append(most)
        self._row += entries.keys()
        self._column += [self.columns] * len(entries)
        self._value += entries.values()
        self.columns += 1
        return self.columns - 1

    def add_row(self, low: float, high: float, entries: Mapping[int, float]) -> int:
        self._sides.append((low, high))
        self._row += [self.rows] * len(entries)
        self._column += entries.keys()
        self._value += entries.values()
        self.rows += 1
        return self.rows - 1

    def set_most(self, columns: Ints, most: Array) -> None:
        for column, value in zip(columns.tolist(), most.tolist(), strict=True):
            self._most[column] = value

    def solve(self) -> Answer | None:
        matrix = csr_array((self._value, (self._row, self._column)), shape=(self.rows, self.columns))
        low, high = np.array(self._sides).reshape(-1, 2).T
        equal = low == high
        bounds = [(0.0, most) for most in self._most]
        found = linprog(
            self._cost, A_ub=matrix[~equal], b_ub=high[~equal], A_eq=matrix[equal], b_eq=high[equal], bounds=bounds
        )
        if found.status != 0:
            return None
        duals = np.zeros(self.rows)
        duals[equal], duals[~equal] = found.eqlin.marginals, found.ineqlin.marginals
        return Answer(float(found.fun or 0.0), np.asarray(found.x), duals)

    def value_without(self, columns: Ints, steps: int) -> float:
        before = np.array([self._most[column] for column in columns.tolist()])
        self.set_most(columns, np.zeros(len(columns)))
        found = self.solve()
        self.set_most(columns, before)
        return np.inf if found is None else found.value


def _pairs(entries: Mapping[int, float]) -> tuple[Any, Array]:
    return np.fromiter(entries.keys(), np.int32, len(entries)), np.fromiter(entries.values(), np.float64, len(entries))
