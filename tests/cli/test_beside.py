"""Work done in a copy of the process comes to the same as work done here."""

from __future__ import annotations

import os
import signal
import sys
import time

import pytest

from gearchest.cli.beside import beside
from gearchest.optimizer.search import copies

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="copies are made on Linux alone")


def no() -> bool:
    return False


def children() -> list[str]:
    with open(f"/proc/self/task/{os.getpid()}/children", encoding="ascii") as file:
        return file.read().split()


def test_work_is_done_in_another_process_meanwhile() -> None:
    with beside(lambda: (os.getpid(), "x" * 3_000_000), no, workers=2) as made:
        here = time.process_time()
        process, text = made()
    assert process != os.getpid()
    assert len(text) == 3_000_000
    assert time.process_time() - here < 5
    assert str(process) not in children()


def test_one_worker_does_it_here() -> None:
    with beside(os.getpid, no, workers=1) as made:
        assert made() == os.getpid()


def test_what_a_copy_could_not_do_is_done_here() -> None:
    """It raises, or is ended; what the work raises here is raised here."""
    own = os.getpid()

    def failing() -> int:
        if os.getpid() != own:
            raise ValueError
        return 7

    def ended() -> int:
        if os.getpid() != own:
            os.kill(os.getpid(), signal.SIGKILL)
        return 8

    def raising() -> int:
        raise KeyError(os.getpid())

    for work, answer in ((failing, 7), (ended, 8)):
        with beside(work, no, workers=2) as made:
            assert made() == answer
    with beside(raising, no, workers=2) as made, pytest.raises(KeyError, match=str(own)):
        made()


def test_nothing_is_waited_for_once_it_is_over(monkeypatch: pytest.MonkeyPatch) -> None:
    own, begun = os.getpid(), time.monotonic()

    def slow() -> int:
        if os.getpid() != own:
            time.sleep(60)
        return 9

    with beside(slow, lambda: True, workers=2) as made:
        assert made() == 9
    monkeypatch.setattr(copies, "PATIENCE", 0.1)
    with beside(slow, no, workers=2) as made:
        assert made() == 9
    with pytest.raises(RuntimeError), beside(slow, no, workers=2):
        raise RuntimeError
    assert time.monotonic() - begun < 30


def test_ctrl_c_is_left_to_the_process_that_was_copied() -> None:
    def hit() -> int:
        os.kill(os.getpid(), signal.SIGINT)
        return os.getpid()

    with beside(hit, no, workers=2) as made:
        assert made() != os.getpid()
    assert signal.SIGINT not in signal.pthread_sigmask(signal.SIG_BLOCK, [])
