"""The starter catalogue: its values against the list they come from, and what its loader refuses."""

from __future__ import annotations

import csv
from importlib.resources import files
from pathlib import Path

import pytest

from ribway.models.amounts import parse_amps
from ribway.models.catalogue.kinds import CatalogueKind
from ribway.models.catalogue.loading import load_catalogue, read_catalogue

CHECKS = Path(__file__).parents[2] / "data" / "checks" / "starter_catalogue.csv"
ROWS = list(csv.DictReader(CHECKS.read_text(encoding="utf-8").splitlines()))
FOLDER = files("ribway.models.catalogue")
KINDS = (FOLDER / "kinds.csv").read_text(encoding="utf-8")
LEADS = (FOLDER / "leads.csv").read_text(encoding="utf-8")


@pytest.mark.parametrize("row", ROWS, ids=[row["kind"] for row in ROWS])
def test_currents_and_leads_are_those_of_the_list(row: dict[str, str]) -> None:
    """Source: common practice, no source, in the list's own words; what is taken is the greatest usual current."""
    kind = load_catalogue().kinds[row["kind"]]
    assert parse_amps(kind.amps_low) == float(row["amps_low"])
    assert parse_amps(kind.amps) == float(row["amps_high"])
    assert (parse_amps(kind.start_amps) if kind.start_amps else None) == (
        float(row["start_high"]) if row["start_high"] else None
    )
    names = {lead.name for lead in kind.leads}
    assert set(filter(None, row["leads"].split("|"))) <= names


def test_the_inverters_currents_follow_from_their_watts() -> None:
    """Watts over efficiency times battery voltage: 0.9 at 12.6 V at best, 0.85 at 11 V at worst."""
    for watts in (300, 1000, 2000, 3000):
        kind = load_catalogue().kinds[f"inverter {watts} W"]
        assert parse_amps(kind.amps) == pytest.approx(watts / (0.85 * 11.0), abs=0.6)
        assert parse_amps(kind.amps_low) == pytest.approx(watts / (0.90 * 12.6), abs=0.8)
        assert parse_amps(kind.start_amps) == 2 * parse_amps(kind.amps)


def test_every_value_says_that_it_has_no_source() -> None:
    assert {kind.source for kind in load_catalogue().kinds.values()} == {
        "common practice, no source; confirm on the plate"
    }


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("Fridge", "compressor fridge"),
        ("kuehlschrank", None),
        ("KÜHLSCHRANK", "compressor fridge"),
        ("réfrigérateur", "compressor fridge"),
        ("refrigerateur", "compressor fridge"),
        ("nevera", "compressor fridge"),
        ("Standheizung", "fuel air heater"),
        ("usb_c socket", "USB-C socket"),
        ("Lichtschalter", "light switch"),
        ("zonnepaneel", "solar panel"),
        ("inverter", "inverter"),
        ("frostbite", None),
    ],
)
def test_people_call_things_by_many_names(text: str, kind: str | None) -> None:
    found = load_catalogue().find(text)
    assert (found.name if found else None) == kind


@pytest.mark.parametrize(
    ("text", "kind"), [("comprssor fridge", "compressor fridge"), ("Kühlschrnk", "compressor fridge"), ("qqqq", None)]
)
def test_a_misspelt_name_finds_the_nearest_kind(text: str, kind: str | None) -> None:
    assert load_catalogue().nearest(text) == kind


def test_a_generic_name_takes_the_greatest_of_its_family() -> None:
    """A cable that is thicker than needed is no danger; which size it really is, the user says."""
    catalogue = load_catalogue()
    for name in ("solar controller", "shore charger", "engine charger", "inverter-charger"):
        kind = catalogue.find(name)
        assert kind is not None
        family = [one for one in catalogue.kinds.values() if one.family == kind.family]
        assert len(family) > 1
        assert parse_amps(kind.amps) == max(parse_amps(one.amps) for one in family)


def test_plate_values_are_compulsory_where_no_usual_one_makes_sense() -> None:
    plates = {kind.name for kind in load_catalogue().kinds.values() if kind.plate}
    assert {"instrument", "other", "inverter"} <= plates


def changed(text: str, old: str, new: str) -> str:
    assert old in text
    return text.replace(old, new, 1)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("compressor fridge,load,,3 A,6 A,15 A", "compressor fridge,load,,7 A,6 A,15 A", "amps go from 7 A to 6 A"),
        ("compressor fridge,load,,3 A,6 A,15 A", "compressor fridge,load,,3 A,6 A,5 A", "starts with 5 A"),
        ("compressor fridge,load,", "compressor fridge,lod,", "device is 'lod'"),
        ("compressor fridge,load,,3 A", "compressor fridge,load,,3", "has no unit"),
        ("roof fan,load", "fume fan,load", "stands twice"),
        ("|Dachlüfter|", "|Kühlbox|", "'Kühlbox' names compressor fridge too"),
        ("kind,device", "kind,thing", "the header is"),
    ],
)
def test_a_wrong_row_is_refused_with_its_line(old: str, new: str, words: str) -> None:
    with pytest.raises(ValueError, match=r"kinds\.csv") as refusal:
        read_catalogue(changed(KINDS, old, new), LEADS)
    assert words in str(refusal.value)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("radio,aerial,data,out,aerial,", "radio,aerial,data,out,arial,", "no kind or family 'arial'"),
        ("camera,video,data,out,screen;control panel,one,19/0.18", "camera,video,data,out,screen,one,", "its cable"),
        ("camera,reverse,signal,in,ignition signal,by hand", "camera,reverse,signal,in,ignition signal,one", "by hand"),
        ("camera,reverse,", "camera,reversing lights,", "1 to 11 signs"),
    ],
)
def test_a_wrong_lead_is_refused_with_its_line(old: str, new: str, words: str) -> None:
    with pytest.raises(ValueError, match=r"leads\.csv, line") as refusal:
        read_catalogue(KINDS, changed(LEADS, old, new))
    assert words in str(refusal.value)


def test_every_fed_kind_has_one_feed_that_comes_in_or_is_the_solar_panel() -> None:
    def fed(kind: CatalogueKind) -> bool:
        return kind.pattern in ("home", "switched chain", "with switch")

    for kind in load_catalogue().kinds.values():
        assert (kind.feed is not None) == fed(kind), kind.name
        if kind.feed is not None:
            assert (kind.feed.way == "out") == (kind.name == "solar panel")
