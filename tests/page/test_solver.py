"""The process that computes: asked in turn, stopped, ended, and started again."""

from __future__ import annotations

import asyncio
import contextlib
import os
import time
from collections.abc import AsyncIterator, Coroutine
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any, TypeVar

import pytest

from gearchest.cli.page.frames import framed
from gearchest.cli.page.session import SORRY, WORKING, Session
from gearchest.cli.page.solver import (
    EndedError,
    PutOffError,
    Solver,
    Told,
    TooLongError,
)

T = TypeVar("T")

STUB = """
import json, os, sys, time
from gearchest.cli.page.frames import framed, next_frame
while (message := next_frame(sys.stdin.buffer)) is not None:
    words = json.loads(message)
    def say(**more):
        sys.stdout.buffer.write(framed(json.dumps({"number": words["number"], **more}).encode()))
        sys.stdout.buffer.flush()
    if "stop" in words:
        continue
    if words["what"] == "sleep":
        say(part={"begun": True})
        time.sleep(60)
    if words["what"] == "die":
        os._exit(9)
    say(answer={"pid": os.getpid(), "echo": words["what"]})
"""
"""A process of the same manners that works on nothing."""


@contextlib.asynccontextmanager
async def solver(call: str = STUB) -> AsyncIterator[Solver]:
    own = Solver(call)
    try:
        yield own
    finally:
        await own.close()


def done(work: Coroutine[Any, Any, T]) -> T:
    """What the work comes to, in a thread of its own: in the tests' own the browser's driver may
    keep a loop running."""
    with ThreadPoolExecutor(1) as pool:
        return pool.submit(asyncio.run, work).result()


def alive(number: int) -> bool:
    try:
        os.kill(number, 0)
    except ProcessLookupError:
        return False
    return True


def test_one_process_answers_all_in_turn() -> None:
    async def body() -> list[dict[str, Any]]:
        async with solver() as own:
            return await asyncio.gather(*(own.ask({"what": str(i)}, 20) for i in range(20)))

    found = done(body())
    assert [one["echo"] for one in found] == [str(i) for i in range(20)]
    assert len({one["pid"] for one in found}) == 1


def test_what_takes_too_long_is_ended_and_the_next_is_answered() -> None:
    async def body() -> tuple[int | None, dict[str, Any]]:
        async with solver() as own:
            await own.ask({"what": "x"}, 20)
            before = own.process_id
            with pytest.raises(TooLongError):
                await own.ask({"what": "sleep"}, 0.3)
            return before, await own.ask({"what": "y"}, 20)

    before, found = done(body())
    assert found["echo"] == "y"
    assert found["pid"] != before
    assert before is not None
    assert not alive(before)


def test_a_question_puts_off_what_runs_behind() -> None:
    async def body() -> float:
        async with solver() as own:
            await own.start()
            heard: list[dict[str, Any]] = []
            behind = asyncio.create_task(own.ask_behind({"what": "sleep"}, 60, heard.append))
            while not heard:
                await asyncio.sleep(0.01)
            start = time.monotonic()
            assert (await own.ask({"what": "now"}, 20))["echo"] == "now"
            with pytest.raises(PutOffError):
                await behind
            return time.monotonic() - start

    assert done(body()) < 15


def test_a_newer_question_ends_the_older() -> None:
    async def body() -> None:
        async with solver() as own:
            heard: list[dict[str, Any]] = []
            older = asyncio.create_task(own.ask_behind({"what": "sleep"}, 60, heard.append))
            while not heard:
                await asyncio.sleep(0.01)
            older.cancel()
            with pytest.raises(asyncio.CancelledError):
                await older
            assert (await own.ask({"what": "new"}, 20))["echo"] == "new"

    done(body())


def test_what_is_called_back_while_it_is_put_off_ends() -> None:
    """Else whoever asked for it asks again, of files that have changed since."""

    async def body() -> bool:
        async with solver() as own:
            heard: list[dict[str, Any]] = []
            older = asyncio.create_task(own.ask_behind({"what": "sleep"}, 60, heard.append))
            while not heard:
                await asyncio.sleep(0.01)
            other = asyncio.create_task(own.ask({"what": "now"}, 20))
            await asyncio.sleep(0)  # the other puts the older off
            older.cancel()
            await asyncio.wait({older, other})
            return older.cancelled()

    assert done(body())


HALTING = """
import json, os, sys, time
from gearchest.cli.page.frames import framed, next_frame
out = sys.stdout.buffer
while (message := next_frame(sys.stdin.buffer)) is not None:
    words = json.loads(message)
    if "stop" in words:
        continue
    number = words["number"]
    out.write(framed(json.dumps({"number": number, "part": 1}).encode()))
    answer = {"pid": os.getpid(), **words}
    message = framed(json.dumps({"number": number, "answer": answer}).encode())
    out.write(message[:20])
    out.flush()
    time.sleep(0.5)
    out.write(message[20:])
    out.flush()
"""
"""A process of whose answers the first half comes some time before the second."""


def test_an_answer_half_read_when_it_is_called_back_is_read_to_its_end() -> None:
    """Else the next is read from the middle of it, and so on for ever."""

    async def body() -> tuple[int | None, dict[str, Any]]:
        async with solver(HALTING) as own:
            heard: list[Any] = []
            older = asyncio.create_task(own.ask_behind({"what": "x"}, 60, heard.append))
            while not heard:
                await asyncio.sleep(0.01)
            await asyncio.sleep(0.05)
            before = own.process_id
            older.cancel()
            return before, await own.ask({"what": "y"}, 60)

    before, found = done(body())
    assert found["what"] == "y"
    assert found["pid"] == before


def test_a_process_that_dies_is_told_and_replaced() -> None:
    async def body() -> None:
        async with solver() as own:
            with pytest.raises(EndedError):
                await own.ask({"what": "die"}, 20)
            assert (await own.ask({"what": "after"}, 20))["echo"] == "after"

    done(body())


def test_closing_ends_the_process() -> None:
    async def body() -> int:
        own = Solver(STUB)
        found = await own.ask({"what": "x"}, 20)
        await own.close()
        return int(found["pid"])

    assert not alive(done(body()))


def test_after_its_end_no_process_is_begun() -> None:
    async def body() -> int | None:
        own = Solver(STUB)
        await own.close()
        with pytest.raises(EndedError):
            await own.ask({"what": "x"}, 20)
        return own.process_id

    assert done(body()) is None


class Reluctant(Solver):
    """Answers nothing, and takes a while to end when it is told to; `broken`: has a fault."""

    broken = False

    async def start(self) -> None:
        pass

    async def ask_behind(
        self, question: dict[str, Any], limit: float, told: Told
    ) -> dict[str, Any]:
        if self.broken:
            raise RuntimeError
        try:
            await asyncio.sleep(3600)
        finally:
            await asyncio.sleep(0.2)
        raise AssertionError


def test_a_session_ends_while_an_older_answer_is_ending(tmp_path: Path) -> None:
    async def body() -> bool:
        session = Session(tmp_path, Reluctant())
        session.start()
        await asyncio.sleep(0.05)
        (tmp_path / "lathe.toml").write_text("", encoding="utf-8")
        await session.look()
        await asyncio.sleep(0.05)  # the answer to the older files is told to end
        closing = asyncio.create_task(session.close())
        return closing in (await asyncio.wait({closing}, timeout=30))[0]

    assert done(body())


def test_a_fault_of_an_answer_is_told_and_the_next_is_asked_for(tmp_path: Path) -> None:
    async def body() -> list[str]:
        own = Reluctant()
        own.broken = True
        session = Session(tmp_path, own)
        session.start()
        await asyncio.sleep(0.05)
        states = [session.answer.state, session.answer.said]
        own.broken = False
        (tmp_path / "lathe.toml").write_text("", encoding="utf-8")
        await session.look()
        await asyncio.sleep(0.05)
        states.append(session.answer.state)
        await session.close()
        return states

    state, said, then = done(body())
    assert state == SORRY
    assert "RuntimeError" in said
    assert then == WORKING


HUNGRY = """
from gearchest.cli.page import worker
from gearchest.cli.page.answers import Answers
def to(self, words, errand):
    if words["what"] == "much":
        return {"kind": "x", "size": len(bytearray(3 * 1024**3))}
    return {"kind": "fine"}
Answers.to = to
worker.run()
"""


def test_more_than_two_gigabytes_are_refused_and_it_goes_on() -> None:
    pytest.importorskip("resource")

    async def body() -> list[str]:
        async with solver(HUNGRY) as own:
            found = await own.ask({"what": "much"}, 60)
            return [found["kind"], (await own.ask({"what": "y"}, 20))["kind"]]

    assert done(body()) == ["sorry", "fine"]


def test_the_real_process_heeds_a_stop_without_being_ended() -> None:
    """A search over two studs that takes long is stopped by asking, so that what is known stays."""
    large = Path(__file__).parents[1] / "bench" / "large"
    wants = "\n".join(
        f'[[want]]\npitch = "{i / 7 + 1:.3f} mm"\ntolerance = "0.5 %"' for i in range(60)
    )
    texts = {
        "lathe": (large / "lathe.toml").read_text(encoding="utf-8"),
        "wants": wants,
        "offers": None,
    }

    async def body() -> tuple[int | None, int | None]:
        async with solver("from gearchest.cli.page.worker import run; run()") as own:
            await own.ask({"what": "api", "command": "threads", "request": "{}"}, 60)
            before = own.process_id
            task = asyncio.create_task(
                own.ask_behind({"what": "steps", "texts": texts}, 60, lambda _: None)
            )
            await asyncio.sleep(2)
            task.cancel()
            with contextlib.suppress(asyncio.CancelledError):
                await task
            await own.ask({"what": "api", "command": "threads", "request": "{}"}, 60)
            return before, own.process_id

    before, after = done(body())
    assert after is not None
    assert before == after


def test_frames() -> None:
    assert framed(b"abc") == b"00000003abc"
