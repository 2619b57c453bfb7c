"""The server: static files of the page, questions and their answers, and sets of files to download."""

import json
import secrets
from collections import OrderedDict
from collections.abc import AsyncIterator, Mapping
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import quote

from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from jiggen.page.guard import LARGEST_QUESTION, MADE_POLICY, POLICY, TOO_LARGE, Guard, Refusal
from jiggen.page.lane import Lane
from jiggen.page.worker import FILES

STATIC = Path(__file__).parent / "static"
#: Seconds that a number typed, and that a whole set of files, may take.
QUICK_S, SLOW_S = 10.0, 120.0
#: Questions that take long; they have a process of their own, so that typing goes on.
_SLOW = frozenset({FILES, "sheets", "view"})
#: Sets of files that are kept for download.
_KEPT = 4
_TYPES = {
    ".dxf": "image/vnd.dxf",
    ".svg": "image/svg+xml",
    ".pdf": "application/pdf",
    ".png": "image/png",
    ".html": "text/html; charset=utf-8",
    ".json": "application/json",
    ".zip": "application/zip",
}
_COMMON = (
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"cache-control", b"no-store"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"cross-origin-opener-policy", b"same-origin"),
)


@dataclass(slots=True)
class _Shelf:
    """Sets of files that were made, by a name nobody can guess; the oldest go first."""

    sets: OrderedDict[str, dict[str, bytes]] = field(default_factory=OrderedDict)

    def put(self, files: dict[str, bytes]) -> str:
        name = secrets.token_urlsafe(18)
        self.sets[name] = files
        while len(self.sets) > _KEPT:
            self.sets.popitem(last=False)
        return name


def page_app(
    guard: Guard, opened: Mapping[str, str], *, quick_s: float = QUICK_S, slow_s: float = SLOW_S
) -> ASGIApp:
    """Returns the server as an ASGI application.

    Args:
        guard: Who may ask.
        opened: The fields of `answers.Opened`.
        quick_s: Seconds that a number typed may take.
        slow_s: Seconds that a set of files may take.
    """
    quick, slow, shelf = Lane(opened, quick_s), Lane(opened, slow_s), _Shelf()

    async def ask(request: Request) -> Response:
        body = bytearray()
        async for chunk in request.stream():
            body += chunk
            if len(body) > LARGEST_QUESTION:
                return _refused(TOO_LARGE)
        try:
            question = json.loads(body)
        except (ValueError, RecursionError):
            return _refused(Refusal(400, "A question must be JSON."))
        if not isinstance(question, dict):
            return _refused(Refusal(400, "A question must be a table of JSON."))
        asked = question.get("ask")
        lane = slow if isinstance(asked, str) and asked in _SLOW else quick
        page = f"{request.headers.get('x-jiggen-page', '')[:64]}/{asked == FILES}"
        answer = await lane.ask(page, json.dumps(question).encode())
        if not answer.body:
            return Response(answer.head, media_type="application/json")
        told = json.loads(answer.head)
        files, at = {}, 0
        for each in told["files"]:
            files[each["name"]] = answer.body[at : at + each["bytes"]]
            at += each["bytes"]
        return JSONResponse(told | {"at": f"/made/{shelf.put(files)}/"})

    async def made(request: Request) -> Response:
        name = request.path_params["name"]
        data = shelf.sets.get(request.path_params["set"], {}).get(name)
        if data is None:
            return Response("These files are no longer kept. Make them again.", 404, media_type="text/plain")
        kind = _TYPES.get(Path(name).suffix, "application/octet-stream")
        manner = "inline" if kind.startswith("text/html") else "attachment"
        headers = {
            "content-security-policy": MADE_POLICY,
            "content-disposition": f"{manner}; filename*=UTF-8''{quote(name)}",
        }
        return Response(data, headers=headers, media_type=kind)

    async def index(_: Request) -> Response:
        return Response((STATIC / "index.html").read_bytes(), media_type="text/html; charset=utf-8")

    @asynccontextmanager
    async def lifespan(_: Starlette) -> AsyncIterator[None]:
        import asyncio

        warming = asyncio.gather(quick.warm(), slow.warm())
        yield
        await warming
        await quick.close()
        await slow.close()

    app = Starlette(
        routes=[
            Route("/", index),
            Route("/ask", ask, methods=["POST"]),
            Route("/made/{set}/{name}", made),
            Mount("/static", StaticFiles(directory=STATIC)),
        ],
        lifespan=lifespan,
    )
    return _Door(app, guard)


def _refused(refusal: Refusal) -> Response:
    told = {"ok": False, "faults": [{"keys": [], "text": refusal.text}]}
    return JSONResponse(told, refusal.status)


class _Door:
    """Lets in what the guard lets in, and sends every answer off with its rules for the browser."""

    def __init__(self, app: ASGIApp, guard: Guard) -> None:
        self._app = app
        self._guard = guard

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        if scope["type"] != "http":
            return  # no web sockets here

        async def sealed(message: Message) -> None:
            if message["type"] == "http.response.start":
                names = {name.lower() for name, _ in message["headers"]}
                extra = [pair for pair in _COMMON if pair[0] not in names or pair[0] == b"cache-control"]
                if b"content-security-policy" not in names:
                    extra.append((b"content-security-policy", POLICY.encode()))
                message["headers"] = [*message["headers"], *extra]
            await send(message)

        headers: dict[str, str] = {}
        for name, value in scope["headers"]:
            key = name.decode("latin-1").lower()
            headers[key] = "" if key in headers and key in {"host", "origin"} else value.decode("latin-1")
        refusal = self._guard.refuse(scope["method"], headers)
        if refusal is not None:
            await _refused(refusal)(scope, receive, sealed)
            return
        await self._app(scope, receive, sealed)
