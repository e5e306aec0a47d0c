"""Work done beside other work, in a copy of the process: threads would take turns."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TypeVar

from gearchest.optimizer.search.copies import Copy, can_be_copied

T = TypeVar("T")


@contextmanager
def beside(
    work: Callable[[], T], over: Callable[[], bool], *, workers: int
) -> Iterator[Callable[[], T]]:
    """Begin some work, and give what tells what came of it, which is never None; or does it then:
    where there is one worker or no copy can be had, where the copy failed, and where `over` tells
    to stop. The work must change nothing but what it returns."""
    if not can_be_copied(workers):
        yield work
        return
    try:
        copy = Copy(work)
    except OSError:
        yield work
        return

    def told() -> T:
        made = copy.result(over)
        return work() if made is None else made

    try:
        yield told
    finally:
        copy.end()
