"""Who is turned away: other names (DNS rebinding), other origins (RFC 6454), no key; and who is let in."""

from __future__ import annotations

import pytest

from ribway.live.guard import Door, door, refusal

HERE = Door("127.0.0.1", 8140)
OPEN = Door("0.0.0.0", 8140, "the-key")


@pytest.mark.parametrize(
    ("headers", "words"),
    [
        ({"host": "127.0.0.1:8140"}, ""),
        ({"host": "localhost:8140", "origin": "http://localhost:8140"}, ""),
        ({"host": "[::1]:8140"}, ""),
        ({"host": "127.0.0.1:8140", "sec-fetch-site": "none"}, ""),
        ({"host": "evil.example:8140"}, "not called evil.example:8140"),
        ({"host": "127.0.0.1.evil.example:8140"}, "not called"),
        ({"host": "127.0.0.1:81"}, "not called"),
        ({"host": "192.168.0.7:8140"}, "not called"),
        ({"host": "x@127.0.0.1:8140"}, "not called"),
        ({"host": "127.0.0.1:port"}, "not called"),
        ({}, "not called nothing"),
        ({"host": "127.0.0.1:8140", "origin": "http://evil.example"}, "from http://evil.example are refused"),
        ({"host": "127.0.0.1:8140", "origin": "null"}, "from null are refused"),
        ({"host": "127.0.0.1:8140", "origin": "http://localhost:8140"}, "are refused"),
        ({"host": "127.0.0.1:8140", "sec-fetch-site": "cross-site"}, "from elsewhere are refused"),
    ],
)
def test_on_this_machine_alone(headers: dict[str, str], words: str) -> None:
    found = refusal(HERE, headers, "", "")
    assert words in found
    assert bool(found) is bool(words)


@pytest.mark.parametrize(
    ("host", "query", "cookie", "let_in"),
    [
        ("192.168.0.7:8140", "the-key", "", True),
        ("192.168.0.7:8140", "", "the-key", True),
        ("192.168.0.7:8140", "", "", False),
        ("192.168.0.7:8140", "the-kez", "", False),
        ("evil.example:8140", "the-key", "", False),
    ],
)
def test_open_to_others_the_key_decides(host: str, query: str, cookie: str, let_in: bool) -> None:
    assert (refusal(OPEN, {"host": host}, query, cookie) == "") is let_in


def test_only_a_door_to_others_has_a_key_and_no_two_have_the_same() -> None:
    assert door("127.0.0.1", 1).key == door("localhost", 1).key == ""
    keys = {door("0.0.0.0", 1).key for _ in range(20)}
    assert len(keys) == 20
    assert min(map(len, keys)) >= 22  # 128 bits in base64
    assert door("0.0.0.0", 8140).address.startswith("http://127.0.0.1:8140/?key=")
    assert Door("::1", 8140).address == "http://[::1]:8140/"
