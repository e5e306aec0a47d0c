"""Searches stopped at so manieth a look, whatever the clock says."""

from __future__ import annotations

from collections.abc import Callable

from gearchest.optimizer.plan.watch import Watch
from gearchest.optimizer.search.asking import SearchStoppedError


class StopsAt(Watch):
    """Over at so manieth a look; `looks` there were."""

    def __init__(self, look: int) -> None:
        super().__init__()
        self.look, self.looks = look, 0

    @property
    def over(self) -> bool:
        self.looks += 1
        return self.looks >= self.look


def asked(watch: StopsAt) -> Callable[[], None]:
    """A way of asking the watch that ends the search by what it raises."""

    def ask() -> None:
        if watch.over:
            raise SearchStoppedError

    return ask
