"""A slow, plain reading of the sizing rules for tests. Shares no code and no table with what it checks.

Formulas: R = R20 (1 + 0.00393 (T - 20)) (IEC 60028); R20 from IEC 60228 class 5, NEC 2020 Table 8 brought to 20 C,
SAE J1127/J1128 areas; amps from 33 CFR 183.425 Table 5 and its note 2, NEC 310.15; least sizes ISO 10133 and 33 CFR
183.425; fuse window load x 1.25 (common practice) to 100 % or 150 % (33 CFR 183.455). Values: tests/data/checks.
"""

import csv
import math
from pathlib import Path

CHECKS = Path(__file__).parents[1] / "data" / "checks"
CLAD = 0.02743 / 0.017241  # copper-clad aluminium, ASTM B566 class 10A (memory) over IEC 60028
CMIL = math.pi / 4 * 0.0254**2


def read(name):
    with (CHECKS / f"{name}.csv").open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


IEC = [(float(row["area_mm2"]), float(row["class5_max_ohm_per_km_20c"]) / 1e3) for row in read("iec60228")]
GAUGES = {row["awg"]: row for row in read("awg")}
AMPS = {row["awg"]: row for row in read("allowable_amperage_33cfr183")}
COLUMNS = [60, 75, 80, 90, 105, 125, 200]
BLADE = [1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 35, 40]  # ISO 8820-3
BOLTED = [50, 60, 70, 80, 100, 125, 150, 175, 200, 225, 250, 300, 350, 400, 450, 500]  # common practice, no source


def standard_mm2(name):
    """ASTM B258."""
    n = {"1/0": 0, "2/0": -1, "3/0": -2, "4/0": -3}.get(name)
    return math.pi / 4 * (0.127 * 92 ** ((36 - (int(name) if n is None else n)) / 39)) ** 2


AREAS = [(gauge, standard_mm2(gauge)) for gauge in ["22", "20", *AMPS]]


def copper_mm2(wire):
    if wire["system"] == "sae":
        return float(GAUGES[wire["name"]]["sae_j1127_j1128_cmil"]) * CMIL
    return wire["area"]


def ohm_per_m(wire, celsius):
    if wire["system"] == "metric":
        thin = [ohm for area, ohm in IEC if area <= wire["area"]]
        exact = [ohm for area, ohm in IEC if area == wire["area"]]
        below = [area * ohm for area, ohm in IEC if area < wire["area"]][-1:]
        above = [area * ohm for area, ohm in IEC if area > wire["area"]][:1]
        r20 = exact[0] if exact else min([*thin[-1:], max(below + above) / wire["area"]])
    else:
        row = GAUGES[wire["name"]]
        r20 = float(row["nec_table8_ohm_per_kft_75c"]) / 304.8 / (1 + 0.00393 * 55)
        r20 *= standard_mm2(wire["name"]) / copper_mm2(wire)
    if wire.get("clad"):
        return r20 * CLAD * (1 + 0.00405 * (celsius - 20))
    return r20 * (1 + 0.00393 * (celsius - 20))


def base_amps(gauge, column):
    if gauge in AMPS:
        return float(AMPS[gauge][f"insulation_{column}c_a"])
    # Ours, caution: the step 16 to 18 AWG of the same column once or twice more, rounded down, not above a hotter one.
    steps = {"20": 1, "22": 2}[gauge]
    return min(
        math.floor(base_amps("18", hot) * (base_amps("18", hot) / base_amps("16", hot)) ** steps)
        for hot in COLUMNS
        if hot >= column
    )


def derated_amps(wire, stretches, bundle):
    copper = copper_mm2(wire) / (CLAD if wire.get("clad") else 1) * (1 + 1e-12)
    fitting = [gauge for gauge, area in AREAS if area <= copper]
    if not fitting:
        return 0.0
    base = base_amps(fitting[-1], max(column for column in COLUMNS if column <= wire["insulation"]))
    answers = []
    for air, count in stretches:
        factor = 1.0
        if air > 30:
            top = 35
            while top < air:
                top += 5
            factor = math.sqrt(max(0.0, (wire["insulation"] - top) / (wire["insulation"] - 30)))
        if bundle == "33CFR183":
            factor *= 1 if count < 3 else 0.7 if count < 4 else 0.6 if count < 7 else 0.5 if count < 25 else 0.4
        elif bundle == "NEC":
            steps = [(41, 0.35), (31, 0.4), (21, 0.45), (10, 0.5), (7, 0.7), (4, 0.8), (0, 1)]
            factor *= next(share for least, share in steps if count >= least)
        answers.append(base * factor)
    return min(answers)


def worst_drop(legs, ohm, before, kind):
    """Each node: every earlier load pushes its current through all the wire it shares with this one."""
    worst = 0.0
    for node in range(len(legs)):
        lost = before + legs[node]["beyond_" + kind]
        for load in range(len(legs)):
            for piece in range(min(node, load) + 1):
                leg = legs[piece]
                back = leg["cut"] * ohm if leg["return_ohm"] is None else leg["return_ohm"]
                lost += legs[load][kind] * (leg["cut"] * ohm + back + leg["extra"])
        worst = max(worst, lost)
    return worst


def fine(wire, want, rules):
    """Whether a wire keeps every limit of a demand."""
    eps = 1e-9
    least = {"ISO10133": (1.0, 0.75), "33CFR183": (1.308, 0.823)}[rules["least"]][1 if wire["sheath"] else 0]
    if copper_mm2(wire) / (CLAD if wire.get("clad") else 1) < max(least, want["least"]):
        return False
    may = derated_amps(wire, want["stretches"], rules["bundle"])
    through = sum(leg["run"] for leg in want["legs"])
    if through > may * (1 + eps):
        return False
    if want["fused"]:
        load = 1.25 * max(through, want["circuit"])
        if want["fuse"] is not None:
            fuse = want["fuse"]
        else:
            fuse = next((rating for rating in BLADE + BOLTED if rating >= load * (1 - eps)), math.inf)
        if fuse < load * (1 - eps) or fuse > may * (1.5 if rules["window"] == "33CFR183-150" else 1.0) * (1 + eps):
            return False
        if want["maker"] and want["maker"]["fuse"] is not None and fuse > want["maker"]["fuse"] * (1 + eps):
            return False
    if not ends_fine(wire, want, through):
        return False
    celsius = wire["insulation"] if want["celsius"] is None else want["celsius"]
    ohm = ohm_per_m(wire, max([celsius] + [air for air, _ in want["stretches"]]))
    for kind in ("run", "start"):
        limit = want["limit_" + kind]
        if limit is not None:
            lost = worst_drop(want["legs"], ohm, want["upstream_" + kind] + want["fixed"], kind)
            if lost > limit / 100 * want["nominal"] * (1 + eps):
                return False
    if want["maker"] and want["maker"]["drop"] is not None:
        lost = worst_drop(want["legs"], ohm, want["upstream_run"] + want["fixed"], "run")
        return lost <= want["maker"]["drop"] * (1 + eps)
    return True


def ends_fine(wire, want, through):
    """The maker's table of areas by length one way, and what terminals and plugs take."""
    if want["maker"] and want["maker"]["areas"]:
        length = sum(leg["cut"] for leg in want["legs"])
        rows = [area for up_to, area in want["maker"]["areas"] if length <= up_to]
        if not rows or counts_as(wire) < rows[0]:
            return False
    for end in want["ends"]:
        most_mm2, least_mm2, most_a = end
        if wire["area"] < least_mm2 or (most_mm2 is not None and wire["area"] > most_mm2):
            return False
        if most_a is not None and through > most_a * (1 + 1e-9):
            return False
    return True


def counts_as(wire):
    """AWG wire stated within 1 % of its size goes by its name; clad wire by the copper that conducts as well."""
    area = standard_mm2(wire["name"]) if wire["system"] == "awg" else copper_mm2(wire)
    return area / (CLAD if wire.get("clad") else 1)
