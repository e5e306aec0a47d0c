"""Run chosen tests against one change after another, without reading the program anew.

All tests are collected once. For each change a process is split off in which the function that
holds it gets its changed code; what functions remember is forgotten first.
"""

from __future__ import annotations

import functools
import gc
import json
import os
import resource
import signal
import sys
import tempfile
import time
import types
from collections.abc import Iterator
from pathlib import Path
from typing import IO, Any

import pytest

NOTICED, SURVIVED, TOO_SLOW, UNABLE = "noticed", "survived", "too slow", "unable"
_NAME = 1000
"""Bytes the name of a test takes at most."""
_ENDS = {0: SURVIVED, 1: NOTICED, 3: UNABLE}


def hasten() -> None:
    """No time for examples to be made small: that one fails is all that is asked."""
    from hypothesis import Phase, settings

    settings.register_profile(
        "hasty",
        settings.get_profile("suite"),
        phases=(Phase.explicit, Phase.generate),
        database=None,
    )
    settings.load_profile("hasty")


def pytest_sessionstart() -> None:
    """After conftest has set its own."""
    hasten()


def codes(code: types.CodeType) -> Iterator[types.CodeType]:
    """This code and all within."""
    yield code
    for within in code.co_consts:
        if isinstance(within, types.CodeType):
            yield from codes(within)


def replace(file: str, source: str, name: str, first: int) -> bool:
    """Give every function of that name and first line in `file` the code it has in `source`."""
    wanted = [
        code
        for code in codes(compile(source, file, "exec", dont_inherit=True))
        if code.co_qualname == name and code.co_firstlineno == first
    ]
    found = False
    for held in gc.get_objects():
        if isinstance(held, functools._lru_cache_wrapper):
            held.cache_clear()
        elif (
            wanted
            and isinstance(held, types.FunctionType)
            and held.__code__.co_qualname == name
            and held.__code__.co_firstlineno == first
            and held.__code__.co_filename == file
        ):
            held.__code__ = wanted[0]
            found = True
    return found


def limited(seconds: float) -> None:
    """No more than so much of the processor, and no more than 6 GB."""
    resource.setrlimit(resource.RLIMIT_CPU, (int(seconds) + 1, int(seconds) + 2))
    resource.setrlimit(resource.RLIMIT_AS, (6 << 30, 6 << 30))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def outcome(child: int, seconds: float) -> str:
    """How a process split off ended; it is ended itself after ten times its share."""
    ends = time.monotonic() + 10 * seconds
    while time.monotonic() < ends:
        done, status = os.waitpid(child, os.WNOHANG)
        if done:
            if os.WIFSIGNALED(status):
                slow = os.WTERMSIG(status) in (signal.SIGXCPU, signal.SIGKILL)
                return TOO_SLOW if slow else NOTICED
            return _ENDS.get(os.WEXITSTATUS(status), NOTICED)
        time.sleep(0.01)
    os.killpg(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return TOO_SLOW


class Server:
    """A pytest plugin that asks what to try instead of running what it collected."""

    def __init__(self, asking: IO[str], answering: IO[str]) -> None:
        self.asking, self.answering = asking, answering

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """One line of JSON a question, one an answer; an empty one before, when all is read."""
        items = {item.nodeid: item for item in session.items}
        gc.collect()
        gc.freeze()
        print(file=self.answering, flush=True)
        for line in self.asking:
            asked: dict[str, Any] = json.loads(line)
            found, by = self.tried(items, asked)
            print(json.dumps([found, by]), file=self.answering, flush=True)
        return True

    def tried(self, items: dict[str, pytest.Item], asked: dict[str, Any]) -> tuple[str, str]:
        """What became of one change, and which test noticed it."""
        tests = [items[test] for test in asked["tests"] if test in items]
        if not tests:
            return UNABLE, ""
        with tempfile.TemporaryFile() as at:
            child = os.fork()
            if not child:
                os.setsid()
                limited(asked["seconds"])
                gc.unfreeze()
                code = 3
                if not asked["source"] or replace(
                    *(asked[k] for k in ("file", "source", "name", "first"))
                ):
                    code = self.run(tests, at.fileno())
                os._exit(code)
            found = outcome(child, asked["seconds"])
            at.seek(0)
            return found, at.read().decode().strip()

    def run(self, tests: list[pytest.Item], at: int) -> int:
        """Run these until one fails, or ends the process; `at` says which it is."""
        failed: list[str] = []

        class Watch:
            def pytest_runtest_logreport(self, report: Any) -> None:
                if report.failed:
                    failed.append(report.nodeid)

        tests[0].config.pluginmanager.register(Watch())
        for item, following in zip(tests, [*tests[1:], None], strict=True):
            os.pwrite(at, item.nodeid.encode().ljust(_NAME), 0)
            item.config.hook.pytest_runtest_protocol(item=item, nextitem=following)
            if failed:
                return 1
        return 0


class Quick:
    """The server in a process of its own, asked from here."""

    def __init__(self, root: Path, log: Path, tests: list[str]) -> None:
        to_read, to_write = os.pipe()
        from_read, from_write = os.pipe()
        self.child = os.fork()
        if not self.child:
            os.close(to_write)
            os.close(from_read)
            with log.open("w") as said:
                os.dup2(said.fileno(), 1)
                os.dup2(said.fileno(), 2)
            with os.fdopen(to_read) as asking, os.fdopen(from_write, "w") as answering:
                server = Server(asking, answering)
                quiet = ["-q", "-s", "-p", "no:cacheprovider", f"--rootdir={root}"]
                pytest.main([*quiet, *tests], plugins=[sys.modules[__name__], server])
            os._exit(0)
        os.close(to_read)
        os.close(from_write)
        self.asking, self.answering = os.fdopen(to_write, "w"), os.fdopen(from_read)
        self.answering.readline()  # no change is made before, or it would be read with the rest
        self.sound: set[str] = set()
        self.unsound: set[str] = set()

    def ask(self, tests: list[str], seconds: float, **change: object) -> tuple[str, str]:
        """One question."""
        asked = {"tests": tests, "seconds": seconds, "source": "", **change}
        print(json.dumps(asked), file=self.asking, flush=True)
        found, by = json.loads(self.answering.readline())
        return found, by

    def tried(self, tests: list[str], seconds: float, **change: object) -> tuple[str, str]:
        """What became of a change; a test that fails without it too is left out from then on, as
        is one at which the time is up without it too."""
        while True:
            tests = [test for test in tests if test not in self.unsound]
            found, by = self.ask(tests, seconds, **change)
            if found in (SURVIVED, UNABLE):
                return found, ""
            if not by or (found == NOTICED and by in self.sound):
                return found, by
            upto = [by] if found == NOTICED else tests[: tests.index(by) + 1]
            if self.ask(upto, seconds)[0] != SURVIVED:
                self.unsound.add(by)
                continue
            self.sound.add(by)
            return found, by

    def close(self) -> None:
        """No more questions."""
        self.asking.close()
        os.waitpid(self.child, 0)
