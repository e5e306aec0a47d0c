"""The server that runs an application, without a word of its own on the terminal."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable
from types import FrameType

import uvicorn
from uvicorn.protocols.http.h11_impl import H11Protocol

from gearchest.cli.page.safety import App

HEAD_SECONDS = 20.0
"""In which the first request of a connection has to be there."""

MOST_AT_ONCE = 256
"""Requests answered at a time; more are told to come again."""


class PromptProtocol(H11Protocol):
    """Lets go of connections on which no request has come in time."""

    seconds = HEAD_SECONDS

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        super().connection_made(transport)
        self.loop.call_later(self.seconds, self._let_go)

    def _let_go(self) -> None:
        if self.cycle is None and not self.transport.is_closing():
            self.transport.close()


class PageServer(uvicorn.Server):
    """Tells those who wait for news that it is about to end, so that they let go."""

    def __init__(self, config: uvicorn.Config, ending: Callable[[], None]) -> None:
        super().__init__(config)
        self._ending = ending

    def handle_exit(self, sig: int, frame: FrameType | None) -> None:
        super().handle_exit(sig, frame)
        asyncio.get_event_loop().call_soon_threadsafe(self._ending)


def serving(app: App, ending: Callable[[], None]) -> PageServer:
    """A server that has not begun; `ending` is called when it is told to end."""
    for name in ("uvicorn", "uvicorn.error", "asyncio"):
        log = logging.getLogger(name)
        log.addHandler(logging.NullHandler())
        log.propagate = False
    return PageServer(
        uvicorn.Config(
            app,
            log_config=None,
            access_log=False,
            server_header=False,
            lifespan="off",
            ws="none",
            http=PromptProtocol,
            loop="asyncio",
            limit_concurrency=MOST_AT_ONCE,
            timeout_keep_alive=10,
            timeout_graceful_shutdown=1,
            h11_max_incomplete_event_size=64 * 1024,
        ),
        ending,
    )
