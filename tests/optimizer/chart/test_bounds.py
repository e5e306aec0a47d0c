"""What is said of charts without weighing them: bounds by counting, and when what is asked."""

from __future__ import annotations

from itertools import combinations
from typing import Any

import numpy as np
import pytest
from chart_questions import by_hand, by_lot, changed, questions
from hypothesis import given, settings

from gearchest.optimizer.chart import bound, modelled
from gearchest.optimizer.chart import share as share_module
from gearchest.optimizer.chart.bound import by_setups
from gearchest.optimizer.chart.fewest import fewest_sets
from gearchest.optimizer.chart.question import EMPTY, AlikeThreads, ChartQuestion
from gearchest.optimizer.chart.share import Pace, share
from gearchest.optimizer.chart.weigh import MOST_WORK, can_be_weighed, weighed
from gearchest.optimizer.plan.watch import Watch


def free_by_hand(question: ChartQuestion) -> set[int]:
    """Setups that may cost nothing: what hangs at first leads to them by taking off, or their
    places are some of another's, but not all."""
    start = tuple(question.start.tolist())
    setups = [tuple(one) for one in question.gears.tolist()]

    def places(gears: tuple[int, ...]) -> set[int]:
        return {place for place, gear in enumerate(gears) if gear != EMPTY}

    return {
        k
        for k, one in enumerate(setups)
        if not changed(start, one) or any(places(one) < places(other) for other in setups)
    }


def counted(question: ChartQuestion) -> int:
    """The fewest kinds of setup with a gear put on that serve, with the others, all threads: by
    trying every choice of them; a kind is what serves the same threads. And what the first and the
    last cost more than that."""
    free = free_by_hand(question)
    kinds: dict[tuple[bool, ...], set[int]] = {}
    for k, serves in enumerate(question.serves.tolist()):
        kinds.setdefault(tuple(serves), set()).add(k)
    paid = [kind for kind, setups in kinds.items() if not setups & free]
    threads = len(question.threads)
    others = [kind for kind, setups in kinds.items() if setups & free]
    least = next(
        count
        for count in range(len(paid) + 1)
        if any(
            all(any(one[thread] for one in (*some, *others)) for thread in range(threads))
            for some in combinations(paid, count)
        )
    )
    start = tuple(question.start.tolist())
    setups = [tuple(one) for one in question.gears.tolist()]
    first = min(changed(start, one) - (k not in free) for k, one in enumerate(setups))
    last = min(changed(one, start) for one in setups) if question.back else 0
    return least + first + last


@settings(max_examples=50, deadline=None)
@given(questions(most_threads=5, most_setups=9))
def test_gears_put_on_by_counting_setups(question: ChartQuestion) -> None:
    assert by_setups(question, Watch()) == counted(question)


@pytest.mark.parametrize("seed", range(0, 40, 4))
def test_the_solver_counts_setups_alike(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Asked where there are too many choices to try."""
    monkeypatch.setattr(bound, "fewest_sets", lambda sets, every: None)
    question = by_lot(seed)
    assert by_setups(question, Watch()) == counted(question)


def test_gears_of_the_usual_train_are_put_on_for_setups_that_hang_in_its_place() -> None:
    """Another gear in the place of the first, then a third one there, and both of the usual train:
    four, though the setups' places are some of its own."""
    gears = np.array([[1, EMPTY, EMPTY], [2, EMPTY, EMPTY]], dtype=np.int16)
    threads = tuple(AlikeThreads(np.array([k]), np.array([0])) for k in range(2))
    question = ChartQuestion(gears, np.array([0, 0, EMPTY], dtype=np.int16), True, threads)
    assert question.changes([0, 1]) == by_setups(question, Watch()) == 4


def test_nothing_is_bounded_where_there_is_nothing_or_no_time() -> None:
    none = np.zeros((0, 2), dtype=np.int16)
    assert by_setups(ChartQuestion(none, np.full(2, EMPTY), False, ()), Watch()) == 0


def test_things_apart_are_seen_without_many_looks() -> None:
    """Six pairs of twelve things, no thing in two of them: none of the twelve things is in doubt
    after one look. With a seventh pair across two of the six, six are still needed."""
    pairs = [3 << 2 * k for k in range(6)]
    assert fewest_sets(pairs, (1 << 12) - 1, most_looks=7) == 6
    assert fewest_sets([*pairs, 0b0110], (1 << 12) - 1, most_looks=7) == 6
    assert fewest_sets([*pairs, 0b1111], (1 << 12) - 1, most_looks=6) == 5
    assert fewest_sets([], 0, most_looks=1) == 0
    assert fewest_sets(pairs, (1 << 12) - 1, most_looks=0) is None


def test_what_no_two_of_one_set_hold_is_counted_though_a_large_set_has_many() -> None:
    """Four times three things, any two of the three in one set: eight sets; with two more that hold
    one of each three, five. By how many a set holds alone it would take thirty looks."""
    sets = [3 << 3 * group + k for group in range(4) for k in (0, 1)]
    sets += [5 << 3 * group for group in range(4)]
    large = sum(1 << 3 * group for group in range(4))
    assert fewest_sets(sets, (1 << 12) - 1) == 8
    assert fewest_sets([*sets, large, large << 1], (1 << 12) - 1, most_looks=20) == 5


def test_a_set_is_looked_at_only_for_what_is_asked() -> None:
    """Of everything the first two of four things: one set has both, beside much else."""
    assert fewest_sets([0b0101, 0b1010, 0b1111], 0b0011) == 1
    assert fewest_sets([0b1101, 0b1110], 0b0011) == 2


def question(setups: int, threads: int, *, whole: bool = True, places: int = 2) -> ChartQuestion:
    """Each setup of a gear of its own beside one that all have; each serves all threads."""
    gears = np.zeros((setups, places), dtype=np.int16)
    gears[:, 0] = np.arange(setups)
    alike = AlikeThreads(np.arange(setups), np.zeros(setups, dtype=np.int64))
    return ChartQuestion(
        gears, np.full(places, EMPTY, dtype=np.int16), False, (alike,) * threads, whole
    )


@pytest.mark.parametrize(
    ("setups", "threads", "few"),
    [(1, 15, True), (110, 15, True), (111, 15, False), (1, 16, False), (883, 9, True),
     (884, 9, False)],
)  # fmt: skip
def test_how_many_setups_and_threads_can_be_weighed(setups: int, threads: int, few: bool) -> None:
    """A step for every pair of setups and every set of threads, four hundred million at most; and
    no more than fifteen threads."""
    assert MOST_WORK == 400_000_000
    assert (2**threads * setups**2 <= MOST_WORK and threads <= 15) == few
    assert can_be_weighed(question(setups, threads)) == few


@pytest.mark.parametrize(
    ("setups", "pace", "rounds"),
    [(1, Pace.USUAL, 800), (500, Pace.USUAL, 800), (600, Pace.USUAL, 750), (1000, Pace.USUAL, 600),
     (1000, Pace.HURRIED, 100), (19000, Pace.USUAL, 60), (50000, Pace.USUAL, 60),
     (50000, Pace.HURRIED, 10)],
)  # fmt: skip
def test_the_more_setups_the_fewer_rounds(
    setups: int, pace: Pace, rounds: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """1.2 million setups looked at, a thousand beside those there are in a round; 800 rounds at
    most, and 60 at least; in a hurry a sixth. Of what is not whole nothing else is asked."""
    asked = []

    def searched(_: ChartQuestion, rounds: int, over: object) -> list[int]:
        asked.append(rounds)
        return [0]

    monkeypatch.setattr(share_module, "good_order", searched)
    found = share(question(setups, 1, whole=False), Watch(), pace)
    assert asked == [rounds]
    assert (found.order, found.bound, found.weighed) == ((0,), 0, False)


@pytest.mark.parametrize(
    ("pace", "limit", "setups", "asked"),
    [
        (Pace.USUAL, None, 700, 0.4),
        (Pace.USUAL, 600.0, 700, 0.4),
        (Pace.THOROUGH, None, 700, 0.4),
        (Pace.THOROUGH, 600.0, 700, None),
        (Pace.HURRIED, None, 700, "not"),
        (Pace.USUAL, None, 701, "not"),
        (Pace.USUAL, 0.0, 700, "not"),
    ],
)
def test_when_the_solver_is_asked_for_an_order_and_how_long(
    pace: Pace, limit: float | None, setups: int, asked: object, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Not in a hurry, not of too many setups, not where the time is up; as long as the watch leaves
    only where somebody waits for the best. It bounds at 5 what counting bounds at 1; the better of
    both stands, and so does its order."""
    given: list[object] = []

    def solved(_: ChartQuestion, order: list[int], watch: Watch, seconds: Any) -> Any:
        given.append(seconds)
        return [*order, 0], 5

    monkeypatch.setattr(modelled, "modelled", solved)
    monkeypatch.setattr(share_module, "can_be_weighed", lambda question: False)
    monkeypatch.setattr(share_module, "good_order", lambda *_: [2, 1])
    monkeypatch.setattr(share_module, "by_setups", lambda *_: 1)
    found = share(question(setups, 1), Watch(limit), pace)
    assert not found.weighed
    if asked == "not":
        assert (given, found.order, found.bound) == ([], (2, 1), 1)
    else:
        assert (given, found.order, found.bound) == ([asked], (2, 1, 0), 5)


def test_the_solver_is_not_asked_where_counting_settles_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two gears are put on for the one setup, as counted; a bound that is less stays as counted."""
    monkeypatch.setattr(share_module, "can_be_weighed", lambda question: False)
    monkeypatch.setattr(share_module, "good_order", lambda *_: [0])
    monkeypatch.setattr(modelled, "modelled", lambda *_: ([1], 0))
    monkeypatch.setattr(share_module, "by_setups", lambda *_: 2)
    assert share(question(3, 1), Watch()).order == (0,)
    monkeypatch.setattr(share_module, "by_setups", lambda *_: 1)
    found = share(question(3, 1), Watch())
    assert (found.order, found.bound) == ((1,), 1)


def test_no_threads_take_no_setups() -> None:
    found = share(question(0, 0), Watch())
    assert (found.order, found.bound, found.weighed) == ((), 0, True)


def test_few_setups_are_weighed_whatever_the_pace() -> None:
    """What is found then is proven: as few gears put on as are counted in its own order."""
    for pace in Pace:
        found = share(by_lot(1), Watch(), pace)
        assert found.weighed
        assert found.order == tuple(weighed(by_lot(1)))
        assert found.bound == by_hand(by_lot(1), found.order)


def test_nothing_is_said_where_the_solver_was_stopped(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(bound, "_fewest", lambda *_: None)
    assert by_setups(by_lot(1), Watch()) == 0
