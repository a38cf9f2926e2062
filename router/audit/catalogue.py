"""Catalogue values of the audit, read from its own tables."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Final

COLUMNS_C: Final = (60, 75, 80, 90, 105, 125, 200)
ISO_COLUMNS_C: Final = (60, 70, 85, 105, 125, 200)


@dataclass(frozen=True)
class Gauge:
    """One AWG size: copper [mm2], NEC resistance at 75 C [ohm per 1000 ft] and SAE copper [circular mil] if known."""

    area_mm2: float
    ohm_per_kft_75c: float | None
    sae_cmil: float | None


@dataclass(frozen=True)
class BundleStep:
    """Factor for a count of loaded conductors from ``least`` to ``most``; None: no end."""

    least: int
    most: int | None
    factor: float


def _rows(name: str) -> list[dict[str, str]]:
    text = (files("ribway.router.audit.tables") / f"{name}.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


@cache
def class5_ohm_per_m() -> dict[float, float]:
    """Greatest resistance at 20 C [ohm/m] by area [mm2], thin to thick. Source: IEC 60228:2004 table 3."""
    rows = _rows("iec60228_class5")
    return {float(row["area_mm2"]): float(row["max_ohm_per_km_20c"]) / 1000.0 for row in rows}


@cache
def gauges() -> dict[str, Gauge]:
    """AWG sizes by name, thin to thick. Source: ASTM B258; NEC chapter 9 table 8; SAE J1127/J1128."""
    return {
        row["awg"]: Gauge(
            float(row["area_mm2"]),
            float(row["nec_table8_ohm_per_kft_75c"]) if row["nec_table8_ohm_per_kft_75c"] else None,
            float(row["sae_cmil"]) if row["sae_cmil"] else None,
        )
        for row in _rows("awg")
    }


@cache
def amperage() -> dict[str, tuple[float, ...]]:
    """Allowable amps by AWG name, one for each of `COLUMNS_C`, thin to thick. Source: 33 CFR 183.425 table 5."""
    return {row["awg"]: tuple(float(row[f"c{column}_a"]) for column in COLUMNS_C) for row in _rows("amperage_33cfr183")}


@cache
def iso_amperage() -> dict[float, tuple[float, ...]]:
    """Allowable amps by area [mm2], one for each of `ISO_COLUMNS_C`, thin to thick. Source: ISO 10133 table A.1."""
    rows = _rows("amperage_iso10133")
    return {float(row["area_mm2"]): tuple(float(row[f"c{column}_a"]) for column in ISO_COLUMNS_C) for row in rows}


@cache
def nec_amperage() -> dict[str, float]:
    """Allowable amps of AC conductors by AWG name at 60 C, thin to thick. Source: NEC Table 310.16."""
    return {row["awg"]: float(row["c60_a"]) for row in _rows("amperage_nec310")}


@cache
def iec_amperage() -> dict[float, tuple[float, float]]:
    """Allowable amps of AC conductors by area [mm2] at 70 and 90 C, thin to thick. Source: IEC 60364-5-52, method A2."""
    return {float(row["area_mm2"]): (float(row["c70_a"]), float(row["c90_a"])) for row in _rows("amperage_iec60364")}


@cache
def link_lengths() -> dict[str, float]:
    """Greatest length of a data link by its name [m]. Source: column ``source`` of the table."""
    return {row["link"]: float(row["longest_m"]) for row in _rows("data_links")}


@cache
def coax_losses() -> dict[str, tuple[float, float]]:
    """Loss at 100 MHz and at 1 GHz by coax [dB per 100 m]. Common practice, no source."""
    return {
        row["cable"]: (float(row["db_per_100m_at_100mhz"]), float(row["db_per_100m_at_1ghz"])) for row in _rows("coax")
    }


@cache
def fuse_kinds() -> dict[str, tuple[tuple[float, float], ...]]:
    """(highest voltage [V], what it breaks [A]) by kind. Common practice, no source."""
    found: dict[str, tuple[tuple[float, float], ...]] = {}
    for row in _rows("fuse_kinds"):
        found[row["kind"]] = (*found.get(row["kind"], ()), (float(row["max_v"]), float(row["breaking_a"])))
    return found


@cache
def fuse_gates(kind: str) -> tuple[tuple[float, float], ...]:
    """(multiple of the rating, longest time to open [s]) of a kind's family, rising. Source: ISO 8820-3, 8820-5 (memory)."""
    family = next((row["family"] for row in _rows("fuse_kinds") if row["kind"] == kind), "")
    return tuple(
        (float(row["multiple"]), float(row["most_s"])) for row in _rows("fuse_opening") if row["family"] == family
    )


@cache
def fuse_ohm(kind: str, rating_a: float) -> float:
    """Resistance of a fuse at its rating [ohm], by the next smaller known one; 0 below the smallest. No source."""
    family = next((row["family"] for row in _rows("fuse_kinds") if row["kind"] == kind), "")
    known = [
        (float(row["rating_a"]), float(row["drop_mv"]) / 1000.0 / float(row["rating_a"]))
        for row in _rows("fuse_drops")
        if row["family"] == family and float(row["rating_a"]) <= rating_a
    ]
    return max(known)[1] if known else 0.0


@cache
def bundle_steps(rule: str) -> tuple[BundleStep, ...]:
    """Factors of a bundle rule; empty if there is no such rule. Source: column ``source`` of the table."""
    return tuple(
        BundleStep(int(row["from_count"]), int(row["to_count"]) if row["to_count"] else None, float(row["factor"]))
        for row in _rows("bundle_factors")
        if row["rule"] == rule
    )


def bundle_factor(rule: str, loaded_conductors: int) -> float:
    """Share of its ampacity a conductor keeps among so many that carry current, itself included."""
    for step in bundle_steps(rule):
        if step.least <= loaded_conductors and (step.most is None or loaded_conductors <= step.most):
            return step.factor
    return 1.0
