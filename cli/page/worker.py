"""The process that computes: reads questions, one at a time, until whoever asks has gone."""

from __future__ import annotations

import json
import os
import sys
import threading
from contextlib import suppress
from functools import partial
from queue import SimpleQueue
from typing import Any

from gearchest.cli.faults import FaultsError
from gearchest.cli.page.errand import Errand
from gearchest.cli.page.frames import framed, next_frame
from gearchest.optimizer.search.asking import SearchStoppedError

MEMORY = 2 * 1024**3
"""Bytes it may have."""


def run() -> None:
    """Answer until the other side ends."""
    _bound_memory(MEMORY)
    from gearchest.cli.page.answers import Answers

    source, sink = sys.stdin.buffer, sys.stdout.buffer
    sys.stdout = sys.stderr  # what prints must not get between the answers
    waiting: SimpleQueue[tuple[dict[str, Any], Errand]] = SimpleQueue()
    under_way: dict[int, Errand] = {}

    def say(words: dict[str, Any]) -> None:
        try:
            sink.write(framed(json.dumps(words, allow_nan=False).encode()))
            sink.flush()
        except OSError:  # whoever asked was killed
            os._exit(0)

    def tell(number: int, part: dict[str, Any]) -> None:
        say({"number": number, "part": part})

    def listen() -> None:
        while (message := next_frame(source)) is not None:
            words = json.loads(message)
            if "stop" in words:
                if errand := under_way.get(words["stop"]):
                    errand.stop()
                continue
            number = words["number"]
            errand = Errand(number, partial(tell, number))
            under_way[number] = errand
            waiting.put((words, errand))
        os._exit(0)

    answers = Answers()
    threading.Thread(target=listen, daemon=True).start()
    while True:
        words, errand = waiting.get()
        try:
            answer = _answer(answers, words, errand)
        finally:
            under_way.pop(errand.number, None)
        say({"number": errand.number, "answer": answer})


def _answer(answers: Any, words: dict[str, Any], errand: Errand) -> dict[str, Any]:
    from gearchest.cli.page.replies import fault_document, sorry

    try:
        found: dict[str, Any] = answers.to(words, errand)
        return found
    except FaultsError as error:
        return fault_document(error)
    except SearchStoppedError:
        return {"kind": "stopped"}
    except MemoryError:
        return sorry("this takes more memory than it may have: ask for less at a time")
    except Exception as error:
        if os.environ.get("GEARCHEST_DEBUG"):
            raise
        return sorry(f"gearchest has a fault of its own: {type(error).__name__}: {error}")


def _bound_memory(most: int) -> None:
    """Have the system refuse what goes beyond, where it knows how to."""
    with suppress(ImportError, ValueError, OSError):
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (most, most))
