"""The page's server in a thread of the test, with or without the process that computes."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import httpx

from gearchest.cli.page.app import Pages
from gearchest.cli.page.listening import listen
from gearchest.cli.page.safety import Guard, Keys
from gearchest.cli.page.serving import serving
from gearchest.cli.page.session import Session
from gearchest.cli.page.solver import BusyError, Solver


class Silent(Solver):
    """Never answers, and starts no process."""

    async def start(self) -> None:
        pass

    async def ask(self, question: dict[str, Any], limit: float) -> dict[str, Any]:
        raise BusyError

    async def ask_behind(
        self, question: dict[str, Any], limit: float, told: Callable[[dict[str, Any]], None]
    ) -> dict[str, Any]:
        await asyncio.sleep(3600)
        raise AssertionError


@dataclass
class Served:
    """A running server: its keys, and the session behind it."""

    keys: Keys
    session: Session

    @property
    def base(self) -> str:
        return f"http://127.0.0.1:{self.keys.port}"

    def client(self, *, cookie: bool = True, **options: Any) -> httpx.Client:
        """A browser of this origin, let in unless `cookie` is False."""
        client = httpx.Client(
            base_url=self.base, headers={"origin": self.base}, follow_redirects=True, timeout=60,
            **options,
        )  # fmt: skip
        if cookie:
            client.cookies.set(self.keys.cookie, self.keys.kept)
        return client

    @property
    def bearer(self) -> dict[str, str]:
        return {"authorization": f"Bearer {self.keys.first}"}


@contextmanager
def served(
    folder: Path | None, *, solver: bool | Solver = False, body_seconds: float = 20, port: int = 0
) -> Iterator[Served]:
    """A server over the files of a folder."""
    own = listen(port)
    keys = Keys(own.getsockname()[1])
    ready, end = threading.Event(), threading.Event()
    held: list[Session] = []

    async def run() -> None:
        computes = solver if isinstance(solver, Solver) else Solver() if solver else Silent()
        session = Session(folder, computes)
        held.append(session)
        app = Pages(session, lambda _: None).app()
        server = serving(Guard(app, keys, body_seconds=body_seconds), session.farewell)
        session.start()
        task = asyncio.create_task(server.serve(sockets=[own]))
        while not server.started:
            await asyncio.sleep(0.01)
        ready.set()
        while not end.is_set():
            await asyncio.sleep(0.02)
        server.should_exit = True
        session.farewell()
        await task
        await session.close()
        own.close()

    thread = threading.Thread(target=lambda: asyncio.run(run()), daemon=True)
    thread.start()
    assert ready.wait(20)
    try:
        yield Served(keys, held[0])
    finally:
        end.set()
        thread.join(10)
