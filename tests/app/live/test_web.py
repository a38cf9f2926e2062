"""The server's answers, without a browser: rules for pages, keys, paths, bodies, stale edits, a new project."""

from __future__ import annotations

import time
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from ribway.live.guard import COOKIE, Door
from ribway.live.hub import Hub
from ribway.live.web import make_app
from ribway.models.reading import read_project
from samples.live import LONGEST_MS, SMALL

HERE = Door("127.0.0.1", 8140)
ADDRESS = "http://127.0.0.1:8140"


@pytest.fixture
def hub(project: Path) -> Hub:
    found = Hub(project)
    found.read()
    return found


@pytest.fixture
def client(hub: Hub) -> TestClient:
    """Requests to the application; nothing plans, since it was not started."""
    return TestClient(make_app(hub, HERE), base_url=ADDRESS)


def test_every_answer_forbids_what_the_page_does_not_need(client: TestClient) -> None:
    for path in ("/", "/state", "/parts/bench.js", "/nowhere"):
        headers = client.get(path).headers
        assert "default-src 'none'" in headers["content-security-policy"]
        assert "frame-ancestors 'none'" in headers["content-security-policy"]
        assert headers["x-content-type-options"] == "nosniff"
        assert "access-control-allow-origin" not in headers


def test_requests_from_elsewhere_are_turned_away(client: TestClient, project: Path) -> None:
    assert client.get("/state", headers={"host": "evil.example:8140"}).status_code == 403
    stranger = {"origin": "http://evil.example"}
    for path in ("/edit", "/undo", "/redo", "/save", "/take-disk", "/keep-copy", "/begin", "/ways", "/write", "/stop"):
        assert client.post(path, json={}, headers=stranger).status_code == 403
        assert client.get(path).status_code == 405
        assert client.post(path, content=b"{}", headers={"content-type": "text/plain"}).status_code == 415
    assert project.read_text(encoding="utf-8") == SMALL


def test_the_key_comes_in_the_first_address_and_then_in_a_cookie(hub: Hub) -> None:
    app = make_app(hub, Door("0.0.0.0", 8140, "the-key"))
    client = TestClient(app, base_url="http://10.0.0.5:8140", follow_redirects=False)
    assert client.get("/").status_code == 403
    assert client.get("/state?key=wrong").status_code == 403
    first = client.get("/?key=the-key")
    assert (first.status_code, first.headers["location"]) == (303, "/")
    assert "HttpOnly" in first.headers["set-cookie"]
    assert "SameSite=strict" in first.headers["set-cookie"]
    assert client.cookies[COOKIE] == "the-key"
    assert client.get("/state").status_code == 200


@pytest.mark.parametrize(
    "path",
    [
        "/papers/../project.yaml", "/papers/%2e%2e/project.yaml", "/papers/..%2fproject.yaml", "/papers//etc/passwd",
        "/papers/link.txt", "/papers/.hidden", "/papers/%00", "/papers/", "/parts/..%2fhub.py", "/parts/bench.html",
        "/parts/%2e%2e%2fscripts%2fmain.js", "/parts/__init__.py",
    ],
)  # fmt: skip
def test_nothing_outside_the_papers_folder_is_given_out(client: TestClient, project: Path, path: str) -> None:
    folder = project.parent / "papers"
    folder.mkdir()
    (folder / "wires.csv").write_text("a,b\n", encoding="utf-8")
    (folder / ".hidden").write_text("hidden", encoding="utf-8")
    (folder / "link.txt").symlink_to(project)
    assert client.get("/papers/wires.csv").text == "a,b\n"
    assert client.get(path).status_code == 404


@pytest.mark.parametrize(
    ("body", "words"),
    [
        ({"do": "fly"}, "there is no edit 'fly'"),
        ({"do": "move", "id": "fridge"}, "at is missing"),
        ({"do": "move", "id": "fridge", "at": {"wall": "left", "back": "2", "up": "1 m"}}, "no unit"),
        ({"do": "move", "id": "fridge", "at": {"wall": "left", "back": "2 m"}}, "needs up"),
        ({"do": "take out circuit", "id": "frigde"}, "did you mean fridge"),
        ({"do": "value", "names": []}, "list of keys"),
        ({"do": "value", "names": ["name"], "value": "x" * 1000}, "longer or deeper"),
        ({"do": "keep out", "name": "a", "why": "b", "corner": {"wall": "left", "back": "1 m", "up": "1 m"},
          "opposite": {"wall": "right", "back": "2 m", "up": "1 m"}}, "same wall"),
    ],
)  # fmt: skip
def test_an_edit_that_makes_no_sense_changes_nothing(client: TestClient, body: dict[str, object], words: str) -> None:
    answer = client.post("/edit", json={"revision": 1, "edit": body})
    assert answer.status_code == 422
    assert words in answer.json()["words"]
    assert (answer.json()["state"]["revision"], answer.json()["state"]["unsaved"]) == (1, False)


def test_a_stale_request_is_refused_with_the_state_as_it_is(client: TestClient) -> None:
    for path in ("/edit", "/undo", "/redo", "/save"):
        answer = client.post(path, json={"revision": 7, "edit": {"do": "move"}})
        assert answer.status_code == 409
        assert "changed in another window" in answer.json()["words"]
        assert answer.json()["state"]["revision"] == 1


def test_bodies_that_are_no_request_are_refused(client: TestClient) -> None:
    kind = {"content-type": "application/json"}
    assert client.post("/edit", content=b"{", headers=kind).status_code == 400
    assert client.post("/edit", content=b"[]", headers=kind).status_code == 400
    assert client.post("/edit", content=b" " * 300_000, headers=kind).status_code == 413


def test_a_project_is_begun_from_the_questions(tmp_path: Path) -> None:
    hub = Hub(tmp_path / "new" / "project.yaml")
    hub.read()
    with TestClient(make_app(hub, HERE), base_url=ADDRESS) as client:
        assert client.get("/state").json()["missing"] is True
        assert client.post("/save", json={"revision": 0}).status_code == 422
        wrong = client.post("/begin", json={"preset": "short-high", "units": "metric", "length": "3.1"})
        assert "no unit" in wrong.json()["words"]
        assert not hub.file.exists()
        answers = {"name": 'My "van"', "preset": "short-high", "units": "metric", "length": "2.61 m"}
        begun = client.post("/begin", json=answers)
        assert begun.status_code == 200, begun.text
        assert begun.json()["missing"] is False
        assert client.post("/begin", json=answers).status_code == 422
        first = {
            "id": "battery",
            "name": "Battery",
            "kind": "source",
            "at": {"wall": "left", "back": "1 m", "up": "0.3 m"},
        }
        lamp = {"name": "Lamp", "at": {"wall": "roof", "back": "1 m"}, "amps": "1 A"}
        revision = begun.json()["revision"]
        for device, source in ((first, ""), (lamp, "battery")):
            edit = {"do": "place", "device": device, "fed_from": source}
            answer = client.post("/edit", json={"revision": revision, "edit": edit})
            assert answer.status_code == 200, answer.text
            revision = answer.json()["revision"]
        assert client.post("/save", json={"revision": revision}).json()["unsaved"] is False
    project = read_project(hub.file)
    assert project.vehicle.parameters == {"length": "2.61 m"}
    assert [circuit.loads for circuit in project.circuits] == [("lamp",)]
    assert "# what you have measured" in hub.file.read_text(encoding="utf-8").lower()


def test_saving_keeps_the_numbers_of_runs(hub: Hub, project: Path) -> None:
    register = project.with_name("project.numbers.yaml")
    with TestClient(make_app(hub, HERE), base_url=ADDRESS) as planned:
        assert planned.post("/save", json={"revision": 1}).status_code == 200
        end = time.monotonic() + LONGEST_MS / 1000
        while not register.exists() and time.monotonic() < end:
            time.sleep(0.2)
    assert "{run: fridge, circuit: fridge, role: feed, from: board, to: fridge}" in register.read_text(encoding="utf-8")


def test_every_telling_has_a_number_of_its_own(client: TestClient) -> None:
    """By it a page knows an answer that a later word of the server has overtaken."""
    answers = [client.get("/state"), client.post("/undo", json={"revision": 1}), client.get("/state")]
    counts = [answer.json().get("state", answer.json())["count"] for answer in answers]
    assert counts == sorted(set(counts))


def test_an_edit_that_changes_nothing_is_a_state_of_its_own(client: TestClient) -> None:
    """Its plan carries its number: the next edit must not carry the same one."""
    at = {"wall": "right", "back": "2.05 m", "up": "0.60 m"}
    answer = client.post("/edit", json={"revision": 1, "edit": {"do": "move", "id": "fridge", "at": at}})
    assert answer.status_code == 200, answer.text
    state = answer.json()
    assert (state["revision"], state["unsaved"], state["undo"]) == (2, False, "")
