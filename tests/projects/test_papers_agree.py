"""Every list of a plan says the same of a run: number, ends, cable, length, openings, fuse; and its sums are those of its rows.

What is compared are the CSV files as they are written, each held against the wire list, and that against the plan.
"""

from __future__ import annotations

import csv
import io
import re
from collections import Counter, defaultdict

import pytest

from ribway.models.plan.plan import Plan
from ribway.models.rates.rates import Rates
from ribway.sheets.catalogue import PAPERS, all_files
from ribway.sheets.paper.wishes import Wishes

Rows = list[dict[str, str]]
Lists = dict[str, Rows]


def _lists(plan: Plan) -> Lists:
    cables = dict.fromkeys(run.cable for run in plan.runs)
    rates = Rates.model_validate({"reels": [{"cable": one, "length": "100 m", "price": 50.0} for one in cables]})
    files = all_files(plan, Wishes(rates=rates), PAPERS, ("csv",))
    return {name.removesuffix(".csv"): list(csv.DictReader(io.StringIO(data.decode("utf-8")))) for name, data in files}


@pytest.fixture(scope="module", params=["survey_plan", "inch_plan"])
def plan(request: pytest.FixtureRequest) -> Plan:
    """A demo, planned."""
    found = request.getfixturevalue(request.param)
    assert isinstance(found, Plan)
    return found


@pytest.fixture(scope="module")
def lists(plan: Plan) -> Lists:
    """Every CSV file of its papers, with reels priced so that they are cut too."""
    return _lists(plan)


@pytest.fixture(scope="module")
def wires(lists: Lists) -> dict[str, dict[str, str]]:
    """The wire list by run."""
    return {row["run"]: row for row in lists["wire-list"]}


def plain(text: str) -> str:
    """A cell without what only print needs: no-break spaces, the mark of assumed values, a real square sign."""
    return text.replace("\xa0", " ").replace("*", "").replace("²", "2")


def names(text: str) -> list[str]:
    """A list of names in a cell."""
    return [one for one in re.split(r"[;,] ", plain(text)) if one]


def own(run: str) -> str:
    """The run of a piece: ``M1`` of ``M1 +``."""
    return run.split(" ")[0]


def test_the_wire_list_is_the_plans(plan: Plan, wires: dict[str, dict[str, str]]) -> None:
    assert list(wires) == [run.id for run in plan.runs]
    for run in plan.runs:
        row = wires[run.id]
        assert (row["from"], row["to"], int(row["pieces"])) == (run.from_, run.to, run.pieces)
        assert (float(row["cut_m"]), float(row["one_way_m"])) == (run.cut_m, run.one_way_m)
        assert names(row["openings"]) == list(run.openings)


@pytest.mark.parametrize(
    ("name", "key", "every"),
    [
        ("cut-list", "run", True), ("lengths", "run", True), ("labels", "run", True),
        ("pull-plan", "run", True), ("as-run", "run", True), ("drop-sheet", "run", False), ("sizes", "run", False),
        ("test-sheet", "run", False), ("ac-routes", "run", False), ("spares", "spare", False), ("leads", "run", False),
    ],
)  # fmt: skip
def test_each_list_has_the_wire_lists_runs(
    name: str, key: str, every: bool, lists: Lists, wires: dict[str, dict[str, str]]
) -> None:
    listed = {own(row[key]) for row in lists[name] if row[key]}
    assert listed == set(wires) if every else listed <= set(wires)


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("cut-list", "run"),
        ("lengths", "run"),
        ("labels", "run"),
        ("ac-routes", "run"),
        ("spares", "spare"),
    ],
)
def test_a_run_is_cut_to_one_length(name: str, key: str, lists: Lists, wires: dict[str, dict[str, str]]) -> None:
    for row in lists[name]:
        cut_m = float(wires[own(row[key])]["cut_m"])
        assert float(row["cut_m"]) == pytest.approx(cut_m, abs=1e-9)
        assert float(row["cut_m"]) >= cut_m - 1e-9, "what is really cut is never shorter"


def test_every_piece_has_two_labels_and_its_two_ends(lists: Lists, wires: dict[str, dict[str, str]]) -> None:
    labels = defaultdict(list)
    for row in lists["labels"]:
        labels[own(row["run"])].append(row)
    for run, row in wires.items():
        assert Counter(one["end"] for one in labels[run]) == {"A": int(row["pieces"]), "B": int(row["pieces"])}
        for one in labels[run]:
            ends = (row["from_name"], row["to_name"])
            assert (one["here"], one["there"]) == (ends if one["end"] == "A" else ends[::-1])
            assert plain(one["way"]) == plain(row["from_way" if one["end"] == "A" else "to_way"])
            assert plain(one["size"]) == row["cable"]
    pieces = sum(int(row["pieces"]) for row in wires.values())
    assert [row["amount"] for row in lists["shopping-parts"] if row["part"] == "labels"] == [str(2 * pieces)]
    assert Counter(own(row["run"]) for row in lists["cut-list"]) == {
        run: int(row["pieces"]) for run, row in wires.items()
    }


def test_a_circuit_has_one_fuse(lists: Lists, wires: dict[str, dict[str, str]]) -> None:
    circuits = {row["circuit"]: row for row in lists["circuits"]}
    mapped = defaultdict(list)
    for row in lists["fuse-map"]:
        mapped[row["circuit"]].append(row)
    needed: Counter[str] = Counter()
    for circuit, row in circuits.items():
        if row["kind"] != "dc" or not row["fuse_a"]:
            continue
        own_fuses = [one for one in mapped[circuit] if one["part"].split(":")[0] == row["fed_from"]]
        assert [float(one["fuse_a"]) for one in own_fuses] == [float(row["fuse_a"])]
        (fuse,) = (one for one in lists["fuses"] if one["circuit"] == circuit)
        assert names(fuse["fuse"])[0].split(" ")[0] == f"{float(row['fuse_a']):g}"
        for one in mapped[circuit]:
            needed[f"{float(one['fuse_a']):g} A"] += 1
        for one in lists["labels"]:
            if own(one["run"]) in names(row["runs"]):
                assert plain(one["fuse"]) == f"{float(row['fuse_a']):g} A"
        for one in lists["as-run"]:
            if one["circuit"] == circuit:
                assert plain(one["fuse"]).split(" ")[0] == f"{float(row['fuse_a']):g}"
    bought: Counter[str] = Counter()
    for one in lists["shopping-parts"]:
        if "fuse" in one["part"]:
            bought[one["size"]] += int(one["amount"]) - one["for"].count("1 to spare")
    assert bought == needed


def test_runs_on_a_way_are_those_that_end_there(lists: Lists, wires: dict[str, dict[str, str]]) -> None:
    for row in lists["fuse-map"]:
        box = row["part"].split(":")[0]
        for run in names(row["runs"]) if row["circuit"] != "–" else ():
            ends = {wires[run]["from_name"]: wires[run]["from_way"], wires[run]["to_name"]: wires[run]["to_way"]}
            assert wires[run]["circuit"] == row["circuit"]
            assert plain(ends[box]) in ("", f"way {row['way']}")


def test_a_run_passes_the_same_openings_everywhere(lists: Lists, wires: dict[str, dict[str, str]]) -> None:
    there = {row["opening"]: set(names(row["runs"])) for row in lists["openings"]}
    for opening, runs in there.items():
        assert runs == {run for run, row in wires.items() if opening in names(row["openings"])}
    for name in ("holes-to-check", "hole-stickers"):
        for row in lists[name]:
            assert set(names(row["runs"])) == there[row["hole" if "hole" in row else "opening"]]
    for row in lists["pull-plan"]:
        if not row["run"]:
            continue
        wire = wires[row["run"]]
        passed = [one.split(" ")[0] for one in names(row["openings"]) if one != "none"]
        assert {row["feed_at"], row["pull_at"]} == {wire["from_name"], wire["to_name"]}
        forth = names(wire["openings"])
        assert passed == (forth if row["feed_at"] == wire["from_name"] else forth[::-1])
    for row in lists["as-run"]:
        passed = [re.sub(r" \(.*\)", "", one) for one in names(row["openings"]) if one != "none"]
        assert passed == names(wires[row["run"]]["openings"])


def test_metres_pieces_and_copper_add_up(plan: Plan, lists: Lists, wires: dict[str, dict[str, str]]) -> None:
    metres: defaultdict[str, float] = defaultdict(float)
    pieces: Counter[str] = Counter()
    copper_kg = 0.0
    for row in wires.values():
        metres[row["cable"]] += float(row["cut_m"]) * int(row["pieces"])
        pieces[row["cable"]] += int(row["pieces"])
        copper_kg += (  # 8.96 g/cm3: ISO 1553 copper, 8.96 g for each metre of 1 mm2
            8.96e-3 * float(row["cut_m"]) * float(row["conductor_mm2"] or 0) * int(row["conductors_in_all_pieces"])
        )
    for row in lists["shopping-cable"]:
        cable = plain(row["cable"])
        assert float(row["cut_m"]) == pytest.approx(metres[cable], abs=0.0064 * pieces[cable])
        assert float(row["cut_m"]) >= metres[cable] - 1e-6
        assert int(row["pieces"]) == pieces[cable]
    costs = lists["costs"]
    assert float(costs[-1]["copper_kg"]) == pytest.approx(sum(float(row["copper_kg"]) for row in costs[:-1]), abs=1e-3)
    assert float(costs[-1]["copper_kg"]) == pytest.approx(plan.totals.copper_kg, abs=1e-3)
    assert copper_kg == pytest.approx(plan.totals.copper_kg, rel=0.02), "stock lists give grams a metre rounded"


def test_volts_are_the_same_on_drop_and_test_sheet(lists: Lists) -> None:
    lost = {row["run"]: float(row["volts_running"]) for row in lists["drop-sheet"]}
    checked = 0
    for row in lists["test-sheet"]:
        if row["volts_expected"] and row["run"] in lost:
            checked += 1
            assert float(row["volts_expected"]) == pytest.approx(lost[row["run"]], abs=2e-3)
    assert checked > 5


def test_clips_and_loom_parts_are_the_same_on_every_list(lists: Lists) -> None:
    clips: Counter[str] = Counter()
    for row in lists["loom-sections"]:
        clips[row["loom"]] += int(row["clips"] or 0)
    assert sum(clips.values()) == sum(int(row["amount"]) for row in lists["shopping-parts"] if row["part"] == "clips")
    assert {row["loom"]: int(row["clips"]) for row in lists["looms"]} == {
        row["loom"]: clips[row["loom"]] for row in lists["looms"]
    }
    spans = {row["section"]: float(row["to_m"]) - float(row["from_m"]) for row in lists["loom-sections"]}
    trunks: dict[str, float] = {}
    for row in lists["loom-parts"]:
        assert float(row["long_m"]) == pytest.approx(spans[row["section"]], abs=2e-4)
        if row["ends_along_trunk_m"]:
            trunks[row["loom"]] = float(row["ends_along_trunk_m"])
    assert trunks == {row["loom"]: pytest.approx(float(row["trunk_m"]), abs=2e-4) for row in lists["looms"]}


def test_every_end_of_a_dc_wire_gets_a_lug_or_a_terminal(lists: Lists, wires: dict[str, dict[str, str]]) -> None:
    live = [row for row in wires.values() if row["kind"] == "dc" and row["purpose"] != "spare"]
    ends = sum(2 * int(row["conductors_in_all_pieces"]) for row in live)
    bought = sum(
        int(row["amount"])
        for row in lists["shopping-parts"]
        if row["part"] in ("crimped ring lugs", "crimped terminals")
    )
    lugs = sum(int(row["lugs"]) for row in lists["lugs"])
    asked = sum(int(row["ends"]) for row in lists["terminals"])
    assert bought == ends
    assert lugs + asked == ends
