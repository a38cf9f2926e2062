"""A project from the questions: by the tape's lines, each with a drawing; and rows of its equipment sheet from the page."""

from __future__ import annotations

import time
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, expect
from starlette.testclient import TestClient

from ribway.live.beginning import BeginningError, begun, tape_lines
from ribway.live.guard import Door
from ribway.live.hub import Hub
from ribway.live.refusing import RefusedError
from ribway.live.web import make_app
from ribway.models.tape import LINES, Tape
from ribway.models.yaml_text import parse_yaml
from ribway.router.shell.build import build
from ribway.router.shell.mesh_file import export_parts
from ribway.router.shell.presets import preset
from samples.live import LONGEST_MS, Seen, Server, run_alone

# The lines of docs/first-hour.md.
TAPE: dict[str, Any] = {
    "length": "3.72 m",
    "floor_width": "1.78 m",
    "waist_width": "1.86 m",
    "waist_height": "1.02 m",
    "roof_edge_width": "1.62 m",
    "roof_edge_height": "1.66 m",
    "centre_height": "1.93 m",
    "ribs_left": "0.42 0.88 1.36 1.80 2.27 2.71 3.18 3.62 m",
    "ribs_right": "same as left",
    "side_door": {"side": "right", "front": "0.30 m", "rear": "1.55 m"},
    "wheel_arch": {"front": "2.12 m", "length": "0.98 m", "height": "0.36 m"},
    "rib": {"depth": "55 mm", "face_width": "55 mm"},
}
HERE = Door("127.0.0.1", 8140)
HOLES = "L2-L7: 25 mm at 420 mm\nR*: as left\n"


def test_the_tape_s_lines_become_the_project_s_below_their_remarks(tmp_path: Path) -> None:
    text = begun(tmp_path, {"name": "By tape", "units": "metric", "from": "tape", "tape": {**TAPE, "holes": HOLES}})
    raw = parse_yaml(text, "").raw
    assert raw["vehicle"]["tape"] == {**TAPE, "holes": HOLES.splitlines()}
    assert "equipment" not in raw
    lines = text.splitlines()
    for key, what in LINES.items():
        at = next(i for i, line in enumerate(lines) if line.startswith(f"    {key}:"))
        assert what.split(":")[0] in lines[at - 1]


def test_a_van_without_a_side_door_says_so() -> None:
    lines = tape_lines({**TAPE, "side_door": {"side": "none", "front": "", "rear": ""}})
    assert lines["without"] == ["side_door"]
    assert "side_door" not in lines
    Tape.model_validate(lines)


def test_lines_that_are_missing_or_wrong_are_named_all_at_once(tmp_path: Path) -> None:
    tape = {**TAPE, "length": "", "rib": {"depth": "55", "face_width": ""}, "holes": "L2: wide"}
    with pytest.raises(BeginningError) as error:
        begun(tmp_path, {"from": "tape", "tape": tape})
    words = str(error.value)
    assert "length" in words
    assert "rib" in words
    with pytest.raises(BeginningError, match="units cubits are not known"):
        begun(tmp_path, {"from": "tape", "units": "cubits", "tape": TAPE})


def test_the_tape_is_typed_in_the_browser(browser: Browser, tmp_path: Path) -> None:
    server = Server(tmp_path / "fresh" / "project.yaml")
    seen = Seen()
    page = browser.new_page(viewport={"width": 360, "height": 740}, bypass_csp=True)
    page.set_default_timeout(LONGEST_MS)
    page.on("pageerror", lambda error: seen.complaints.append(str(error)))
    page.goto(server.address)
    page.get_by_label("my tape").check()
    assert page.locator("svg.taped").count() == len(LINES)
    page.get_by_role("button", name="begin", exact=True).click()
    expect(page.locator("#questions .fault")).to_contain_text("lacks 12 of its lines")
    assert not server.target.exists()
    for key, value in TAPE.items():
        for part, text in value.items() if isinstance(value, dict) else [("", value)]:
            field = page.locator(f'.tape-lines [name="{key}{"." if part else ""}{part}"]')
            if part == "side":
                field.select_option(text)
            else:
                field.fill(text)
    page.locator("[name=holes]").fill(HOLES)
    page.get_by_role("button", name="begin", exact=True).click()
    page.wait_for_function("() => window.ribwayBench?.plan")
    assert page.evaluate("() => ribwayBench.plan.scene.rings.some((one) => one.id === 'L2a')")
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    assert seen.complaints == []
    page.close()
    server.process.terminate()
    server.process.wait(10)


def test_a_row_of_the_sheet_is_changed_taken_out_and_put_back(tmp_path: Path) -> None:
    """Nothing plans here."""
    sheet = tmp_path / "equipment.csv"
    sheet.write_text(
        "Name,Kind,Place,Mine\nBattery,house battery,left 0.6 m back 0.3 m up,a\n"
        "Board,fuse board,left 0.7 m back 0.8 m up,b\nFridge,fridge,right 2 m back 0.6 m up,c\n",
        encoding="utf-8",
    )
    before = sheet.read_bytes()
    (tmp_path / "project.yaml").write_text(
        "ribway: 1\nname: van\nvehicle: {preset: medium-high}\nequipment: equipment.csv\n"
        "alternatives:\n  - {name: other, change: {devices: {fridge: {amps: 6 A}}}}\n",
        encoding="utf-8",
    )

    async def sitting() -> None:
        hub = Hub(tmp_path / "project.yaml")
        hub.read()
        planned: list[int] = []
        hub.crew.plan = lambda work, raw, revision: planned.append(revision)  # type: ignore[method-assign]
        state = await hub.edit_sheet("fridge", {"amps": "5 A"})
        assert "equipment.csv.bak-1" in state["said"]
        assert "Fridge,fridge,right 2 m back 0.6 m up,c,5 A" in sheet.read_text(encoding="utf-8-sig")
        state = await hub.edit_sheet("fridge", None)
        assert state["undo"] == "fridge taken out of equipment.csv"
        assert not state["unsaved"]
        assert "# Fridge,fridge" in sheet.read_text(encoding="utf-8-sig")
        assert len(planned) == 2
        # undo goes back through changes of both files in the order they were made, and forth again
        place = {"wall": "right", "back": "2.10 m", "up": "0.60 m"}
        state = await hub.edit(state["revision"], {"do": "move", "id": "board", "at": place})
        moved, marked = hub._there().text, sheet.read_bytes()
        state = await hub.undo(state["revision"])
        assert (state["undo"], sheet.read_bytes()) == ("fridge taken out of equipment.csv", marked)
        state = await hub.undo(state["revision"])
        assert "# Fridge" not in sheet.read_text(encoding="utf-8-sig")
        assert state["undo"] == "fridge changed in equipment.csv"
        state = await hub.undo(state["revision"])
        assert (sheet.read_bytes(), state["undo"]) == (before, "")
        assert state["said"] == "equipment.csv is again as it was."
        for _ in range(3):
            state = await hub.redo(state["revision"])
        assert (sheet.read_bytes(), hub._there().text) == (marked, moved)
        # nothing of somebody else's is written over, and what was done to the project can still be undone
        sheet.write_bytes(before)
        state = await hub.undo((await hub.undo(state["revision"]))["revision"])
        assert (sheet.read_bytes(), state["said"]) == (
            before, "equipment.csv was changed by somebody else meanwhile: it stays as it is."
        )  # fmt: skip
        with pytest.raises(RefusedError, match="did you mean fridge"):
            await hub.edit_sheet("frigde", None)
        # an alternative may change what only the sheet has; the sheet itself belongs to the base
        state = await hub.open("other", None)
        place = {"wall": "left", "back": "2.40 m", "up": "0.70 m"}
        state = await hub.edit(state["revision"], {"do": "move", "id": "fridge", "at": place})
        assert "back: 2.40 m" in hub._there().text
        with pytest.raises(RefusedError, match="belongs to the base"):
            await hub.edit_sheet("fridge", None)
        hub._sheet.look(hub._raw())
        sheet.write_bytes(before)
        assert hub._sheet.look(hub._raw())
        assert not hub._sheet.look(hub._raw())

    run_alone(sitting)


def test_a_project_is_begun_from_a_mesh_in_its_folder(tmp_path: Path) -> None:
    """The draft of the survey, which its own tests hold; here that it comes to lie in the folder, and is planned."""
    export_parts(build(preset("short-high")), tmp_path / "van.glb")
    (tmp_path / "notes.txt").write_text("mine", encoding="utf-8")
    hub = Hub(tmp_path / "project.yaml")
    with TestClient(make_app(hub, HERE), base_url="http://127.0.0.1:8140") as client:
        assert client.get("/state").json()["meshes"] == ["van.glb"]
        assert client.post("/begin", json={"from": "mesh", "mesh": "../van.glb"}).status_code == 422
        begun_state = client.post("/begin", json={"from": "mesh", "mesh": "van.glb"}).json()
        assert [one["what"] for one in begun_state["busy"]] == ["draft"]
        stopped = client.post("/stop", json={"what": "draft"}).json()
        assert (stopped["busy"], stopped["missing"]) == ([], True)
        assert {one.name for one in tmp_path.iterdir() if not one.name.startswith(".")} == {"van.glb", "notes.txt"}

        client.post("/begin", json={"from": "mesh", "mesh": "van.glb"})
        until = time.monotonic() + LONGEST_MS / 1000
        while client.get("/state").json()["missing"] and time.monotonic() < until:
            time.sleep(0.3)
        state = client.get("/state").json()
        assert not state["missing"], state["said"]
    project = parse_yaml((tmp_path / "project.yaml").read_text(encoding="utf-8"), "").raw
    assert project["vehicle"]["mesh"] == "shell.glb"
    assert "equipment" not in project
    survey = parse_yaml((tmp_path / "survey.yaml").read_text(encoding="utf-8"), "").raw
    assert survey["mesh"] == "van.glb"
    assert (tmp_path / "shell.glb").is_file()
