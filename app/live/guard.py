"""Who may talk to the server: the hosts it is called by, pages of its own alone, and those who have the key.

A page of another origin may make a browser send requests here; its requests carry its own Origin. A name that was
rebound to this machine's address comes in the Host header. Both are refused before anything is looked at.
"""

from __future__ import annotations

import ipaddress
import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import urlsplit

COOKIE = "ribway-key"
LOOPBACK = ("127.0.0.1", "localhost", "::1")


@dataclass(frozen=True)
class Door:
    """Where the server listens, and what opens it.

    Args:
        host: address that it listens on.
        port: port that it listens on.
        key: what has to be in the first address; empty if it listens on this machine alone.
    """

    host: str
    port: int
    key: str = ""

    @property
    def address(self) -> str:
        """What to type into a browser."""
        host = "127.0.0.1" if self.host in ("0.0.0.0", "::") else self.host
        shown = f"[{host}]" if ":" in host else host
        return f"http://{shown}:{self.port}/" + (f"?key={self.key}" if self.key else "")


def door(host: str, port: int) -> Door:
    """A door; one that is open to other machines gets a key.

    Args:
        host: address to listen on.
        port: port to listen on.
    """
    return Door(host, port, "" if host in LOOPBACK else secrets.token_urlsafe(18))


def refusal(where: Door, headers: Mapping[str, str], query_key: str, cookie_key: str) -> str:
    """Why a request is turned away.

    Args:
        where: the door.
        headers: of the request, names in small letters.
        query_key: key in its address.
        cookie_key: key in its cookie.

    Returns:
        A sentence; empty if it may come in.
    """
    host = headers.get("host", "")
    if not _known_host(where, host):
        return f"this server is not called {host or 'nothing'}: use the address that ribway serve printed"
    origin = headers.get("origin")
    if origin is not None and origin not in (f"http://{host}", f"https://{host}"):
        return f"requests of pages from {origin} are refused: only this server's own page may send them"
    if headers.get("sec-fetch-site", "same-origin") not in ("same-origin", "none"):
        return "requests of pages from elsewhere are refused: only this server's own page may send them"
    if where.key and not any(
        secrets.compare_digest(where.key.encode(), key.encode()) for key in (query_key, cookie_key)
    ):
        return "the key is missing or wrong: use the whole address that ribway serve printed, with its key"
    return ""


def _known_host(where: Door, host: str) -> bool:
    try:
        parts = urlsplit(f"//{host}")
        name, port = (parts.hostname or "").lower(), parts.port or 80
    except ValueError:
        return False
    if port != where.port or parts.username is not None or parts.path:
        return False
    if name in LOOPBACK or name == where.host.lower():
        return True
    if not where.key:
        return False
    try:
        ipaddress.ip_address(name)  # an address cannot be rebound to another
    except ValueError:
        return False
    return True
