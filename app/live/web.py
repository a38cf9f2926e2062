"""The server's addresses: the page and its scripts, the state and the plan, and what may be asked for."""

from __future__ import annotations

import asyncio
import json
import mimetypes
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import asynccontextmanager, suppress
from importlib.resources import files
from pathlib import Path
from typing import Any

from starlette.applications import Starlette
from starlette.datastructures import MutableHeaders
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import JSONResponse, PlainTextResponse, RedirectResponse, Response, StreamingResponse
from starlette.routing import Route
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from ribway.live.beginning import BeginningError
from ribway.live.crew import PAPERS, work_of
from ribway.live.guard import COOKIE, Door, refusal
from ribway.live.hub import Hub
from ribway.live.refusing import RefusedError
from ribway.models.project_faults import ProjectFaults

MOST_BODY = 200_000
BEAT_S = 10.0
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; connect-src 'self'; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
_SOURCES = ("ribway.live.page", "ribway.viewer.report.scripts", "ribway.viewer.report.vendor", "ribway.viewer.report")
_KINDS = {".js": "text/javascript", ".css": "text/css"}


def make_app(hub: Hub, where: Door) -> Starlette:
    """The application.

    Args:
        hub: the project held open.
        where: where it listens.

    Returns:
        The application; it starts planning when it starts, and ends all processes when it ends.
    """

    @asynccontextmanager
    async def life(_: Starlette) -> AsyncIterator[None]:
        await hub.begin()
        watch = asyncio.create_task(hub.watch())
        try:
            yield
        finally:
            watch.cancel()
            with suppress(asyncio.CancelledError):
                await watch
            hub.end()

    post = _Post(hub)
    return Starlette(
        routes=[
            Route("/", _page),
            Route("/parts/{name}", _part),
            Route("/state", lambda _: JSONResponse(hub.state())),
            Route("/events", _events(hub)),
            Route("/plan", _plan(hub)),
            Route("/metal/{key}", _metal(hub)),
            Route("/papers/{name:path}", _paper(hub)),
            Route(
                "/edit",
                post.handler(lambda body: hub.edit(body.get("revision"), _dict(body, "edit"), body.get("here"))),
                methods=["POST"],
            ),
            Route("/undo", post.handler(lambda body: hub.undo(body.get("revision"))), methods=["POST"]),
            Route("/redo", post.handler(lambda body: hub.redo(body.get("revision"))), methods=["POST"]),
            Route("/save", post.handler(lambda body: hub.save(body.get("revision"))), methods=["POST"]),
            Route("/take-disk", post.handler(lambda _: hub.take_disk()), methods=["POST"]),
            Route("/keep-copy", post.handler(lambda _: hub.keep_copy()), methods=["POST"]),
            Route("/begin", post.handler(hub.begin_project), methods=["POST"]),
            Route("/ways", post.handler(lambda body: hub.open(body.get("here"), body.get("beside"))), methods=["POST"]),
            Route(
                "/write", post.handler(lambda body: hub.write_papers(body.get("pictures") is True)), methods=["POST"]
            ),
            Route(
                "/sheet",
                post.handler(lambda body: hub.edit_sheet(body.get("id"), body.get("values"))),
                methods=["POST"],
            ),
            Route("/stop", post.handler(lambda body: hub.stop(str(body.get("what")))), methods=["POST"]),
            Route("/plan-again", post.handler(lambda _: hub.plan_again()), methods=["POST"]),
        ],
        middleware=[Middleware(Guarded, where=where)],
        lifespan=life,
    )


class Guarded:
    """Turns away who may not come in, and sends every answer with the headers that keep a page to itself."""

    def __init__(self, app: ASGIApp, where: Door) -> None:
        """Stands before an application.

        Args:
            app: the application.
            where: the door that is kept.
        """
        self._app, self._where = app, where

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer, or let the application answer."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        request = Request(scope)
        key = request.query_params.get("key", "")
        trouble = refusal(self._where, dict(request.headers), key, request.cookies.get(COOKIE, ""))
        app = self._app
        if trouble:
            app = PlainTextResponse(trouble + "\n", status_code=403)
        elif self._where.key and key and scope["path"] == "/":
            # The key leaves the address bar, so that it is not copied along with it.
            moved = RedirectResponse("/", status_code=303)
            moved.set_cookie(COOKIE, self._where.key, httponly=True, samesite="strict")
            app = moved

        async def sent(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                headers["Content-Security-Policy"] = POLICY
                headers["X-Content-Type-Options"] = "nosniff"
                headers["Referrer-Policy"] = "no-referrer"
                headers.setdefault("Cache-Control", "no-store")
            await send(message)

        await app(scope, receive, sent)


class _Post:
    """Requests that change something: JSON in, the new state out."""

    def __init__(self, hub: Hub) -> None:
        self._hub = hub

    def handler(self, act: Callable[[dict[str, Any]], Awaitable[Any]]) -> Callable[[Request], Awaitable[Response]]:
        async def handle(request: Request) -> Response:
            kind = request.headers.get("content-type", "").partition(";")[0].strip()
            if kind != "application/json":  # what a form of another origin cannot send unasked
                return PlainTextResponse("only JSON is read here\n", status_code=415)
            body = b""
            async for part in request.stream():
                body += part
                if len(body) > MOST_BODY:
                    return PlainTextResponse("the request is too long\n", status_code=413)
            try:
                data = json.loads(body or b"{}")
            except ValueError:
                return PlainTextResponse("this is no JSON\n", status_code=400)
            if not isinstance(data, dict):
                return PlainTextResponse("a JSON object is expected\n", status_code=400)
            try:
                return JSONResponse(await act(data))
            except RefusedError as error:
                status = 409 if error.stale else 422
                return JSONResponse({"words": error.words, "state": self._hub.state()}, status_code=status)
            except (BeginningError, ProjectFaults) as error:
                return JSONResponse({"words": str(error), "state": self._hub.state()}, status_code=422)

        return handle


def _dict(body: dict[str, Any], key: str) -> dict[str, Any]:
    value = body.get(key)
    return value if isinstance(value, dict) else {}


async def _page(_: Request) -> Response:
    text = files("ribway.live.page").joinpath("bench.html").read_text(encoding="utf-8")
    return Response(text, media_type="text/html")


async def _part(request: Request) -> Response:
    name = request.path_params["name"]
    kind = _KINDS.get(Path(name).suffix)
    if kind is None or "/" in name or "\\" in name or name.startswith("."):
        return PlainTextResponse("there is no such part\n", status_code=404)
    for source in _SOURCES:
        found = files(source).joinpath(name)
        if found.is_file():
            return Response(found.read_bytes(), media_type=kind, headers={"Cache-Control": "no-cache"})
    return PlainTextResponse("there is no such part\n", status_code=404)


def _plan(hub: Hub) -> Callable[[Request], Awaitable[Response]]:
    async def answer(request: Request) -> Response:
        name = request.query_params.get("alternative", "")
        found = hub.crew.plans.get(work_of(name))
        if found is None:
            return PlainTextResponse("there is no plan yet\n", status_code=404)
        return Response(found[1], media_type="application/json")

    return answer


def _metal(hub: Hub) -> Callable[[Request], Awaitable[Response]]:
    async def answer(request: Request) -> Response:
        found = hub.crew.metals.get(request.path_params["key"])
        if found is None:
            return PlainTextResponse("there is no such metal\n", status_code=404)
        return Response(found, media_type="application/json", headers={"Cache-Control": "max-age=3600"})

    return answer


def _paper(hub: Hub) -> Callable[[Request], Awaitable[Response]]:
    async def answer(request: Request) -> Response:
        name = request.path_params["name"]
        folder = (hub.folder / PAPERS).resolve()
        try:
            file = (folder / name).resolve()
            inside = file.is_relative_to(folder) and folder.parent == hub.folder.resolve() and file.is_file()
        except (OSError, ValueError):
            inside = False
        if not inside or any(part.startswith(".") for part in Path(name).parts):
            return PlainTextResponse("there is no such paper in the project's folder\n", status_code=404)
        kind = mimetypes.guess_type(name)[0] or "application/octet-stream"
        if kind in ("text/html", "image/svg+xml"):
            kind = "text/plain"
        return Response(await asyncio.to_thread(file.read_bytes), media_type=kind)

    return answer


def _events(hub: Hub) -> Callable[[Request], Awaitable[Response]]:
    async def answer(_: Request) -> Response:
        async def stream() -> AsyncIterator[str]:
            queue = hub.listen()
            try:
                while True:
                    try:
                        text = await asyncio.wait_for(queue.get(), BEAT_S)
                        if text is None:
                            return
                        yield f"data: {text}\n\n"
                    except TimeoutError:
                        yield ": still here\n\n"
            finally:
                hub.audience.leave(queue)

        return StreamingResponse(stream(), media_type="text/event-stream")

    return answer
