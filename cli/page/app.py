"""What is answered at which address."""

from __future__ import annotations

import asyncio
import re
from collections.abc import AsyncIterator, Awaitable, Callable
from pathlib import Path
from urllib.parse import parse_qs

from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import (
    HTMLResponse,
    JSONResponse,
    PlainTextResponse,
    RedirectResponse,
    Response,
    StreamingResponse,
)
from starlette.routing import Route

from gearchest.cli.facts import program_version
from gearchest.cli.faults import FaultsError, shorten
from gearchest.cli.page import pages
from gearchest.cli.page.assets import asset
from gearchest.cli.page.changes import change
from gearchest.cli.page.documents import Documents
from gearchest.cli.page.openapi import openapi
from gearchest.cli.page.outcome import Outcome
from gearchest.cli.page.requests import ASKED
from gearchest.cli.page.session import Session, event
from gearchest.cli.page.solver import BusyError, EndedError, TooLongError
from gearchest.cli.writing import make_folder

API_SECONDS = 120.0
"""One request of another program may take so long."""

HEARTBEAT = 15.0
"""s between signs of life to pages that listen."""

MOST_FIELDS = 5000

_FOLDER_NAME = re.compile(r"\w[\w .-]{0,58}\w|\w")

Endpoint = Callable[[Request], Awaitable[Response]]


class Pages:
    """The addresses of a session."""

    def __init__(self, session: Session, remember: Callable[[Path], None]) -> None:
        self._session = session
        self._remember = remember

    def app(self) -> Starlette:
        """The application."""
        shown = [name for name, _ in pages.SHEETS if name != "buy"]
        return Starlette(
            routes=[
                Route("/", self.first),
                *(Route(f"/{name}", self._sheet(name)) for name in shown),
                *Documents(self._session).routes,
                Route("/start", self.begin, methods=["POST"]),
                Route("/edit", self.edit, methods=["POST"]),
                Route("/arm.svg", self.arm),
                Route("/strip", self.strip),
                Route("/live", self.live),
                Route("/events", self.events),
                Route("/static/{name}", self.static),
                Route("/api/openapi.json", self.describe),
                Route("/api/{command}", self.api, methods=["POST"]),
            ],
            exception_handlers={Exception: _own_fault, 404: _nowhere},
        )

    async def first(self, request: Request) -> Response:
        """Where one arrives."""
        if self._session.desk is None:
            return HTMLResponse(pages.start_page(self._session))
        return RedirectResponse("/lathe", status_code=303)

    async def begin(self, request: Request) -> Response:
        """A folder of this name in the home folder becomes the one worked on."""
        name = _form(await request.body()).get("folder", [""])[0].strip()
        if not _FOLDER_NAME.fullmatch(name):
            words = "A name is letters, figures, spaces, points and hyphens."
            return HTMLResponse(pages.start_page(self._session, words), status_code=422)
        folder = Path.home() / name
        try:
            await asyncio.to_thread(make_folder, folder)
            await asyncio.to_thread(self._session.take, folder)
        except FaultsError as error:
            words = error.faults[0].problem
            return HTMLResponse(pages.start_page(self._session, words), status_code=422)
        self._remember(folder)
        return RedirectResponse("/lathe", status_code=303)

    def _sheet(self, name: str) -> Endpoint:
        async def shown(request: Request) -> Response:
            if self._session.desk is None:
                return RedirectResponse("/", status_code=303)
            await self._session.look()
            query = dict(request.query_params)
            return HTMLResponse(await asyncio.to_thread(pages.page, self._session, name, query))

        return shown

    async def edit(self, request: Request) -> Response:
        """Change what a form says; then the sheet again, as it is now."""
        session, form = self._session, _form(await request.body())
        if session.desk is None:
            return RedirectResponse("/", status_code=303)
        try:
            session.outcome = await asyncio.to_thread(change, session.desk, form)
        except FaultsError as error:
            session.outcome = Outcome([fault.brief() for fault in error.faults])
        session.changed()
        sheet = form.get("sheet", [""])[0]
        sheet = sheet if sheet in dict(pages.SHEETS) else "lathe"
        query = {key: form[key][0] for key in ("series", "more") if form.get(key)}
        if request.headers.get("x-part") and sheet != "buy":
            return HTMLResponse(await asyncio.to_thread(pages.page, session, sheet, query))
        series = query.get("series", "")
        tail = f"?series={series}" if re.fullmatch(r"[\w-]+", series) else ""
        return RedirectResponse(f"/{sheet}{tail}", status_code=303)

    async def arm(self, request: Request) -> Response:
        """The arm drawn from what is being typed."""
        return Response(pages.arm_drawing(dict(request.query_params)), media_type="image/svg+xml")

    async def strip(self, request: Request) -> Response:
        """How far the answer has come."""
        return HTMLResponse(pages.strip(self._session))

    async def live(self, request: Request) -> Response:
        """The answer and the map of what to buy, as far as they have come; 204 for nothing yet."""
        answer = self._session.answer
        if answer.version != self._session.version or not answer.live:
            return Response(status_code=204)
        return HTMLResponse(answer.live)

    async def events(self, request: Request) -> Response:
        """News for a page, for as long as it is open."""
        queue = self._session.listen()
        if queue is None:
            return PlainTextResponse("Too many pages are open.", status_code=503)

        async def stream() -> AsyncIterator[str]:
            try:
                yield "retry: 1000\n\n"
                while True:
                    try:
                        news = await asyncio.wait_for(queue.get(), HEARTBEAT)
                    except TimeoutError:
                        yield ": still here\n\n"
                        continue
                    if news is None:
                        return
                    yield event(news)
            finally:
                self._session.leave(queue)

        return StreamingResponse(stream(), media_type="text/event-stream")

    async def static(self, request: Request) -> Response:
        """A style or a script of the page."""
        found = asset(request.path_params["name"])
        if found is None:
            return PlainTextResponse("There is no such file.", status_code=404)
        return Response(found[0], media_type=found[1])

    async def describe(self, request: Request) -> Response:
        """What /api/ takes and gives."""
        return JSONResponse(openapi(program_version()))

    async def api(self, request: Request) -> Response:
        """The document of a command for a request of another program."""
        command = request.path_params["command"]
        if command not in ASKED:
            return JSONResponse({"kind": "sorry", "why": "there is no such command"}, 404)
        text = (await request.body()).decode("utf-8", "replace")
        question = {"what": "api", "command": command, "request": text}
        try:
            found = await self._session.solver.ask(question, API_SECONDS)
        except BusyError:
            sorry = {"kind": "sorry", "why": "too much is asked at once: try again"}
            return JSONResponse(sorry, 503, headers={"retry-after": "2"})
        except TooLongError:
            return JSONResponse({"kind": "sorry", "why": "this took too long"}, 504)
        except (EndedError, OSError):
            return JSONResponse({"kind": "sorry", "why": "this took too much memory"}, 503)
        return JSONResponse(found, {"faults": 422, "sorry": 503}.get(found["kind"], 200))


async def _own_fault(request: Request, error: Exception) -> Response:
    words = shorten(f"gearchest has a fault of its own: {type(error).__name__}: {error}", 500)
    return PlainTextResponse(f"{words}\nWhat is in the files stands as it was.\n", 500)


async def _nowhere(request: Request, error: Exception) -> Response:
    return PlainTextResponse("There is no such page.\n", 404)


def _form(body: bytes) -> dict[str, list[str]]:
    """The fields of a form; none where it has more than any of ours."""
    try:
        return parse_qs(body.decode("utf-8", "replace"), keep_blank_values=True,
                        max_num_fields=MOST_FIELDS)  # fmt: skip
    except ValueError:
        return {}
