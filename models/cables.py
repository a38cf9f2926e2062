"""Cables as the trade spells them: how many cores, of how much copper, in which system of sizes.

The same two numbers mean different things (``16/2``, ``2/0``, ``28/0.30``, ``2x2.5``), so each form is matched whole,
and what fits none of them, or two of them, is refused. A cable read too thick would be fused too high.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from ribway.models.gauges import (
    METRIC_SIZES_MM2,
    THINNEST_AWG,
    awg_area_mm2,
    gauge_name,
    gauge_number,
    sae_area_mm2,
    strands_area_mm2,
)
from ribway.models.written import DECIMAL, plain, read_decimal, refuse, require_text

System = Literal["metric", "awg", "sae", "strands"]

_ACCEPTED = "2x2.5, 2.5 mm2 twin, 3G1.5, 14/2, 14-4, 12 AWG, 2/0, 2x14 SAE or 28/0.30"
_GAUGE = r"(?P<gauge>[1-4]/0|0{1,4}|[1-9][0-9]?)"
_AWG_MARK = r"(?:awg|ga\.?|gauge|b ?& ?s)"  # Brown & Sharpe is the old name of the same gauge

_EARTH = re.compile(r"(?P<rest>.+?) ?(?:w/|\bwith|\+) ?(?:a )?(?:gnd|ground|g|earth|pe)")
_WORD = re.compile(
    r"(?P<rest>.+?)(?:[ -]?(?P<word>single|twin|duplex|zip|triplex|triple)|[ -](?P<count>[0-9]+)[ -]?cores?)"
)
_TIMES = re.compile(r"(?P<count>[0-9]+) ?(?:(?P<sign>[xg*]) ?|[ -]?cores? (?:x )?)(?P<rest>(?:[0-9.#]|awg|sae).*)")
_GAUGE_CORES = re.compile(rf"#?(?P<a>[0-9]+) ?(?P<sign>[/-]) ?(?P<b>[0-9]+)(?: ?(?P<mark>sae|{_AWG_MARK}))?")
_AWG = re.compile(rf"(?:awg ?#?|#){_GAUGE}|{_GAUGE.replace('gauge', 'gauge2')} ?{_AWG_MARK}")
_SAE = re.compile(rf"sae ?{_GAUGE}|{_GAUGE.replace('gauge', 'gauge2')} ?(?:ga\.? |gauge )?sae")
_BARE_GAUGE = re.compile(r"[1-4]/0|0{2,4}")
_AREA = re.compile(rf"(?P<area>{DECIMAL}) ?(?:mm ?\^?2|mm ?sq\.?|sq\.? ?mm|qmm)")
_WIDTH = re.compile(rf"(?P<width>{DECIMAL}) ?mm(?: auto(?:motive)?)?")
_STRANDS = re.compile(r"(?P<count>[1-9][0-9]*) ?/ ?(?P<strand>0?[.,][0-9]+)(?: ?mm)?")
_DATE = re.compile(r"[0-9]+([-/.])[0-9]+\1[0-9]+.*|[0-9]+[- /][a-z]{3,}\.?(?:[- /][0-9]+)?|[a-z]{3,}\.?[- /][0-9]+")
_MONTH = re.compile(r"jan|feb|mar|apr|ma[yi]|jun|jul|aug|sep|o[ck]t|nov|de[cz]")

_WORD_CORES = {"single": 1, "twin": 2, "duplex": 2, "zip": 2, "triplex": 3, "triple": 3}
_MOST_CORES = 61
_LEAST_MM2, _MOST_MM2 = 0.05, 300.0
_AUTO_6_MM2 = 4.59  # copper of a reel sold by 6 mm outside diameter; common practice, no source


@dataclass(frozen=True)
class CableSpelling:
    """A cable as far as its spelling tells.

    Attributes:
        cores: all conductors, the earth among them.
        area_mm2: copper of one core [mm2].
        system: which system of sizes it was spelt in.
        size_name: one core's size in that system: "2.5 mm2", "14 AWG", "2/0 SAE", "28/0.30".
        earth: whether the spelling says that one of the cores is an earth.
    """

    cores: int
    area_mm2: float
    system: System
    size_name: str
    earth: bool


@dataclass(frozen=True)
class _Size:
    area_mm2: float
    system: System
    name: str


def parse_cable(text: object, *, what: str = "cable") -> CableSpelling:
    """Read a cable in any of the trade's spellings.

    "16/2" is gauge and cores, "2/0" one gauge; "w/gnd" adds an earth core to those counted ("14/2 w/gnd" has three),
    while "3G2.5" counts it already. A bare "2x2.5" is metric; a bare number, and a plain "6 mm", are refused.

    Args:
        text: what stands in the field; only text is accepted.
        what: what to call it in a refusal.

    Returns:
        Cores, area and size.

    Raises:
        SpellingError: not text, ambiguous, or no cable at all.

    Source:
        AWG areas by ASTM B258, SAE by J1127/J1128, core marking 3G/3x by HD 308.
    """
    written = require_text(text, what, _ACCEPTED)
    body = plain(written)
    added_earth = _EARTH.fullmatch(body)
    body = added_earth["rest"] if added_earth else body
    word = _WORD.fullmatch(body)
    body = word["rest"] if word else body
    said = {int(word["count"]) if word["count"] else _WORD_CORES[word["word"]]} if word else set()

    times = _TIMES.fullmatch(body)
    if times:
        size = _counted_size(times["rest"], written, what)
        said.add(int(times["count"]))
    else:
        size, cores = _size_and_cores(body, written, what)
        said |= {cores} if cores else set()
    if len(said) > 1:
        raise refuse(what, written, f"says {min(said)} and {max(said)} cores", "one number of cores")
    cores = said.pop() if said else 1
    counted_earth = bool(times and times["sign"] == "g")
    if cores == 0 or cores > _MOST_CORES or (counted_earth and cores < 2):
        raise refuse(what, written, f"has {cores} core(s)", f"1 to {_MOST_CORES} cores, an earth beside at least one")
    if added_earth and not counted_earth:
        if cores == 1:
            raise refuse(what, written, "has an earth but does not say beside how many cores", "14/2 w/gnd or 3G2.5")
        cores += 1
    return CableSpelling(cores, size.area_mm2, size.system, size.name, bool(added_earth) or counted_earth)


def _size_and_cores(body: str, written: str, what: str) -> tuple[_Size, int | None]:
    """Read what stands without "2 x" before it: a size, or gauge and cores in one."""
    pair = _GAUGE_CORES.fullmatch(body)
    if pair is None or (pair["b"] == "0" and pair["sign"] == "/"):
        return _size(body, written, what), None
    gauge, cores = int(pair["a"]), int(pair["b"])
    if pair["b"].startswith("0"):
        raise refuse(
            what, written, "is no gauge and number of cores", "2/0 for the thick gauge, or 14-4 for 4 x 14 AWG"
        )
    # "2/14" and "6/12" are cores and gauge the wrong way round; reading them as thick wire would be unsafe.
    most = 12 if gauge >= 14 else 5 if gauge >= 10 else 4
    sold = gauge in (2, 3) or (gauge % 2 == 0 and 4 <= gauge <= THINNEST_AWG)
    if not sold or not 1 <= cores <= most:
        accepted = f"the gauge first and then the cores, 14/2, or {cores}x{gauge} AWG"
        raise refuse(what, written, f"would be {cores} cores of {gauge} AWG", accepted)
    return _gauge(str(gauge), pair["mark"] == "sae", written, what), cores


def _counted_size(body: str, written: str, what: str) -> _Size:
    """Read the size behind "2 x", where a bare metric area is enough."""
    if re.fullmatch(DECIMAL, body) and not _BARE_GAUGE.fullmatch(body):
        area = float(read_decimal(body, what, written))
        if area not in METRIC_SIZES_MM2:
            raise refuse(what, written, f"leaves open what {body} is", _systems(body))
        return _metric(area, written, what)
    return _size(body, written, what)


def _size(body: str, written: str, what: str) -> _Size:
    """Read the size of one core."""
    if awg := _AWG.fullmatch(body):
        return _gauge(awg["gauge"] or awg["gauge2"], False, written, what)
    if sae := _SAE.fullmatch(body):
        return _gauge(sae["gauge"] or sae["gauge2"], True, written, what)
    if _BARE_GAUGE.fullmatch(body):
        return _gauge(body, False, written, what)
    if area := _AREA.fullmatch(body):
        return _metric(float(read_decimal(area["area"], what, written)), written, what)
    if strands := _STRANDS.fullmatch(body):
        return _strands(int(strands["count"]), strands["strand"], written, what)
    if width := _WIDTH.fullmatch(body):
        mm = f"{float(read_decimal(width['width'], what, written)):g}"
        copper = f" (about {_AUTO_6_MM2} mm2)" if mm == "6" else ""
        raise refuse(
            what,
            written,
            f"leaves open whether it is {mm} mm2 of copper or a {mm} mm outside-diameter reel{copper}",
            f"{mm} mm2, or the copper area that the reel's maker gives",
        )
    if re.fullmatch(DECIMAL, body):
        raise refuse(what, written, "does not say in which system of sizes", _systems(body))
    if _DATE.fullmatch(body) and (_MONTH.search(body) or re.fullmatch(r"[0-9][0-9/.: t-]*", body)):
        raise refuse(what, written, "is a date, which a spreadsheet makes of 10/3", "it in a text column, or in quotes")
    raise refuse(what, written, "cannot be read as a cable", _ACCEPTED)


def _systems(number: str) -> str:
    """Name the systems in which a bare number may have been meant."""
    if number.strip("0") == "":
        return "1/0, 2/0, 3/0 or 4/0 for the thick gauges"
    return f"{number} mm2, {number} AWG or {number} SAE" if number.isdigit() else f"{number} mm2"


def _gauge(name: str, sae: bool, written: str, what: str) -> _Size:
    gauge = gauge_number(name)
    try:
        area_mm2 = sae_area_mm2(gauge) if sae else awg_area_mm2(gauge)
    except ValueError as unknown:
        raise refuse(what, written, f"has no known gauge ({unknown})", "a gauge that is sold") from unknown
    return _Size(area_mm2, "sae" if sae else "awg", f"{gauge_name(gauge)} {'SAE' if sae else 'AWG'}")


def _metric(area_mm2: float, written: str, what: str) -> _Size:
    if not _LEAST_MM2 <= area_mm2 <= _MOST_MM2:
        raise refuse(what, written, f"has {area_mm2:g} mm2", f"{_LEAST_MM2:g} to {_MOST_MM2:g} mm2")
    return _Size(area_mm2, "metric", f"{area_mm2:g} mm2")


def _strands(count: int, strand: str, written: str, what: str) -> _Size:
    diameter_mm = float(read_decimal("0" + strand.lstrip("0"), what, written))
    area_mm2 = strands_area_mm2(count, diameter_mm)
    if not _LEAST_MM2 <= area_mm2 <= _MOST_MM2:
        raise refuse(what, written, f"comes to {area_mm2:.3g} mm2", f"{_LEAST_MM2:g} to {_MOST_MM2:g} mm2")
    return _Size(area_mm2, "strands", f"{count}/0.{re.split('[.,]', strand)[1]}")
