"""What computes for the page, in the test itself, and told to go on part by part."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Callable
from typing import Any

from gearchest.cli.faults import FaultsError
from gearchest.cli.page.answers import Answers
from gearchest.cli.page.errand import Errand
from gearchest.cli.page.replies import fault_document
from gearchest.cli.page.solver import Solver
from gearchest.optimizer.search.asking import SearchStoppedError

Told = Callable[[dict[str, Any]], None]


class Stepwise(Solver):
    """Answers as the real one; of what is asked in the background a part is told for each `go`,
    all of them where `freely`. One question at a time: none is put off for another."""

    def __init__(self) -> None:
        super().__init__()
        self._answers = Answers()
        self._one = threading.Lock()
        self.go = threading.Semaphore(0)
        self.freely = True

    async def start(self) -> None:
        pass

    async def ask(self, question: dict[str, Any], limit: float) -> dict[str, Any]:
        return await asyncio.to_thread(self._to, question, Errand(0, lambda _: None))

    async def ask_behind(
        self, question: dict[str, Any], limit: float, told: Told
    ) -> dict[str, Any]:
        if question["what"] == "ahead":
            return {"kind": "ahead"}
        loop = asyncio.get_running_loop()

        def tell(part: dict[str, Any]) -> None:
            self._wait(errand)
            loop.call_soon_threadsafe(told, part)

        errand = Errand(0, tell)
        try:
            found = await asyncio.to_thread(self._to, question, errand)
            await asyncio.to_thread(self._wait, errand)
            return found
        except asyncio.CancelledError:
            errand.stop()
            raise

    async def close(self) -> None:
        self.freely = True

    def _wait(self, errand: Errand) -> None:
        while not (self.freely or self.go.acquire(timeout=0.02)):
            errand.ask()

    def _to(self, question: dict[str, Any], errand: Errand) -> dict[str, Any]:
        try:
            with self._one:
                return self._answers.to(question, errand)
        except FaultsError as error:
            return fault_document(error)
        except SearchStoppedError:
            return {"kind": "stopped"}
