"""Work shared out to copies of the process comes to what threads make of it."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
import time
from fractions import Fraction
from pathlib import Path

import pytest
from report_samples import mini_lathe

from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.domain.want import Allowance, Want
from gearchest.optimizer.search.asking import Ask, SearchStoppedError, go_on
from gearchest.optimizer.search.copies import in_copies, in_copies_alone, in_threads
from gearchest.optimizer.search.search import find_options

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="copies are made on Linux alone")


def where(job: int, ask: Ask) -> tuple[int, int]:
    ask()
    time.sleep(0.02)
    return job * job, os.getpid()


@pytest.mark.parametrize(("workers", "processes"), [(1, 1), (2, 2), (3, 3)])
def test_every_job_is_done_once_and_by_all_of_them(workers: int, processes: int) -> None:
    done = list(in_copies(30, where, workers, go_on))
    assert sorted(job for job, _ in done) == list(range(30))
    assert all(made is not None and made[0] == job**2 for job, made in done)
    assert len({made[1] for _, made in done if made}) == processes
    assert list(in_copies(0, where, workers, go_on)) == []


def test_what_threads_cannot_do_at_once_is_done_by_copies_or_one_after_the_other(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def who(job: int, ask: Ask) -> tuple[int, int]:
        ask()
        time.sleep(0.01)
        return os.getpid(), threading.get_ident()

    own = (os.getpid(), threading.get_ident())
    assert len({made for _, made in in_copies_alone(30, who, 2, go_on)}) == 2
    monkeypatch.setattr(sys, "platform", "another")
    done = list(in_copies_alone(30, who, 2, go_on))
    assert done == [(job, own) for job in range(30)]
    assert any(made != own for _, made in in_copies(30, who, 2, go_on))


def test_what_a_copy_took_and_did_not_do_is_done_here() -> None:
    own = os.getpid()

    def ended(job: int, ask: Ask) -> int:
        if os.getpid() != own:
            os.kill(os.getpid(), signal.SIGKILL)
        time.sleep(0.01)
        return job

    assert sorted(in_copies(20, ended, 3, go_on)) == [(job, job) for job in range(20)]


def test_a_search_that_is_stopped_ends_in_every_copy() -> None:
    """By the clock, or by what only this process knows; what was done by then is kept."""
    calls: list[int] = []
    own = os.getpid()

    def ask() -> None:
        calls.append(1)
        if len(calls) > 3:
            raise SearchStoppedError

    begun = time.monotonic()

    def slow(job: int, ask: Ask) -> int:
        for _ in range(1000):
            ask()
            time.sleep(0.005)
            if os.getpid() != own and job < 3:
                break
        return job

    done = dict(in_copies(40, slow, 2, ask))
    assert set(done) == set(range(40))
    assert [job for job, made in done.items() if made is None]
    assert time.monotonic() - begun < 20


def test_other_errors_are_passed_on_and_leave_no_copy() -> None:
    def wrong(job: int, ask: Ask) -> int:
        raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        list(in_copies(9, wrong, 2, go_on))
    some = in_copies(9, where, 2, go_on)
    next(some)
    some.close()
    with pytest.raises(ChildProcessError):
        os.waitpid(-1, os.WNOHANG)


def test_options_are_the_same_as_from_threads() -> None:
    lathe = mini_lathe()
    wants = [Want(p, mm(p), Allowance(Fraction(1, 500))) for p in ("0.7", "1", "1.25", "0.3", "2")]
    offered = [(lathe.making.gear(z), None) for z in (63, 70, 97, 127)]
    told: list[tuple[int, int]] = []
    one = find_options(lathe, wants, offered, 2, workers=2, share=in_threads)
    other = find_options(
        lathe, wants, offered, 2, workers=2, share=in_copies,
        progress=lambda done, of: told.append((done, of)),
    )  # fmt: skip
    assert told == [(done, 5) for done in range(1, 6)]
    assert sum(map(len, one.wants)) > 15
    for here, there in zip(one.wants, other.wants, strict=True):
        assert here.missing.tolist() == there.missing.tolist()
        assert here.costs.tolist() == there.costs.tolist()
        rows = range(len(here))
        assert [here.train(row) for row in rows] == [there.train(row) for row in rows]


@pytest.mark.skipif(sys.platform != "linux", reason="copies are made on Linux only")
def test_a_copy_ends_with_the_process_it_was_copied_from_killed_outright() -> None:
    code = (
        "import os, time\n"
        "from gearchest.optimizer.search.copies import Copy\n"
        "Copy(lambda: (print(os.getpid(), flush=True), time.sleep(60)))\n"
        "time.sleep(60)\n"
    )
    with subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE, text=True) as run:
        assert run.stdout is not None
        copy = Path(f"/proc/{int(run.stdout.readline())}/stat")
        run.kill()
        run.wait(10)
        end = time.monotonic() + 10
        while (
            copy.exists() and copy.read_text(encoding="utf-8").rpartition(")")[2].split()[0] != "Z"
        ):
            assert time.monotonic() < end
            time.sleep(0.02)
