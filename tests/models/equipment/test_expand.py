"""From rows to circuits: what feeds what, which leads come along, and what is left out."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from ribway.models.equipment.expand import Expansion

ExpandIt = Callable[..., Expansion]
HEAD = "Name,Kind,Place,Amps,Board,Circuit,Switch,Zone,Confirmed\n"
POWER = "Battery,house battery,left 0.6 m back 0.3 m up,,,,,,\nBoard,fuse board,left 0.7 m back 0.8 m up,,,,,,\n"


def circuit(found: Expansion, name: str) -> dict[str, Any]:
    (one,) = [entry for entry in found.circuits if entry["id"] == name]
    return one


def device(found: Expansion, name: str) -> dict[str, Any]:
    (one,) = [entry for entry in found.devices if entry["id"] == name]
    return one


def test_three_cells_are_enough(expand_it: ExpandIt) -> None:
    found = expand_it(f"{HEAD}{POWER}Fridge,fridge,right 2 m back 0.6 m up,,,,,,\n")
    assert found.faults == ()
    fridge = device(found, "fridge")
    assert (fridge["kind"], fridge["amps"], fridge["start_amps"], fridge["confirmed"]) == ("load", "6 A", "15 A", False)
    assert circuit(found, "board")["from"] == "battery"
    power = circuit(found, "fridge")
    assert (power["from"], power["to"], power["fuse"]) == ("board", ["fridge"], "15 A")
    assert "drop" not in power  # the shop's class for all that is not critical
    assert {(one["about"], one["what"]) for one in found.assumed} == {
        ("fridge", "amps"),
        ("fridge", "start_amps"),
        ("fridge", "fuse"),
        ("battery", "stud"),
        ("board", "stud"),
    }


def test_what_the_plate_says_goes_before_the_catalogue(expand_it: ExpandIt) -> None:
    found = expand_it(f"{HEAD}{POWER}Fridge,fridge,right 2 m back 0.6 m up,14 A,,,,,yes\n")
    assert (device(found, "fridge")["amps"], device(found, "fridge")["confirmed"]) == ("14 A", True)
    assert "fuse" not in circuit(found, "fridge"), "15 A would not hold 14 A for long"
    assert [one["what"] for one in found.assumed if one["about"] == "fridge"] == ["start_amps"]


@pytest.mark.parametrize(("place", "amps"), [("roof rear", "3 A"), ("roof 2 m back", "")])
def test_a_rough_place_or_an_assumed_current_is_not_confirmed(expand_it: ExpandIt, place: str, amps: str) -> None:
    found = expand_it(f"{HEAD}{POWER}Fan,roof fan,{place},{amps},,,,,yes\n")
    assert device(found, "fan")["confirmed"] is False


def test_lights_of_one_wall_behind_a_switch_are_one_chain(expand_it: ExpandIt) -> None:
    rows = "".join(
        f"Lamp {n},light,roof {back} m back,,,,Door switch,,\n" for n, back in ((1, 3.4), (2, 0.7), (3, 2.0))
    )
    found = expand_it(f"{HEAD}{POWER}Door switch,light switch,right 1.7 m back 1.2 m up,,,,,,\n{rows}")
    chain = circuit(found, "door-switch.lights")
    assert chain["pattern"] == "switched chain"
    assert chain["to"] == ["door-switch", "lamp-3", "lamp-2", "lamp-1"], "always on to the nearest that is left"
    assert found.unplanned == ()


def test_lights_of_two_walls_without_a_switch_are_two_chains(expand_it: ExpandIt) -> None:
    rows = "A,light,roof 1 m back,,,,,,\nB,light,roof 2 m back,,,,,,\nC,light,left 2 m back 1.4 m up,,,,,,\n"
    found = expand_it(f"{HEAD}{POWER}{rows}D,light,left 3 m back 1.4 m up,,,,,galley,\n")
    assert circuit(found, "roof.lights")["to"] == ["a", "b"]
    assert circuit(found, "left.lights")["to"] == ["c"]
    assert circuit(found, "galley.lights")["to"] == ["d"]


def test_a_light_switch_that_no_row_names_is_guessed_and_said(expand_it: ExpandIt) -> None:
    rows = (
        "S,light switch,right 1.7 m back 1.2 m up,,,,,,\n"
        "A,light,roof 1 m back,,,,,,\nB,reading light,right 2 m back 1.3 m up,,,,,,\n"
    )
    found = expand_it(HEAD + POWER + rows)
    assert circuit(found, "s.lights")["to"] == ["s", "a"]
    assert circuit(found, "right.lights")["to"] == ["b"], "a reading light has a switch of its own"
    assert [(one["about"], one["value"]) for one in found.assumed if one["what"] == "switch"] == [("a", "s")]


def test_a_pump_behind_its_switch(expand_it: ExpandIt) -> None:
    found = expand_it(
        f"{HEAD}{POWER}Tap switch,switch,right 2 m back 1 m up,,,,,,\n"
        f"Pump,pump,right 3 m back 0.5 m up,,,,Tap switch,,\n"
    )
    pump = circuit(found, "pump.on")
    assert (pump["to"], pump["pattern"], pump["fuse"]) == (["tap-switch", "pump"], "switched chain", "15 A")


@pytest.mark.parametrize(
    ("rows", "said", "pattern", "to"),
    [
        (
            "S1,two-way switch,left 0.9 m back 1.2 m up,,,,,,\nS2,two-way switch,right 3 m back 1.2 m up,,,,,,\n",
            "S1 + S2", "two-way", ["s1", "s2", "lamp-1", "lamp-2"],
        ),
        ("D,dimmer,left 0.9 m back 1.2 m up,,,,,,\n", "D", "dimmer", ["d", "lamp-1", "lamp-2"]),
        (
            "K,relay,left 0.9 m back 0.5 m up,,,,T,,\nT,switch,right 1 m back 1.2 m up,,,,,,\n",
            "K", "relay", ["k", "t", "lamp-1", "lamp-2"],
        ),
    ],
)  # fmt: skip
def test_the_switch_column_says_the_pattern(
    expand_it: ExpandIt, rows: str, said: str, pattern: str, to: list[str]
) -> None:
    lamps = "".join(f"Lamp {n},light,roof {n} m back,,,,{said},,\n" for n in (1, 2))
    found = expand_it(HEAD + POWER + rows + lamps)
    assert found.faults == ()
    (lights,) = [one for one in found.circuits if "lamp-1" in one["to"]]
    assert (lights["pattern"], lights["to"]) == (pattern, to)


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ("K,relay,left 1 m back 0.5 m up,,,,,,\nA,light,roof rear,,,,K,,\n", "nothing switches the relay K"),
        (
            "K,relay,left 1 m back 0.5 m up,,,,T,,\nT,switch,left 1 m back 1 m up,,,,,,\n"
            "A,light,roof rear,,,C1,K,,\nFan,small fan,left 2 m back 0.5 m up,,,C1,,,\n",
            "what hangs behind K needs a circuit of its own",
        ),
    ],
)
def test_relays_that_cannot_be_wired_are_refused(expand_it: ExpandIt, rows: str, words: str) -> None:
    found = expand_it(HEAD + POWER + rows)
    assert [words in str(fault) for fault in found.faults] == [True]


def test_alarms_must_always_have_power(expand_it: ExpandIt) -> None:
    found = expand_it(f"{HEAD}{POWER}Alarm,CO alarm,roof front,,,,,,\nFan,small fan,roof rear,,,,,,\n")
    assert device(found, "alarm")["supply"] == "always"
    assert "supply" not in device(found, "fan")
    assert ("alarm", "supply") in {(one["about"], one["what"]) for one in found.assumed}


def test_one_circuit_of_several_switches_states_its_runs(expand_it: ExpandIt) -> None:
    rows = (
        "S1,switch,left 1.5 m back 1.2 m up,,,,,,\nS2,switch,left 3 m back 1.2 m up,,,,,,\n"
        "A,work light,left 3.4 m back 1.4 m up,,,C7,S1,,\nB,work light,right 3.4 m back 1.4 m up,,,C7,S2,,\n"
        "Fan,small fan,left 2 m back 0.5 m up,,,C7,,,\n"
    )
    found = expand_it(HEAD + POWER + rows)
    assert circuit(found, "C7")["pattern"] == "stated"
    assert [(run["from"], run["to"]) for run in found.runs] == [
        ("board", "s1"),
        ("s1", "a"),
        ("board", "s2"),
        ("s2", "b"),
        ("board", "fan"),
    ]


def test_what_names_no_board_hangs_on_the_nearest(expand_it: ExpandIt) -> None:
    rows = (
        "Rear board,sub-board,left 3 m back 0.8 m up,,,,,,\n"
        "Fan,fan,roof 3.2 m back,,,,,,\nUSB,USB,left 3.2 m back 1 m up,,Board,,,,\n"
    )
    found = expand_it(HEAD + POWER + rows)
    assert circuit(found, "fan")["from"] == "rear-board"
    assert circuit(found, "usb")["from"] == "board"
    assert circuit(found, "rear-board")["from"] == "board"
    assert [one["value"] for one in found.assumed if (one["about"], one["what"]) == ("fan", "board")] == ["rear-board"]


def test_main_fuse_isolator_and_shunt_sit_in_line(expand_it: ExpandIt) -> None:
    rows = "".join(f"{name},{name},left 0.6 m back 0.5 m up,,,,,,\n" for name in ("shunt", "main fuse", "isolator"))
    found = expand_it(HEAD + POWER + rows)
    feed = circuit(found, "board.feed")
    assert (feed["from"], feed["to"], feed["pattern"]) == (
        "battery",
        ["main-fuse", "isolator", "shunt", "board"],
        "chain",
    )


def test_a_heater_brings_its_leads_and_says_which_lead_nowhere(expand_it: ExpandIt) -> None:
    rows = (
        "Heater,diesel heater,left rear low,,,,,,\n"
        "Panel,heater panel,left middle high,,,,,,\nPump,fuel pump,floor rear left,,,,,,\n"
    )
    found = expand_it(HEAD + POWER + rows)
    assert (circuit(found, "panel.control")["kind"], circuit(found, "panel.control")["from"]) == ("data", "heater")
    assert circuit(found, "pump.fuel-pump")["to"] == ["pump"]
    (left_out,) = found.unplanned
    assert (left_out["about"], left_out["lead"]) == ("heater", "sensor")
    assert "heater sensor" in left_out["why"]


def test_each_panel_belongs_to_its_nearest_heater_unless_its_row_says_otherwise(expand_it: ExpandIt) -> None:
    rows = (
        "H1,diesel heater,left 3.4 m back 0.3 m up,,,,,,\nH2,diesel heater,right 3.4 m back 0.6 m up,,,,,,\n"
        "P1,heater panel,left 2 m back 1.3 m up,,,,,,\nP2,heater panel,left 2.1 m back 1.3 m up,,H2,,,,\n"
    )
    found = expand_it(HEAD + POWER + rows)
    assert circuit(found, "p1.control")["from"] == "h1"
    assert circuit(found, "p2.control")["from"] == "h2"


def test_a_panel_without_its_heater_is_named(expand_it: ExpandIt) -> None:
    found = expand_it(f"{HEAD}{POWER}Panel,heater panel,left middle high,,,,,,\n")
    (left_out,) = found.unplanned
    assert "fuel air heater or combined water and air heater" in left_out["why"]


def test_a_charger_between_two_batteries(expand_it: ExpandIt) -> None:
    found = expand_it(
        f"{HEAD}{POWER}Engine,starter battery,bulkhead low,,,,,,\n"
        f"Booster,Ladebooster 30 A,left 0.6 m back 0.6 m up,,,,,,\n"
    )
    out, into = circuit(found, "booster"), circuit(found, "booster.input")
    assert (out["from"], out["to"], out["load_can_feed"]) == ("battery", ["booster"], True)
    assert (into["from"], into["to"]) == ("engine", ["booster"])
    assert circuit(found, "booster.temperature")["kind"] == "data"
    assert {one["lead"] for one in found.unplanned} == {"ignition", "data"}


def test_solar_goes_from_the_panel_to_the_controller_to_the_battery(expand_it: ExpandIt) -> None:
    found = expand_it(
        f"{HEAD}{POWER}Panel,solar panel,roof front,,,,,,\nMPPT,solar controller 15 A,left 0.6 m back 0.6 m up,,,,,,\n"
    )
    assert (circuit(found, "panel")["from"], circuit(found, "panel")["to"], circuit(found, "panel")["volts"]) == (
        "panel",
        ["mppt"],
        "18 V",
    )
    assert circuit(found, "mppt")["from"] == "battery"


def test_mains_come_from_the_inlet_through_the_board(expand_it: ExpandIt) -> None:
    rows = (
        "Inlet,shore inlet,right rear low,,,,,,\n"
        "RCD,AC board,right 3.4 m back 1.2 m up,,,,,,\nSocket,230 V socket,left 2 m back 0.8 m up,,,,,,\n"
    )
    found = expand_it(HEAD + POWER + rows)
    assert (circuit(found, "rcd")["kind"], circuit(found, "rcd")["from"]) == ("ac", "inlet")
    assert (circuit(found, "socket")["kind"], circuit(found, "socket")["from"]) == ("ac", "rcd")


@pytest.mark.parametrize(
    ("rows", "place", "words"),
    [
        (
            f"{POWER}Fan,fan,roof rear,,Bord,,,,\n",
            "row 4, column Board",
            "there is no board Bord in the sheet: did you mean Board?",
        ),
        (
            f"{POWER}Lamp,light,roof rear,,,,Bord,,\n",
            "row 4, column Switch",
            "there is no switch Bord in the sheet: there are none",
        ),
        (f"{POWER}Lamp,light,roof rear,,,,Board,,\n", "row 4, column Switch", "Board is no switch"),
        (f"{POWER}Thing,instrument,left 1 m back 1 m up,,,,,,\n", "row 4, column Amps", "no usual current"),
        (
            "Fan,fan,roof rear,,,,,,\n",
            "row 2, column Board",
            "nothing in the sheet to feed Fan from: add a row of kind fuse board",
        ),
        (
            f"{POWER}Rear,sub-board,left 3 m back 1 m up,,,,,,\n"
            f"A,fan,roof rear,,Board,C1,,,\nB,fan,roof rear,,Rear,C1,,,\n",
            "row 6, column Board",
            "its rows name the boards Board and Rear",
        ),
        (
            f"{POWER}A,fan,roof rear,,,usb,,,\nB,fan,roof rear,,,usb,,,\nUSB 1,USB,left middle,,,,,,\n",
            "row 4, column Circuit",
            "both have a cable called usb-1",
        ),
    ],
)
def test_what_cannot_be_wired_is_named_with_its_row(expand_it: ExpandIt, rows: str, place: str, words: str) -> None:
    (fault,) = expand_it(HEAD + rows).faults
    assert fault.place == place
    assert words in fault.message


def test_the_order_of_the_rows_changes_no_id_and_no_circuit(expand_it: ExpandIt) -> None:
    rows = [
        *POWER.splitlines(),
        "Heater,diesel heater,left rear low,,,,,,",
        "Panel,heater panel,left middle high,,,,,,",
        "Lamp 1,light,roof front,,,,,,",
        "Lamp 2,light,roof rear,,,,,,",
        "Fan,fan,roof middle,,,,,,",
    ]
    one = expand_it(HEAD + "\n".join(rows) + "\n")
    other = expand_it(HEAD + "\n".join(reversed(rows)) + "\n")
    for group in ("devices", "circuits"):
        by_id = [{entry["id"]: entry for entry in getattr(found, group)} for found in (one, other)]
        assert by_id[0] == by_id[1]


def test_changing_one_row_changes_that_device_and_its_circuit_only(expand_it: ExpandIt) -> None:
    rows = (
        f"{HEAD}{POWER}Fan,fan,roof middle,,,,,,\nLamp 1,light,roof front,,,,,,\n"
        f"Lamp 2,light,roof rear,,,,,,\nUSB,USB,left middle high,,,,,,\n"
    )
    before = expand_it(rows)
    after = expand_it(rows.replace("Fan,fan,roof middle,", "Fan,fan,roof front left,2 A"))
    changed = [a["id"] for a, b in zip(before.devices, after.devices, strict=True) if a != b]
    assert changed == ["fan"]
    assert before.circuits == after.circuits
