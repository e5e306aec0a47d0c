"""One person at work: the files of a folder, the answer to them as far as it has come, and the
pages that want to hear of both."""

from __future__ import annotations

import asyncio
import json
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from gearchest.cli.page.desk import Desk
from gearchest.cli.page.outcome import Outcome
from gearchest.cli.page.shelf import Shelf, Texts
from gearchest.cli.page.solver import EndedError, PutOffError, Solver, TooLongError

PLAN_SECONDS = 600.0
"""The plan may take so long; a newer change ends it."""

LOOK_SECONDS = 0.5
"""Between looks at whether somebody else has changed the files."""

IDLE_SECONDS = 2.0
"""Without a question before the process looks ahead again."""

MOST_LISTENING = 24
"""Pages that hear of changes at a time."""

WORKING, DONE, WAITING, SORRY = "working", "done", "waiting", "sorry"


@dataclass
class SoFar:
    """How far the answer to the files has come; `version` of the files it is for, `ticks` whether
    gears can be ticked, `live` its cards and map while there is no more of it."""

    version: int
    state: str
    steps: list[dict[str, Any]] = field(default_factory=list)
    said: str = ""
    advised: int | None = None
    ticks: bool = False
    live: str = ""


class Session:
    """Everything between the pages and the process that computes."""

    def __init__(self, folder: Path | None, solver: Solver | None = None) -> None:
        self.solver = solver or Solver()
        self.desk: Desk | None = None
        self.answer = SoFar(0, WAITING)
        self.outcome = Outcome()
        self._listening: set[asyncio.Queue[dict[str, Any] | None]] = set()
        self._changed = asyncio.Event()
        self._tasks: list[asyncio.Task[None]] = []
        if folder is not None:
            self.take(folder)

    def take(self, folder: Path) -> None:
        """Work on the files of this folder. Raises `FaultsError` where it cannot be read."""
        self.desk = Desk(Shelf(folder))
        self._changed.set()

    @property
    def texts(self) -> Texts:
        """The files as they were last seen."""
        return dict(self.desk.texts) if self.desk else {}

    @property
    def version(self) -> int:
        """Counts changes of the files."""
        return self.desk.version if self.desk else 0

    def start(self) -> None:
        """Begin to watch the files and to answer."""
        self._tasks = [asyncio.create_task(self._watch()), asyncio.create_task(self._answering())]

    async def close(self) -> None:
        """End all that was begun."""
        for task in self._tasks:
            task.cancel()
        for task in self._tasks:
            with suppress(asyncio.CancelledError):
                await task
        await self.solver.close()

    async def look(self) -> None:
        """See what others have changed before anything is shown."""
        if self.desk is not None and await asyncio.to_thread(self.desk.look):
            self.changed()

    def changed(self) -> None:
        """The files may have changed: tell the pages and answer anew."""
        if self.version != self.answer.version:
            self._changed.set()

    def listen(self) -> asyncio.Queue[dict[str, Any] | None] | None:
        """A queue that hears of changes, first how things stand; None where too many do."""
        if len(self._listening) >= MOST_LISTENING:
            return None
        queue: asyncio.Queue[dict[str, Any] | None] = asyncio.Queue()
        queue.put_nowait(self._news())
        self._listening.add(queue)
        return queue

    def leave(self, queue: asyncio.Queue[dict[str, Any] | None]) -> None:
        """Hear of nothing more."""
        self._listening.discard(queue)

    def farewell(self) -> None:
        """Let go of all pages that wait for news: there will be none."""
        for queue in self._listening:
            queue.put_nowait(None)

    def _news(self) -> dict[str, Any]:
        return {
            "version": self.version,
            "judged": self.answer.version,
            "state": self.answer.state,
            "steps": len(self.answer.steps),
            "ticks": self.answer.ticks,
        }

    def _tell(self) -> None:
        for queue in self._listening:
            if queue.qsize() > 50:  # whoever does not listen needs only the latest
                queue.get_nowait()
            queue.put_nowait(self._news())

    async def _watch(self) -> None:
        while True:
            await asyncio.sleep(LOOK_SECONDS)
            await self.look()

    async def _answering(self) -> None:
        """Answer the files, and begin anew whenever they change."""
        with suppress(OSError):
            await self.solver.start()
        while True:
            await self._changed.wait()
            self._changed.clear()
            if self.desk is None:
                continue
            work = asyncio.create_task(self._one(self.version, self.texts))
            newer = asyncio.create_task(self._changed.wait())
            try:
                await asyncio.wait({work, newer}, return_when=asyncio.FIRST_COMPLETED)
            finally:
                work.cancel()
                newer.cancel()
            await asyncio.wait({work, newer})  # not each by itself: that hides our own end
            if not work.cancelled() and (error := work.exception()):
                words = f"gearchest has a fault of its own: {type(error).__name__}"
                self.answer.state, self.answer.said = SORRY, words
                self._tell()

    async def _one(self, version: int, texts: Texts) -> None:
        """The answer to one state of the files, told step by step."""
        answer = self.answer = SoFar(version, WORKING)
        self._tell()

        def part(found: dict[str, Any]) -> None:
            answer.steps, answer.said = found["steps"], found["said"]
            answer.advised, answer.ticks = found["advised"], found["ticks"]
            answer.live = found["live"]
            self._tell()

        question = {"what": "steps", "texts": texts}
        while True:
            try:
                found = await self.solver.ask_behind(question, PLAN_SECONDS, part)
                break
            except PutOffError:
                continue
            except TooLongError:
                found = {"kind": "sorry", "why": "this took too long, and was ended"}
                break
            except (EndedError, OSError):
                found = {"kind": "sorry", "why": "this took more memory than it may have"}
                break
        if found["kind"] == "steps":
            part(found)
            answer.state = DONE
        elif found["kind"] == "faults":
            answer.state = WAITING
        else:
            answer.state, answer.said = SORRY, str(found.get("why", ""))
        self._tell()
        if answer.state == DONE:
            await self._look_ahead()

    async def _look_ahead(self) -> None:
        """While nothing else is asked have the process look for what the next edit will ask."""
        while True:
            try:
                await self.solver.ask_behind({"what": "ahead"}, PLAN_SECONDS, lambda _: None)
                return
            except PutOffError:
                await asyncio.sleep(IDLE_SECONDS)
            except (TooLongError, EndedError, OSError):
                return


def event(news: dict[str, Any]) -> str:
    """News as a server-sent event."""
    return f"data: {json.dumps(news)}\n\n"
