"""Listening: a port of this machine, and a clear word where it is taken."""

from __future__ import annotations

import errno
import socket
from contextlib import suppress
from pathlib import Path
from types import FrameType

from ribway.live.guard import Door, door
from ribway.live.hub import Hub
from ribway.live.opened_once import OpenMark

PORT = 8140
_TRIED = 50


class PortTakenError(Exception):
    """Nothing can listen there; the sentence names a port that is free."""


def listening(host: str, port: int) -> socket.socket:
    """A socket that listens.

    Args:
        host: address.
        port: port; 0 for any that is free.

    Returns:
        The socket.

    Raises:
        PortTakenError: the port is taken, or the address is none of this machine's.
    """
    try:
        return _bound(host, port)
    except OSError as error:
        if error.errno not in (errno.EADDRINUSE, errno.EACCES):
            raise PortTakenError(f"{host}: nothing can listen at this address: {error.strerror or error}") from None
        why = "is taken by another program" if error.errno == errno.EADDRINUSE else "may not be used"
        free = next((other for other in range(port + 1, min(port + _TRIED, 65535)) if _is_free(host, other)), None)
        advice = f"give the next free one with --port {free}" if free else "give another with --port"
        raise PortTakenError(f"port {port} of {host} {why}: {advice}") from None
    except OverflowError:
        raise PortTakenError(f"port {port}: ports go up to 65535") from None


def _bound(host: str, port: int) -> socket.socket:
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    found = socket.socket(family, socket.SOCK_STREAM)
    try:
        found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        found.bind((host, port))
        found.listen(64)
    except OSError:
        found.close()
        raise
    return found


def _is_free(host: str, port: int) -> bool:
    try:
        _bound(host, port).close()
    except OSError:
        return False
    return True


def run(file: Path, host: str, port: int) -> Door:
    """Serve a project until interrupted.

    Args:
        file: the project file; it may be missing.
        host: address to listen on.
        port: port to listen on.

    Returns:
        Where it listened.

    Raises:
        PortTakenError: nothing can listen there.
        OpenAlreadyError: another server has the project open.
        ProjectFaults: the file cannot be read.
    """
    import uvicorn

    from ribway.live.web import make_app

    hub = Hub(file)
    hub.read()
    with listening(host, port) as open_socket:
        where = door(host, int(open_socket.getsockname()[1]))
        mark = OpenMark(file)
        mark.set(where.address)
        print(f"{file}: open {where.address} in a browser; Ctrl-C ends it", flush=True)
        config = uvicorn.Config(
            make_app(hub, where), log_level="warning", access_log=False, timeout_graceful_shutdown=1, lifespan="on"
        )

        class Server(uvicorn.Server):
            """Ends the streams of those who listen, which would keep it from ending."""

            def handle_exit(self, sig: int, frame: FrameType | None) -> None:
                if hub.loop is not None:
                    hub.loop.call_soon_threadsafe(hub.audience.end)
                super().handle_exit(sig, frame)

            async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
                await super().shutdown(sockets)
                mark.clear()  # before the signal that ended it takes its usual course

        with suppress(KeyboardInterrupt):  # Ctrl-C is how it is ended
            Server(config).run(sockets=[open_socket])
    return where
