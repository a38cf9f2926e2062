"""Rows of a sheet: many ways to write the same, and everything wrong with a sheet named at once."""

from __future__ import annotations

import pytest

from ribway.models.amounts import parse_amps
from ribway.models.catalogue.loading import load_catalogue
from ribway.models.equipment.opening import grid_of
from ribway.models.equipment.outline import outline_of
from ribway.models.equipment.place_resolve import resolve
from ribway.models.equipment.reading import read_rows
from ribway.models.equipment.row import EquipmentRow
from ribway.models.lengths import parse_length
from ribway.models.project_faults import Fault, ProjectFaults
from ribway.models.spelling import slug

VAN = outline_of({"preset": "medium-high"})


def read(text: str | bytes) -> tuple[tuple[EquipmentRow, ...], list[Fault]]:
    data = text.encode("utf-8") if isinstance(text, str) else text
    return read_rows(grid_of(data, "e.csv"), load_catalogue())


def faults(text: str | bytes) -> dict[str, str]:
    return {fault.place: fault.message for fault in read(text)[1]}


PLAIN = "Name,Kind,Place,Amps,Confirmed\nFridge,fridge,right 2.05 m back 0.6 m up,4.5,yes\nLamp,light,roof front,,\n"


@pytest.mark.parametrize(
    "text",
    [
        "Kind,Confirmed,Place,Amps,Name\nfridge,x,right 2.05 m back 0.6 m up,4.5,Fridge\nlight,,roof front,,Lamp\n",
        "Name;Art;Ort;Strom;Bestätigt\n"
        "Fridge;Kühlschrank;rechts 2,05 m hinten 0,6 m hoch;4,5;ja\nLamp;Leuchte;Dach vorne;;\n",
        "nom\tgenre\templacement\tintensité\tconfirmé\nFridge\tfrigo\tdroite 2,05 m arrière 0,6 m haut\t4,5 A\toui\n"
        "Lamp\tplafonnier\ttoit avant\t\tnon\n",
        "nombre;tipo;ubicación;corriente (A);confirmado\nFridge;nevera;derecha 2,05 m atrás 0,6 m arriba;4,5;sí\n"
        "Lamp;luz;techo delante;;no\n",
        "naam;soort;plaats;stroom [A];bevestigd\n"
        "Fridge;koelkast;rechts 2,05 m achter 0,6 m hoog;4,5;ja\nLamp;lamp;dak voor;;\n",
        "My van 2026,,,,\n,,,,\nName,Kind,Place,Current,Checked\n# a remark,,,,\n,,,,\n"
        "Fridge,fridge,right 2.05 m back 0.6 m up,4500 mA,true\nLamp,light,roof front,,\n",
        'Name,Kind,Wall,Back (m),Up (mm),Amps,Confirmed,Place\n"Fridge",fridge,right,2.05,600,4.5,1,\n'
        "Lamp,light,,,,,,roof front\n",
        "sep=;\nName;Kind;Place;Amps;Confirmed\n"
        "Fridge;fridge;right 2.05 m back 0.6 m up;4,5;yes\nLamp;light;roof front;;\n",
    ],
    ids=["order", "german", "french tabs", "spanish", "dutch", "title and remarks", "own columns", "sep line"],
)
def test_the_same_two_things_however_they_are_written(text: str) -> None:
    def gist(row: EquipmentRow) -> tuple[object, ...]:
        place = resolve(row.place, None if not row.place.rough else VAN, "same").at
        metres = {key: parse_length(value) if key != "wall" else value for key, value in place.items()}
        return row.name, row.id, row.kind, metres, parse_amps(row.amps) if row.amps else None, row.confirmed

    for data in (text.encode("utf-8"), text.encode("utf-8-sig"), text.encode("cp1252"), text.encode("utf-16")):
        rows, found = read(data)
        assert found == []
        assert [gist(row) for row in rows] == [gist(row) for row in read(PLAIN)[0]]


BAD = """\
Name,Kind,Place,Amps,Watts,Start amps,Stand-off,Drop,Confirmed,Id,Board,Switch
,fridge,left 1 m back 1 m up,,,,,,,,,
12,fridge,left 1 m back 1 m up,,,,,,,,,
Fan,roof fnn,roof rear,,,,,,,,,
Pump,pump,,,,,,,,,,
Heater,heater,rear left hihg,,,,,,,,,
Radio,radio,left 1 m back 1 m up,#REF!,,,,,,,,
Screen,screen,left 1 m back 1 m up,10.05.2025,,,,,,,,
Socket,12 V socket,left 1 m back 1 m up,5 A,60 W,,,,,,,
Router,router,left 1 m back 1 m up,,,strong,,,,,,
Lamp,light,roof rear,,,,thick,,,,,
Spot,light,roof rear,,,,,60 %,,,,
Alarm,CO alarm,roof rear,,,,,,perhaps,,,
Toilet,toilet,left 1 m back 1 m up,,,,,,,1st,,
fan!,small fan,roof rear,,,,,,,,,
Fan!,small fan,roof rear,,,,,,,,,
Valve,gas valve,left 1.2 back 1 m up,,,,,,,,,
Step,step motor,left 1 m back 1 m up,5 kg,,,,,,,,
Drain,drain valve,left 1 m back 1 m up,"1,234 A",,,,,,,,
"""

WANTED = (
    ("row 2, column Name", ("the name is empty",)),
    ("row 3, column Name", ("the number 12", "a name like Fridge")),
    ("row 4, column Kind", ("roof fnn", "did you mean roof fan?")),
    ("row 5, column Place", ("is empty", "left 1.2 m back 0.9 m up")),
    ("row 6, column Place", ("<hihg>", "write high")),
    ("row 7, column Amps", ("#REF!", "mend the formula")),
    ("row 8, column Amps", ("10.05.2025", "4 A, 300 mA or 2 kA")),
    ("row 9, column Watts", ("5 A and 60 W", "not both")),
    ("row 10, column Start amps", ("<strong>", "4 A")),
    ("row 11, column Stand-off", ("<thick>", "3.82 m")),
    ("row 12, column Drop", ("60", "0.1 to 50 %")),
    ("row 13, column Confirmed", ("<perhaps>", "yes or no")),
    ("row 14, column Id", ("<1st>", "a letter, then letters")),
    ("row 16, column Name", ("row 15 already", "its own name")),
    ("row 17, column Place", ("<1.2> has no unit", "1.2 m")),
    ("row 18, column Amps", ("is not in A",)),
    ("row 19, column Amps", ("thousands or decimals",)),
)


def test_all_faults_come_at_once_each_with_row_and_column() -> None:
    assert list(faults(BAD)) == [place for place, _ in WANTED]


@pytest.mark.parametrize(("place", "words"), WANTED, ids=[place for place, _ in WANTED])
def test_each_fault_says_what_is_wrong_and_what_is_accepted(place: str, words: tuple[str, ...]) -> None:
    said = faults(BAD)[place]
    assert [word for word in words if word not in said] == []


@pytest.mark.parametrize(
    ("text", "place", "words"),
    [
        ("", "", ("the sheet is empty",)),
        ("\n\n;;;\n", "", ("the sheet is empty",)),
        ("Fridge,5 A,left\nLamp,1 A,roof\n", "", ("no header row", "Name, Kind and Place")),
        ("Name,Kind\nFridge,fridge\n", "row 1", ("there is no column Place",)),
        ("Name,Place\nFridge,left\n", "row 1", ("there is no column Kind",)),
        ("Name,Kind,Place\n# only,a,remark\n", "row 1", ("no device",)),
        ("Name,Kind,Place,Swithc\nA,fridge,left,\n", "row 1, column Swithc", ("did you mean Switch?", "#")),
        ("Name,Kind,Place,Strom,Current\nA,fridge,left,,\n", "row 1, column Current", ("the same as Strom",)),
        (
            "Name,Kind,Place,Up\nA,fridge,left 1 m back 1 m up,2 m\n",
            "row 2, column Place",
            ("1 m in the place and 2 m",),
        ),
        ("Name,Kind,Place,Up\nA,fridge,roof 1 m back,2 m\n", "row 2, column Place", ("takes no up",)),
        (
            "Name,Kind,Place,Wall\nA,fridge,left 1 m back 1 m up,roof\n",
            "row 2, column Place",
            ("says left, the wall roof",),
        ),
        ("Name,Kind,Wall,Back\nA,fridge,lft,1 m\n", "row 2, column Wall", ("no wall lft",)),
        ("Name,Kind,Place,Back\nA,fridge,left high,1.2\n", "row 2, column Back", ("has no unit",)),
    ],
)
def test_a_sheet_that_cannot_be_used_says_why(text: str, place: str, words: tuple[str, ...]) -> None:
    found = faults(text)
    assert list(found) == [place]
    assert [word for word in words if word not in found[place]] == []


def test_own_columns_are_no_fault() -> None:
    rows, found = read("Name,Kind,Place,Price,Bought from,#Swithc\nA,fridge,left high,499,shop,x\n")
    assert found == []
    assert len(rows) == 1


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1rest", "old .xls workbook"),
        (b"\x00\x01\x02", "binary file"),
        (b"PK\x03\x04 damaged", "damaged"),
        (b'Name,Kind\n"never closed', "check the quotation marks"),
    ],
)
def test_a_file_that_is_no_sheet_says_what_to_do(data: bytes, words: str) -> None:
    with pytest.raises(ProjectFaults, match=words):
        grid_of(data, "e.csv")


@pytest.mark.parametrize(
    ("name", "made"),
    [
        ("House battery", "house-battery"),
        ("  Fridge ", "fridge"),
        ("Kühlschrank", "kuhlschrank"),
        ("12 V socket", "n-12-v-socket"),
        ("Lamp (left)", "lamp-left"),
    ],
)
def test_an_id_is_made_from_the_name(name: str, made: str) -> None:
    assert slug(name) == made


def test_names_that_differ_have_ids_that_differ() -> None:
    names = ["冷蔵庫", "照明", "Холодильник", "lamp + fan", "lamp fan", "a" * 60, "a" * 61]
    ids = [slug(name) for name in names]
    assert len(set(ids)) == len(names)
    assert all(len(one) <= 28 and one[0].isalpha() and one.isascii() for one in ids)
    assert ids == [slug(name) for name in names]
