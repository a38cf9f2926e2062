"""Ports, one server a project, and long work that is stopped: with ``ribway serve`` as a user starts it."""

from __future__ import annotations

import http.client
import json
import os
import socket
import subprocess
import sys
import time
from collections.abc import Generator
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest

from ribway.live.serving import PortTakenError, listening
from samples.live import LONGEST_MS, Server


def asked(server: Server, method: str, path: str, body: object = None) -> tuple[int, bytes]:
    parts = urlsplit(server.address)
    line = http.client.HTTPConnection(parts.hostname or "", parts.port, timeout=60)
    line.request(method, path, json.dumps(body or {}), {"Content-Type": "application/json"})
    answer = line.getresponse()
    return answer.status, answer.read()


def state(server: Server) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(asked(server, "GET", "/state")[1])
    return found


def until(server: Server, key: str, seconds: float = LONGEST_MS / 1000) -> dict[str, Any]:
    """The state once something in it is true."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        found = state(server)
        if found[key]:
            return found
        time.sleep(0.1)
    raise AssertionError(f"{key} is still {found[key]!r}: {found}")


def events(server: Server) -> Generator[dict[str, Any], None, None]:
    """Every state that the server tells of, the present one first."""
    parts = urlsplit(server.address)
    line = http.client.HTTPConnection(parts.hostname or "", parts.port, timeout=LONGEST_MS / 1000)
    line.request("GET", "/events")
    answer = line.getresponse()
    while told := answer.readline():
        if told.startswith(b"data: "):
            yield json.loads(told[6:])
    line.close()


def children(pid: int) -> set[int]:
    listed = Path(f"/proc/{pid}/task/{pid}/children").read_text(encoding="ascii")
    return set(map(int, listed.split()))


def test_a_port_that_is_taken_is_said_with_the_next_free_one() -> None:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        with pytest.raises(PortTakenError, match=f"port {port} of 127.0.0.1 is taken by another program") as caught:
            listening("127.0.0.1", port)
    offered = int(str(caught.value).rsplit("--port ", 1)[1])
    assert port < offered < port + 50
    listening("127.0.0.1", offered).close()
    with pytest.raises(PortTakenError, match="nothing can listen at this address"):
        listening("203.0.113.7", 0)  # an address for examples, RFC 5737


def test_a_second_server_sends_people_to_the_first(server: Server, project: Path) -> None:
    command = [sys.executable, "-m", "ribway", "serve", str(project), "--port", "0"]
    second = subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)
    assert second.returncode == 1
    assert f"open already: go on at {server.address}" in second.stderr
    mark = project.with_name(".project.yaml.open")
    assert mark.stat().st_mode & 0o077 == 0
    server.process.terminate()
    server.process.wait(20)
    assert not mark.exists()
    assert sorted(item.name for item in project.parent.iterdir()) == ["project.yaml"]


def test_planning_is_stopped_and_papers_are_written(server: Server, project: Path) -> None:
    status = 0
    while status != 200:  # a plan may be done before it is stopped
        begun = json.loads(asked(server, "POST", "/plan-again")[1])
        assert [one["what"] for one in begun["busy"]] == ["plan"]
        at_work = children(server.process.pid)
        status, body = asked(server, "POST", "/stop", {"what": "plan"})
    stopped = json.loads(body)
    assert (stopped["busy"], stopped["halted"]) == ([], True)
    assert "Stopped: planning" in stopped["said"]
    for pid in at_work - children(server.process.pid):
        with pytest.raises(ProcessLookupError):
            os.kill(pid, 0)
    assert asked(server, "POST", "/stop", {"what": "plan"})[0] == 422

    assert asked(server, "POST", "/plan-again")[0] == 200
    until(server, "plan")
    assert asked(server, "POST", "/write", {"pictures": False})[0] == 200
    assert asked(server, "POST", "/stop", {"what": "papers"})[0] == 200
    assert [item.name for item in project.parent.iterdir() if "papers" in item.name] == []
    told = events(server)
    assert not next(told)["written"]
    assert asked(server, "POST", "/write", {"pictures": False})[0] == 200
    shares = []
    for one in told:
        shares += [busy["done"] for busy in one["busy"] if busy["what"] == "papers" and busy["done"] is not None]
        if one["written"]:
            break
    told.close()
    assert shares == sorted(shares)
    assert set(shares) <= {0.0, 1 / 3, 2 / 3}  # the plan, the papers, the page
    assert shares
    written = until(server, "written")["written"]
    assert "plan.json" in written["files"]
    assert written["files"] == sorted(written["files"])
    papers = project.parent / "papers"
    for name in written["files"]:
        status, body = asked(server, "GET", f"/papers/{name}")
        assert (status, body) == (200, (papers / name).read_bytes())
    assert asked(server, "GET", "/papers/../project.yaml")[0] == 404
