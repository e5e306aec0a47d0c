"""The one process that computes: asked in turn, ended when it takes too long or too much.

It is a process of its own so that it can be ended at any moment, and so that pages are served
while it works. What it has found it keeps as long as it runs, so it is ended only where asking it
to stop does not help.
"""

from __future__ import annotations

import asyncio
import json
import sys
from collections.abc import Callable
from contextlib import suppress
from typing import Any

from gearchest.cli.page.frames import framed, read_frame

Told = Callable[[dict[str, Any]], None]

STOP_SECONDS = 2.5
"""In which the process has to heed that it is to stop; then it is ended, and forgets all."""

MOST_WAITING = 32
"""Questions that wait for their turn; more are told to come again."""

_CALL = "from gearchest.cli.page.worker import run; run()"


class TooLongError(Exception):
    """The time limit came before the answer."""


class BusyError(Exception):
    """Too many questions wait already."""


class PutOffError(Exception):
    """A question of the background made room for another; it may be asked again."""


class EndedError(Exception):
    """The process ended of itself: most likely it wanted more memory than it may have."""


class Solver:
    """Questions to the process, and its answers, as JSON."""

    def __init__(self, call: str = _CALL) -> None:
        self._call = call
        self._process: asyncio.subprocess.Process | None = None
        self._turn = asyncio.Lock()
        self._waiting = 0
        self._number = 0
        self._background: asyncio.Task[dict[str, Any]] | None = None
        self._reading: asyncio.Task[bytes] | None = None
        self._closed = False

    @property
    def process_id(self) -> int | None:
        """Of the process, while there is one."""
        running = self._process is not None and self._process.returncode is None
        return self._process.pid if self._process is not None and running else None

    async def start(self) -> None:
        """Start the process, so that it has loaded what it needs when it is asked."""
        async with self._turn:
            await self._running()

    async def ask(self, question: dict[str, Any], limit: float) -> dict[str, Any]:
        """The answer, in `limit` s at most from its turn; what runs in the background is put off.

        Raises `TooLongError`, `BusyError`, `EndedError`.
        """
        if self._waiting >= MOST_WAITING:
            raise BusyError
        if self._background is not None:
            self._background.cancel()
        return await self._answered(question, limit, None)

    async def ask_behind(
        self, question: dict[str, Any], limit: float, told: Told
    ) -> dict[str, Any]:
        """As `ask`, giving way to others: raises `PutOffError` then. `told` hears of parts of the
        answer. Cancelling ends the work."""
        if self._background is not None:
            self._background.cancel()
        task = asyncio.create_task(self._answered(question, limit, told))
        self._background = task
        try:
            return await asyncio.shield(task)
        except asyncio.CancelledError:
            own = asyncio.current_task()
            if task.cancelled() and not (own and own.cancelling()):
                raise PutOffError from None
            task.cancel()
            raise
        finally:
            if self._background is task:
                self._background = None

    async def close(self) -> None:
        """End the process."""
        self._closed = True
        await self._end()

    async def _answered(
        self, question: dict[str, Any], limit: float, told: Told | None
    ) -> dict[str, Any]:
        self._waiting += 1
        try:
            await self._turn.acquire()
        finally:
            self._waiting -= 1
        clean = False
        try:
            if self._closed:
                raise EndedError
            process = await self._running()
            self._number += 1
            number = self._number
            try:
                async with asyncio.timeout(limit):
                    await self._say(process, {"number": number, **question})
                    answer = await self._heard(process, number, told)
            except TimeoutError:
                raise TooLongError from None
            except (EOFError, OSError, ValueError):
                raise EndedError from None
            clean = True
            return answer
        finally:
            if clean:
                self._turn.release()
            else:
                settling = asyncio.create_task(self._settle())
                settling.add_done_callback(lambda _: self._turn.release())
                _KEPT.add(settling)
                settling.add_done_callback(_KEPT.discard)

    async def _settle(self) -> None:
        """Have the process stop what it is at, or end it."""
        process = self._process
        if process is None or process.returncode is not None or self._closed:
            await self._end()
            return
        try:
            async with asyncio.timeout(STOP_SECONDS):
                await self._say(process, {"stop": self._number})
                await self._heard(process, self._number, None)
        except (TimeoutError, EOFError, OSError, ValueError):
            await self._end()

    async def _running(self) -> asyncio.subprocess.Process:
        if self._process is None or self._process.returncode is not None:
            self._reading = None  # what that one began to say
            self._process = await asyncio.create_subprocess_exec(
                sys.executable, "-c", self._call,
                stdin=asyncio.subprocess.PIPE, stdout=asyncio.subprocess.PIPE,
                start_new_session=True,  # Ctrl-C in the terminal is ours to pass on
            )  # fmt: skip
        return self._process

    async def _say(self, process: asyncio.subprocess.Process, words: dict[str, Any]) -> None:
        assert process.stdin is not None
        process.stdin.write(framed(json.dumps(words).encode()))
        await process.stdin.drain()

    async def _heard(
        self, process: asyncio.subprocess.Process, number: int, told: Told | None
    ) -> dict[str, Any]:
        """The answer to this question; what is left of older ones is passed over."""
        while True:
            words: dict[str, Any] = json.loads(await self._message(process))
            if words["number"] != number:
                continue
            if "part" not in words:
                answer: dict[str, Any] = words["answer"]
                return answer
            if told is not None:
                told(words["part"])

    async def _message(self, process: asyncio.subprocess.Process) -> bytes:
        """The next message; one half read when whoever waited for it was called back is read on."""
        assert process.stdout is not None
        if self._reading is None:
            self._reading = asyncio.create_task(read_frame(process.stdout))
        message = await asyncio.shield(self._reading)
        self._reading = None
        return message

    async def _end(self) -> None:
        self._reading = None
        process, self._process = self._process, None
        if process is None:
            return
        with suppress(ProcessLookupError):
            process.kill()
        await process.wait()


_KEPT: set[asyncio.Task[None]] = set()
"""Tasks nobody else holds, so that they are not forgotten half done."""
