"""Who is answered at all: only the browser and the programs of the person who started the server.

The server listens on the loopback address alone; what remains are other programs and other pages
on this machine. A page of another origin is told by Host, Origin and Sec-Fetch-Site, another
program by not knowing the key. Nothing a request holds is looked at before that.
"""

from __future__ import annotations

import asyncio
import hmac
import secrets
from collections.abc import Awaitable, Callable, MutableMapping
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import parse_qs

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

LARGEST_BODY = 2_000_000
"""Bytes."""

BODY_SECONDS = 20.0
"""In which a body has to be there."""

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
    "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
"""What pages may load and do where they say nothing stricter themselves."""

_HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "referrer-policy": "same-origin",  # "no-referrer" would make the Origin of our forms null
    "permissions-policy": "camera=(), geolocation=(), microphone=()",
    "cache-control": "no-store",
}

_CLOSED = "This page opens by the address that gearchest printed when it started, with its key."


@dataclass(frozen=True)
class Keys:
    """`first` stands in the address that is opened, `kept` in the cookie it is changed for."""

    port: int
    first: str = field(default_factory=lambda: secrets.token_urlsafe(32))
    kept: str = field(default_factory=lambda: secrets.token_urlsafe(32))

    @property
    def address(self) -> str:
        """Where the browser is sent first."""
        return f"http://127.0.0.1:{self.port}/?key={self.first}"

    @property
    def cookie(self) -> str:
        """The cookie's name: cookies do not tell ports apart."""
        return f"gearchest-{self.port}"


class Guard:
    """Lets requests through to an application, or refuses them; bodies arrive whole or not."""

    def __init__(self, app: App, keys: Keys, *, body_seconds: float = BODY_SECONDS) -> None:
        self._app = app
        self._keys = keys
        self._body_seconds = body_seconds
        names = ("127.0.0.1", "localhost", "[::1]")
        self._hosts = {f"{name}:{keys.port}" for name in names}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            if scope["type"] == "websocket":
                await send({"type": "websocket.close", "code": 1008})
            return
        dressed = _dressed(send)
        headers = _headers(scope)
        if refusal := self._refusal(scope, headers):
            await _answer(dressed, *refusal)
            return
        if scope["path"] == "/" and self._opens(scope):
            cookie = f"{self._keys.cookie}={self._keys.kept}; HttpOnly; SameSite=Strict; Path=/"
            await _answer(dressed, 303, "", [(b"location", b"/"), (b"set-cookie", cookie.encode())])
            return
        try:
            body = await asyncio.wait_for(_body(headers, receive), self._body_seconds)
        except TimeoutError:
            await _answer(dressed, 408, "The request did not come to an end.", _LAST)
            return
        except _TooLargeError:
            most = LARGEST_BODY // 1_000_000
            await _answer(dressed, 413, f"More than {most} MB are not taken.", _LAST)
            return
        if body is None:
            return  # whoever asked is gone
        await self._app(scope, _replay(body, receive), dressed)

    def _refusal(
        self, scope: Scope, headers: dict[str, list[str]]
    ) -> tuple[int, str, list[tuple[bytes, bytes]]] | None:
        """Status, words and headers of what is refused; None where it is let through."""
        hosts, origins = headers.get("host", []), headers.get("origin", [])
        if len(hosts) != 1 or hosts[0].lower() not in self._hosts:
            own = f"http://127.0.0.1:{self._keys.port}"
            return 403, f"This server answers to {own} and to no other name.", _LAST
        if origins and origins != [f"http://{hosts[0].lower()}"]:
            return 403, "Pages of other origins are not answered.", _LAST
        if scope["method"] not in ("GET", "HEAD", "POST"):
            return 405, "Only GET, HEAD and POST are known here.", _LAST
        opening = scope["path"] == "/" and scope["method"] == "GET" and self._opens(scope)
        if set(headers.get("sec-fetch-site", ())) - {"same-origin", "none"} and not opening:
            return 403, "Pages of other sites are not answered.", _LAST
        if opening:
            return None
        by_header = self._knows_key(headers)
        if not by_header and not self._has_cookie(headers):
            return 403, _CLOSED, _LAST
        if scope["method"] == "POST" and not by_header and not origins:
            return 403, "A form without its origin is not answered.", _LAST
        return None

    def _opens(self, scope: Scope) -> bool:
        given = parse_qs(scope["query_string"].decode("latin-1")).get("key", [])
        return len(given) == 1 and _same(given[0], self._keys.first)

    def _knows_key(self, headers: dict[str, list[str]]) -> bool:
        given = headers.get("authorization", [])
        if len(given) != 1 or not given[0].lower().startswith("bearer "):
            return False
        return _same(given[0][7:].strip(), self._keys.first)

    def _has_cookie(self, headers: dict[str, list[str]]) -> bool:
        pairs = (part.strip() for line in headers.get("cookie", []) for part in line.split(";"))
        start = f"{self._keys.cookie}="
        return any(
            _same(pair.removeprefix(start), self._keys.kept)
            for pair in pairs
            if pair.startswith(start)
        )


def _same(one: str, other: str) -> bool:
    return hmac.compare_digest(one.encode("utf-8", "replace"), other.encode())


_LAST = [(b"connection", b"close")]


class _TooLargeError(Exception):
    pass


def _headers(scope: Scope) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for name, value in scope["headers"]:
        found.setdefault(name.decode("latin-1").lower(), []).append(value.decode("latin-1"))
    return found


async def _body(headers: dict[str, list[str]], receive: Receive) -> bytes | None:
    """The whole body; None where the one who asked went away."""
    told = headers.get("content-length", ["0"])[0]
    if not told.isdigit() or int(told) > LARGEST_BODY:
        raise _TooLargeError
    parts: list[bytes] = []
    while True:
        message = await receive()
        if message["type"] == "http.disconnect":
            return None
        parts.append(message.get("body", b""))
        if sum(map(len, parts)) > LARGEST_BODY:
            raise _TooLargeError
        if not message.get("more_body"):
            return b"".join(parts)


def _replay(body: bytes, receive: Receive) -> Receive:
    waiting: list[Message] = [{"type": "http.request", "body": body, "more_body": False}]

    async def again() -> Message:
        return waiting.pop() if waiting else await receive()

    return again


def _dressed(send: Send) -> Send:
    """Every answer with what keeps pages in their bounds."""

    async def sent(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = list(message.get("headers", []))
            there = {name.lower() for name, _ in headers}
            headers += [
                (name.encode(), value.encode())
                for name, value in _HEADERS.items()
                if name.encode() not in there
            ]
            message = {**message, "headers": headers}
        await send(message)

    return sent


async def _answer(send: Send, status: int, words: str, headers: list[tuple[bytes, bytes]]) -> None:
    body = f"{words}\n".encode() if words else b""
    plain = [(b"content-type", b"text/plain; charset=utf-8"),
             (b"content-length", str(len(body)).encode())]  # fmt: skip
    start = {"type": "http.response.start", "status": status, "headers": [*plain, *headers]}
    await send(start)
    await send({"type": "http.response.body", "body": body})
