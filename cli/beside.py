"""Work done beside other work, in a copy of the process: threads would take turns."""

from __future__ import annotations

import os
import pickle
import select
import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TypeVar

T = TypeVar("T")

PATIENCE = 60.0
"""Seconds a copy is waited for: one that hangs must hang nothing else."""

_POLL = 0.05
"""Seconds between looks whether to stop while a copy is waited for."""


@contextmanager
def beside(
    work: Callable[[], T], over: Callable[[], bool], *, workers: int
) -> Iterator[Callable[[], T]]:
    """Begin some work, and give what tells what came of it, or does it then: where there is one
    worker or no copy can be had, where the copy failed, and where `over` tells to stop. The work
    must change nothing but what it returns."""
    if workers < 2 or sys.platform != "linux":  # elsewhere a copy has no working libraries
        yield work
        return
    try:
        copy = _Copy(work)
    except OSError:
        yield work
        return
    try:
        yield lambda: copy.result(work, over)
    finally:
        copy.end()


class _Copy:
    """A copy of the process at some work."""

    def __init__(self, work: Callable[[], object]) -> None:
        self._answer, into = os.pipe()
        self._ended = False
        held = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
        try:
            self._process = os.fork()
            if not self._process:
                _work(work, into)
        except OSError:
            os.close(self._answer)
            raise
        finally:
            signal.pthread_sigmask(signal.SIG_SETMASK, held)
            os.close(into)

    def result(self, work: Callable[[], T], over: Callable[[], bool]) -> T:
        """What came of the work; done here where nothing did."""
        told, waited = b"", 0.0
        while not over() and waited < PATIENCE:
            if not select.select([self._answer], [], [], _POLL)[0]:
                waited += _POLL
            elif part := os.read(self._answer, 1 << 20):
                told += part
            elif self._waited_for() == 0:
                made: T = pickle.loads(told)
                return made
            else:
                break
        self.end()
        return work()

    def end(self) -> None:
        """Go on with it no longer."""
        if not self._ended:
            os.kill(self._process, signal.SIGKILL)
            self._waited_for()

    def _waited_for(self) -> int:
        self._ended = True
        os.close(self._answer)
        return os.waitpid(self._process, 0)[1]


def _work(work: Callable[[], object], into: int) -> None:
    """All that the copy does. Ctrl-C is for the process it was copied from, which ends it."""
    code = 1
    try:
        signal.signal(signal.SIGINT, signal.SIG_IGN)
        made = memoryview(pickle.dumps(work(), protocol=pickle.HIGHEST_PROTOCOL))
        while made:
            made = made[os.write(into, made) :]
        code = 0
    finally:
        os._exit(code)
