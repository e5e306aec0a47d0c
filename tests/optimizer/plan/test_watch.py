"""When a watch says that it is time to stop, on a clock that is set by hand."""

from __future__ import annotations

import time
from collections.abc import Callable

import pytest

from gearchest.optimizer.plan.watch import StoppedError, Watch
from gearchest.optimizer.search.asking import SearchStoppedError

Clock = Callable[[float], None]


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    """Sets the clock that every watch made at 100 s looks at."""

    def show(seconds: float) -> None:
        monkeypatch.setattr(time, "monotonic", lambda: seconds)

    show(100.0)
    return show


def of(limit: float | None = None, grace: float = 0.4) -> Watch:
    return Watch(limit, grace=grace, _started=100.0)


def test_time_left_of_ten_seconds(clock: Clock) -> None:
    watch = of(10.0)
    said = []
    for now in (100.0, 104.0, 109.5, 110.0, 110.5):
        clock(now)
        said.append((watch.seconds, watch.remaining, watch.over, watch.why))
    assert said == [
        (0.0, 10.0, False, ""),
        (4.0, 6.0, False, ""),
        (9.5, 0.5, False, ""),
        (10.0, 0.0, True, "time limit"),
        (10.5, 0.0, True, "time limit"),
    ]


def test_without_a_limit_only_a_stop_ends_it(clock: Clock) -> None:
    watch = of()
    clock(1e6)
    watch.check()
    assert (watch.remaining, watch.over, watch.why) == (None, False, "")
    watch.stop()
    assert (watch.remaining, watch.over, watch.why) == (None, True, "interrupted")
    with pytest.raises(StoppedError):
        watch.check()


def test_a_stop_is_told_before_the_time_limit(clock: Clock) -> None:
    watch = of(10.0)
    clock(111.0)
    with pytest.raises(StoppedError):
        watch.check()
    watch.stop()
    assert watch.why == "interrupted"


def ended(watch: Watch, clock: Clock, begins: float, until: float | None, *at: float) -> list[bool]:
    """Of a search that begins at one time, whether it is ended at others."""
    clock(begins)
    ask = watch.asked(until)
    found = []
    for now in at:
        clock(now)
        try:
            ask()
        except SearchStoppedError:
            found.append(True)
        else:
            found.append(False)
    return found


def test_a_search_begun_in_time_ends_with_the_time(clock: Clock) -> None:
    assert ended(of(10.0), clock, 102.0, None, 109.9, 110.0, 111.0) == [False, True, True]
    assert ended(of(), clock, 102.0, None, 1e6) == [False]


def test_a_search_begun_too_late_has_its_grace(clock: Clock) -> None:
    """Two seconds of it, from when it begins: of one that begins a second before the end one is
    left after it."""
    late = of(10.0, grace=2.0)
    assert ended(late, clock, 120.0, None, 120.0, 121.9, 122.0) == [False, False, True]
    assert ended(late, clock, 109.0, None, 110.5, 110.9, 111.0) == [False, False, True]
    stopped = of(grace=2.0)
    stopped.stop()
    assert ended(stopped, clock, 120.0, None, 121.9, 122.0) == [False, True]


def test_a_search_that_is_to_end_before_the_watch_does(clock: Clock) -> None:
    """At three seconds since the start, and not at them sharp; the grace counts as well."""
    assert ended(of(10.0), clock, 100.0, 3.0, 103.0, 103.1) == [False, True]
    assert ended(of(), clock, 100.0, 3.0, 103.0, 103.1) == [False, True]
    assert ended(of(10.0), clock, 102.9, 3.0, 103.2, 103.4) == [False, True]
    assert ended(of(10.0), clock, 109.9, 30.0, 110.2, 110.4) == [False, True]


def test_whoever_says_nothing_is_given_four_tenths_of_a_second_and_hears_of_nothing() -> None:
    watch = Watch()
    assert watch.grace == 0.4
    assert not watch.interrupted
    assert watch.time_limit is None
    assert 0 <= watch.seconds < 60
