"""Work shared out to copies of the process: threads take turns at all that is no long loop of
numpy's."""

from __future__ import annotations

import ctypes
import os
import pickle
import select
import signal
import sys
from collections.abc import Callable, Generator, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, suppress
from mmap import mmap
from typing import Generic, Protocol, TypeVar

from gearchest.optimizer.search.asking import Ask, SearchStoppedError

T = TypeVar("T")

PATIENCE = 60.0
"""Seconds a copy is waited for: one that hangs must hang nothing else."""

_POLL = 0.05
"""Seconds between looks whether to stop while a copy is waited for."""

_MOST_JOBS = 30_000
"""Jobs of two bytes each that a pipe holds."""

Work = Callable[[int, Ask], T]
"""What is to be done for a job, by its number, asking whether to go on."""


class Share(Protocol):
    """Does jobs 0, 1, ... below `count` with so many `workers`, >= 1, and gives each with what
    came of it, None where `SearchStoppedError` ended it; other errors are passed on."""

    def __call__(
        self, count: int, work: Work[T], workers: int, ask: Ask
    ) -> Generator[tuple[int, T | None], None, None]: ...


def in_threads(
    count: int, work: Work[T], workers: int, ask: Ask
) -> Generator[tuple[int, T | None], None, None]:
    """See `Share`: in their order, in threads."""
    with ThreadPoolExecutor(workers) as pool:
        running = [pool.submit(work, job, ask) for job in range(count)]
        try:
            for job, future in enumerate(running):
                try:
                    yield job, future.result()
                except SearchStoppedError:
                    yield job, None
        except BaseException:
            pool.shutdown(cancel_futures=True)
            raise


def in_turn(
    count: int, work: Work[T], workers: int, ask: Ask
) -> Generator[tuple[int, T | None], None, None]:
    """See `Share`: in their order, here, however many workers there are."""
    for job in range(count):
        try:
            yield job, work(job, ask)
        except SearchStoppedError:
            yield job, None


def can_be_copied(workers: int) -> bool:
    """Whether copies can be had and are of use. Elsewhere than on Linux a copy has no working
    libraries."""
    return workers > 1 and sys.platform == "linux"


def in_copies(
    count: int, work: Work[T], workers: int, ask: Ask
) -> Generator[tuple[int, T | None], None, None]:
    """See `Share`: in any order, here and in copies of the process, which must be able to tell
    what came of the work; in threads where there can be no copies."""
    yield from _in_copies(count, work, workers, ask, in_threads)


def in_copies_alone(
    count: int, work: Work[T], workers: int, ask: Ask
) -> Generator[tuple[int, T | None], None, None]:
    """The same of work that two threads of a process can't do at once: one after the other
    where there can be no copies."""
    yield from _in_copies(count, work, workers, ask, in_turn)


def _in_copies(
    count: int, work: Work[T], workers: int, ask: Ask, instead: Share
) -> Generator[tuple[int, T | None], None, None]:
    """What a copy took and did not do is done here."""
    if not can_be_copied(workers) or not 1 < count < _MOST_JOBS:
        yield from instead(count, work, workers, ask)
        return
    stopped = mmap(-1, 1)

    def go_on() -> None:
        if stopped[0]:
            raise SearchStoppedError
        ask()

    jobs, into = os.pipe()
    os.write(into, b"".join(job.to_bytes(2, "big") for job in range(count)))
    os.close(into)

    def taken() -> Iterator[int]:
        while job := os.read(jobs, 2):
            yield int.from_bytes(job, "big")

    def some() -> dict[int, T]:
        found = {}
        for job in taken():
            try:
                found[job] = work(job, go_on)
            except SearchStoppedError:
                stopped[0] = 1
        return found

    left = set(range(count))
    with ExitStack() as ending:
        ending.callback(os.close, jobs)
        copies: list[Copy[dict[int, T]]] = []
        with suppress(OSError):  # with fewer of them it takes longer
            for _ in range(min(workers, count) - 1):
                copies.append(Copy(some))
                ending.callback(copies[-1].end)
        for job in taken():
            left.discard(job)
            yield job, _done(work, job, go_on, stopped)
        for copy in copies:
            for job, made in (copy.result(lambda: False) or {}).items():
                left.discard(job)
                yield job, made
        for job in sorted(left):
            yield job, _done(work, job, go_on, stopped)


def _done(work: Work[T], job: int, ask: Ask, stopped: mmap) -> T | None:
    try:
        return work(job, ask)
    except SearchStoppedError:
        stopped[0] = 1
        return None


class Copy(Generic[T]):
    """A copy of the process at some work, which must change nothing but what it returns. Raises
    OSError where none can be had."""

    def __init__(self, work: Callable[[], T]) -> None:
        self._answer, into = os.pipe()
        self._ended = False
        held, own = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT}), os.getpid()
        try:
            self._process = os.fork()
            if not self._process:
                _end_with(own)
                _work(work, into)
        except OSError:
            os.close(self._answer)
            raise
        finally:
            signal.pthread_sigmask(signal.SIG_SETMASK, held)
            os.close(into)

    def result(self, over: Callable[[], bool]) -> T | None:
        """What came of the work; None where it failed or took too long, or `over` tells to
        stop."""
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
                return None
        self.end()
        return None

    def end(self) -> None:
        """Go on with it no longer."""
        if not self._ended:
            os.kill(self._process, signal.SIGKILL)
            self._waited_for()

    def _waited_for(self) -> int:
        self._ended = True
        os.close(self._answer)
        return os.waitpid(self._process, 0)[1]


def _end_with(process: int) -> None:
    """Let the kernel end this copy with the process it was copied from, killed outright as that
    may be (prctl(2), PR_SET_PDEATHSIG)."""
    with suppress(OSError, AttributeError):
        ctypes.CDLL(None).prctl(1, int(signal.SIGKILL))
    if os.getppid() != process:  # it ended before the kernel was asked
        os._exit(1)


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
