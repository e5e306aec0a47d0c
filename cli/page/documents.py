"""What the process that computes is asked for pages: documents, and parts of sheets."""

from __future__ import annotations

import asyncio
import re
from base64 import b64decode, b64encode
from collections.abc import Awaitable, Callable
from typing import Any

from starlette.requests import Request
from starlette.responses import (
    HTMLResponse,
    JSONResponse,
    PlainTextResponse,
    RedirectResponse,
    Response,
)
from starlette.routing import Route

from gearchest.cli.page import pages
from gearchest.cli.page.framing import framed, policy_of
from gearchest.cli.page.session import DONE, Session
from gearchest.cli.page.solver import BusyError, EndedError, TooLongError
from gearchest.cli.page.why import unwanted, why

SHEET_SECONDS = 120.0
"""One document may take so long."""

_GEAR_FILE = re.compile(r"(\d{1,4})-m[\d.]{1,9}(?:-x-?[\d.]{1,6})?\.(dxf|svg|stl)")

_ENDINGS = {"dxf": "image/vnd.dxf", "svg": "image/svg+xml", "stl": "model/stl"}

Endpoint = Callable[[Request], Awaitable[Response]]

_NAMES = ("setup", "chart", "blanks", "compare")


class Documents:
    """The addresses of what is computed."""

    def __init__(self, session: Session) -> None:
        self._session = session

    @property
    def routes(self) -> list[Route]:
        """Where each is answered."""
        return [
            Route("/buy", self.buy),
            Route("/report", self.report),
            *(Route(f"/{name}", self._document(name)) for name in _NAMES),
            Route("/gear-{named}", self.cut_file),
            Route("/table", self.table, methods=["POST"]),
            Route("/offers", self.offers),
            Route("/unknown", self.unknown),
        ]

    async def buy(self, request: Request) -> Response:
        """What to buy, as far as it is known."""
        return await self._shown("buy", {}, "buy")

    def _document(self, name: str) -> Endpoint:
        async def shown(request: Request) -> Response:
            return await self._shown(name, dict(request.query_params), "papers")

        return shown

    async def _shown(self, name: str, query: dict[str, str], sheet: str) -> Response:
        session = self._session
        if session.desk is None:
            return RedirectResponse("/", status_code=303)
        await self._session.look()
        version = session.version
        answer = session.answer
        done = answer.state == DONE and answer.version == version
        question = {"what": "sheet", "sheet": name, "query": query, "done": done}
        found = await self._asked(question)
        if found["kind"] != "page":
            words = [] if (bare := unwanted(found)) else why(found)
            html = await asyncio.to_thread(
                pages.no_page, session, name, words, query, unwanted=bare
            )
            return HTMLResponse(html, status_code=422)
        head = pages.nav(session, sheet)
        if name == "setup":
            head += await asyncio.to_thread(pages.setup_form, session, query)
        html = framed(
            found["html"], head, pages.strip(session),
            name=name, version=version, whole=found["whole"],
            below=pages.come(session) if name == "buy" and done else "",
        )  # fmt: skip
        policy = f"{policy_of(html)}; frame-ancestors 'none'"
        return HTMLResponse(html, headers={"content-security-policy": policy})

    async def report(self, request: Request) -> Response:
        """The report as the command writes it, to be saved."""
        if self._session.desk is None:
            return RedirectResponse("/", status_code=303)
        found = await self._asked({"what": "sheet", "sheet": "report", "query": {}})
        if found["kind"] != "page":
            return PlainTextResponse("\n".join(why(found)), status_code=422)
        headers = {"content-disposition": 'attachment; filename="lathe-plan.html"'}
        return HTMLResponse(found["html"], headers=headers)

    async def cut_file(self, request: Request) -> Response:
        """A file to cut or print a gear from, by the name the sheet of gears to make gives it."""
        named = _GEAR_FILE.fullmatch(request.path_params["named"])
        if named is None or self._session.desk is None:
            return PlainTextResponse("There is no such file.\n", 404)
        found = await self._asked({"what": "cut file", "teeth": int(named[1]), "ending": named[2]})
        if found["kind"] != "file":
            return PlainTextResponse("\n".join(why(found)), status_code=422)
        headers = {"content-disposition": f'attachment; filename="{found["name"]}"'}
        return Response(b64decode(found["base64"]), 200, headers, _ENDINGS[named[2]])

    async def offers(self, request: Request) -> Response:
        """What was understood of the gears to be had."""
        found = await self._asked({"what": "offers"})
        return HTMLResponse(pages.offers_part(found, why(found)))

    async def table(self, request: Request) -> Response:
        """A table of any program as text, for the field it was dropped on."""
        asked = request.query_params
        body = b64encode(await request.body()).decode("ascii")
        question = {"what": "table", "name": asked.get("name", ""), "for": asked.get("for", "")}
        found = await self._asked({**question, "base64": body})
        if found["kind"] != "table":
            return JSONResponse({"why": why(found)}, 422)
        return JSONResponse({"text": found["text"], "said": found["said"]})

    async def unknown(self, request: Request) -> Response:
        """What a measured thread can be."""
        query = dict(request.query_params)
        found = await self._asked({"what": "identify", "query": query})
        html = await asyncio.to_thread(pages.unknown_page, self._session, query, found, why(found))
        return HTMLResponse(html)

    async def _asked(self, question: dict[str, Any]) -> dict[str, Any]:
        session = self._session
        folder = str(session.desk.shelf.folder) if session.desk else ""
        whole = {**question, "texts": session.texts, "folder": folder}
        try:
            return await session.solver.ask(whole, SHEET_SECONDS)
        except TooLongError:
            return {"kind": "sorry", "why": "this took too long, and was ended"}
        except BusyError:
            return {"kind": "sorry", "why": "too much is asked at once: try again"}
        except (EndedError, OSError):
            return {"kind": "sorry", "why": "this took more memory than it may have"}
