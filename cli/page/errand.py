"""A question on its way to an answer, which may be called back."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from gearchest.optimizer.plan.watch import Watch
from gearchest.optimizer.search.asking import SearchStoppedError

Part = Callable[[dict[str, Any]], None]
"""What hears of parts of an answer."""


class Errand:
    """One question on its way to an answer."""

    def __init__(self, number: int, tell: Part) -> None:
        self.number = number
        self.tell = tell
        self._watches: list[Watch] = []
        self._stopped = False

    def watch(self, limit: float | None = None) -> Watch:
        """A watch that is stopped with the errand."""
        watch = Watch(limit)
        self._watches.append(watch)
        if self._stopped:
            watch.stop()
        return watch

    def ask(self) -> None:
        """Raises `SearchStoppedError` once the answer is no longer wanted."""
        if self._stopped:
            raise SearchStoppedError

    def stop(self) -> None:
        """End it soon."""
        self._stopped = True
        for watch in self._watches:
            watch.stop()
