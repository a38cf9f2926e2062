"""The cables a shop has on its shelf, read from the lists in `ribway.models.stock` and checked row by row."""

from __future__ import annotations

import csv
import math
from collections.abc import Mapping
from dataclasses import MISSING, dataclass, fields
from functools import cache
from importlib.resources import files
from typing import Literal, cast, get_args

from ribway.models.cables import CableSpelling, System, parse_cable
from ribway.models.held_reel import MetalName

StockName = Literal["metric", "awg"]
CableKind = Literal["dc", "ac", "data"]
CableForm = Literal["round", "flat", "single"]

COPPER_G_PER_CM3 = 8.96  # density of annealed copper at 20 C


@dataclass(frozen=True)
class StockCable:
    """One cable on the shelf.

    Attributes:
        id: its name in projects and plans.
        spelling: what the trade calls it, "2x2.5" or "14/2".
        cores: all conductors, an earth among them.
        size: one core's size, "2.5 mm2", "14 AWG" or "19/0.18".
        area_mm2: copper of one core [mm2], rounded down.
        system: the system of sizes it is sold in.
        kind: what it may carry.
        form: round or flat sheath, or a single core.
        outside_mm: diameter, of a flat cable its width [mm].
        thickness_mm: the smaller side of a flat cable, otherwise the diameter [mm].
        plug_mm: widest part of a plug that is pulled through with it [mm], 0 if it is pulled bare.
        insulation_c: rated conductor temperature [deg C].
        min_bend_factor: least inside bend radius, in times `outside_mm`.
        copper_g_per_m_per_core: copper of one core [g/m].
        source: where the values come from.
        metal: what its strands are of; of a reel as sold, copper.
        held: how it differs from what is sold, in words; empty if it does not.
    """

    id: str
    spelling: str
    cores: int
    size: str
    area_mm2: float
    system: System
    kind: CableKind
    form: CableForm
    outside_mm: float
    thickness_mm: float
    plug_mm: float
    insulation_c: float
    min_bend_factor: float
    copper_g_per_m_per_core: float
    source: str
    metal: MetalName = "copper"
    held: str = ""

    @property
    def earth(self) -> bool:
        """Whether one of the cores is an earth, as the spelling tells."""
        return parse_cable(self.spelling).earth


_COLUMNS = tuple(field.name for field in fields(StockCable) if field.default is MISSING)
_CHOICES: dict[str, tuple[str, ...]] = {
    "system": get_args(System),
    "kind": get_args(CableKind),
    "form": get_args(CableForm),
}
_POSITIVE = ("area_mm2", "outside_mm", "thickness_mm", "insulation_c", "min_bend_factor", "copper_g_per_m_per_core")


def load_stock(name: StockName) -> tuple[StockCable, ...]:
    """Read one list of stocked cables.

    Args:
        name: which list.

    Returns:
        Its cables in the order of the file.

    Raises:
        ValueError: no such list, or a row whose columns contradict its spelling or one another.
    """
    if name not in get_args(StockName):
        raise ValueError(f"there is no stock list {name!r}: choose one of {', '.join(get_args(StockName))}")
    return _packaged_stock(f"{name}.csv")


@cache
def _packaged_stock(file: str) -> tuple[StockCable, ...]:
    return read_stock((files("ribway.models.stock") / file).read_text(encoding="utf-8"), file)


def read_stock(text: str, where: str) -> tuple[StockCable, ...]:
    """Read a list of stocked cables from CSV text.

    Args:
        text: header and one row a cable.
        where: name of the file, for errors.

    Returns:
        Its cables in the order of the text.

    Raises:
        ValueError: a wrong header, a value out of range, a repeated id, or a row that contradicts its spelling.
    """
    reader = csv.DictReader(text.splitlines(), strict=True)
    if tuple(reader.fieldnames or ()) != _COLUMNS:
        raise ValueError(f"{where}: the header is {reader.fieldnames}, it must be {', '.join(_COLUMNS)}")
    cables: dict[str, StockCable] = {}
    for row in reader:
        place = f"{where}, line {reader.line_num}"
        if None in row or None in row.values():
            raise ValueError(f"{place}: the row does not have {len(_COLUMNS)} values")
        cable = _cable(row, place)
        if cable.id in cables:
            raise ValueError(f"{place}: the id {cable.id} stands twice, give each cable its own")
        cables[cable.id] = cable
    return tuple(cables.values())


def _cable(row: Mapping[str, str], place: str) -> StockCable:
    for column, choices in _CHOICES.items():
        if row[column] not in choices:
            raise ValueError(f"{place}: {column} is {row[column]!r}, it must be one of {', '.join(choices)}")
    if not row["id"] or not row["source"]:
        raise ValueError(f"{place}: id and source must not be empty")
    cable = StockCable(
        id=row["id"],
        spelling=row["spelling"],
        cores=int(_number(row, "cores", place)),
        size=row["size"],
        area_mm2=_number(row, "area_mm2", place),
        system=cast(System, row["system"]),
        kind=cast(CableKind, row["kind"]),
        form=cast(CableForm, row["form"]),
        outside_mm=_number(row, "outside_mm", place),
        thickness_mm=_number(row, "thickness_mm", place),
        plug_mm=_number(row, "plug_mm", place),
        insulation_c=_number(row, "insulation_c", place),
        min_bend_factor=_number(row, "min_bend_factor", place),
        copper_g_per_m_per_core=_number(row, "copper_g_per_m_per_core", place),
        source=row["source"],
    )
    _check_spelling(cable, parse_cable(cable.spelling, what=f"{place}: spelling"), place)
    _check_measures(cable, place)
    return cable


def _number(row: Mapping[str, str], column: str, place: str) -> float:
    try:
        value = float(row[column])
    except ValueError as wrong:
        raise ValueError(f"{place}: {column} is {row[column]!r}, it must be a number") from wrong
    if not math.isfinite(value) or value < 0 or (value == 0 and column in _POSITIVE):
        raise ValueError(f"{place}: {column} is {row[column]!r}, it must be a positive number")
    if column == "cores" and value != int(value):
        raise ValueError(f"{place}: cores is {row[column]!r}, it must be a whole number")
    return value


def _check_spelling(cable: StockCable, spelt: CableSpelling, place: str) -> None:
    """Hold the columns against what the spelling says; an area may be rounded down by its sixth decimal, never up."""
    written = (cable.cores, cable.system, cable.size)
    meant = (spelt.cores, spelt.system, spelt.size_name)
    if written != meant:
        raise ValueError(f"{place}: cores, system and size are {written}, but {cable.spelling} means {meant}")
    if not -1e-9 <= spelt.area_mm2 - cable.area_mm2 <= 1e-6:
        raise ValueError(f"{place}: area_mm2 is {cable.area_mm2}, but {cable.spelling} means {spelt.area_mm2:.6f}")


def _check_measures(cable: StockCable, place: str) -> None:
    copper = cable.area_mm2 * COPPER_G_PER_CM3
    if abs(cable.copper_g_per_m_per_core - copper) > 1e-3:
        raise ValueError(
            f"{place}: copper_g_per_m_per_core is {cable.copper_g_per_m_per_core}, it must be {copper:.3f}"
        )
    if (cable.form == "flat") != (cable.thickness_mm < cable.outside_mm) or cable.thickness_mm > cable.outside_mm:
        raise ValueError(
            f"{place}: {cable.thickness_mm} by {cable.outside_mm} mm does not go with the form {cable.form}: "
            "only a flat cable is thinner than wide"
        )
    if cable.form == "single" and cable.cores != 1:
        raise ValueError(f"{place}: the form is single, but there are {cable.cores} cores")
    # A stadium: a circle of the thickness and a rectangle between its halves; a plain circle if it is not flat.
    rectangle_mm2 = (cable.outside_mm - cable.thickness_mm) * cable.thickness_mm
    space_mm2 = math.pi / 4 * cable.thickness_mm**2 + rectangle_mm2
    if space_mm2 <= cable.cores * cable.area_mm2:
        raise ValueError(f"{place}: {cable.cores} x {cable.area_mm2} mm2 of copper do not go into the outside size")
