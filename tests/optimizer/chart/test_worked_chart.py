"""A chart small enough to be worked out by hand, every figure of it: five gears, a leadscrew of
2 mm, seven threads of which one cannot be cut."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from fractions import Fraction

import pytest

from gearchest.optimizer.chart.build import changes, make_chart
from gearchest.optimizer.chart.candidates import Candidates, candidates
from gearchest.optimizer.chart.result import Change, GearChart
from gearchest.optimizer.domain.gear import Chest, Gear
from gearchest.optimizer.domain.lathe import GearMaking, Lathe
from gearchest.optimizer.domain.layout import LAYOUTS
from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.domain.want import Allowance, Want
from gearchest.optimizer.plan.watch import Watch
from gearchest.optimizer.search.asking import SearchStoppedError
from gearchest.optimizer.search.result import Verdict, WantStep
from gearchest.optimizer.turning.half_nuts import How

MAKING = GearMaking(Fraction(1))

LATHE = Lathe(
    "bench", mm(2), MAKING, Chest(tuple((MAKING.gear(z), 1) for z in (20, 30, 40, 50, 60)))
)

NONE = Fraction(0)


def want(pitch: Fraction, allowed: Fraction = NONE) -> Want:
    return Want(str(pitch), mm(pitch), Allowance(allowed))


WANTS = [
    want(Fraction(1)),  # 20/40 or 30/60
    want(Fraction(6, 5)),  # 30/50
    want(Fraction(4, 5), Fraction(1, 20)),  # 20/50
    want(Fraction(4, 5)),
    want(Fraction(3, 5)),  # 20/40 x 30/50, which hang in many ways
    want(Fraction(7, 11)),  # nothing
    want(Fraction(3, 4), Fraction(1, 10)),  # 20/50 is 1 in 15 off, which 30/80 is not
]

DIRECT, COMPOUND = (
    next(layout for layout in LAYOUTS if layout.idlers == idlers) for idlers in ((0,), (0, 0))
)


def hung(*teeth: int) -> Train:
    """Two gears, or four, from the first driver on."""
    gears = [MAKING.gear(z) for z in teeth]
    return Train(
        DIRECT if len(gears) == 2 else COMPOUND,
        tuple(gears[::2]), tuple(gears[1::2]), ((),) * (len(gears) // 2),
    )  # fmt: skip


USUAL = replace(LATHE, usual_train=hung(20, 60))


def teeth(gears: Iterable[Gear]) -> tuple[int, ...]:
    return tuple(gear.teeth for gear in gears)


def setups(chart: GearChart) -> list[tuple[tuple[int, ...], tuple[int, ...], int]]:
    return [(teeth(one.train.gears), one.rows, one.put_on) for one in chart.setups]


def told(changed: Sequence[Change]) -> list[tuple[int, int, int | None, int | None]]:
    return [
        (one.shaft, one.plane, one.off and one.off.teeth, one.on and one.on.teeth)
        for one in changed
    ]


def test_with_nothing_hung_at_first_and_at_last() -> None:
    """Two gears, one, one, and three of four as the 20 stays; each thread by itself in turn takes
    20/40, 30/50, 20/50 twice, 20/40 x 30/50 and 20/50 again: 2, 2, 1, 0, 3 and 1."""
    chart = make_chart(LATHE, WANTS)
    assert (chart.changes, chart.bound, chart.proven) == (2 + 1 + 1 + 3, 7, True)
    assert chart.changes_alone == 2 + 2 + 1 + 0 + 3 + 1
    assert chart.setups_alone == 4
    assert (chart.least_demerits, chart.stopped_by, chart.back) == (True, "", ())
    assert (chart.lathe, chart.added) == (LATHE, ())
    assert setups(chart) == [
        ((30, 50), (1,), 2), ((20, 50), (2, 3, 6), 1), ((20, 40), (0,), 1),
        ((20, 50, 30, 40), (4,), 3),
    ]  # fmt: skip
    assert [told(one.changed) for one in chart.setups] == [
        [(0, 0, None, 30), (-1, 0, None, 50)],
        [(0, 0, 30, 20)],
        [(-1, 0, 50, 40)],
        [(1, 0, None, 50), (1, 1, None, 30), (-1, 0, 40, None), (-1, 1, None, 40)],
    ]
    assert all(one.missing == () for one in chart.setups)


def test_what_the_rows_say() -> None:
    chart = make_chart(LATHE, WANTS)
    assert [row.want for row in chart.rows] == WANTS
    assert [row.setup for row in chart.rows] == [2, 0, 1, 1, 3, None, 1]
    assert [row.verdict for row in chart.rows] == [
        *[Verdict.EXACT] * 5, Verdict.OFF, Verdict.IN_TOLERANCE,
    ]  # fmt: skip
    assert chart.covered == tuple(row for row in chart.rows if row.want is not WANTS[5])
    none = chart.rows[5]
    assert (none.answer, none.alone, none.half_nuts, none.working) == (None,) * 4
    assert [teeth(row.alone.train.gears) for row in chart.covered if row.alone] == [
        (20, 40), (30, 50), (20, 50), (20, 50), (20, 40, 30, 50), (20, 50),
    ]  # fmt: skip
    # 2 x 20/50 is 1/15 off 0.75, two thirds of what is allowed: seven tenths squared
    last = chart.rows[6].answer
    assert last
    assert last.error == Fraction(1, 15)
    assert chart.demerits == (49, 49)
    ways = [row.half_nuts and row.half_nuts.how for row in chart.rows]
    assert ways == [How.ANYWHERE, *[How.CLOSED] * 4, None, How.CLOSED]


def test_from_the_usual_train_and_back_to_it() -> None:
    """30/60 now comes first, as the 60 hangs there; at the end the 60 is hung again, and the 20 is
    there still. By themselves: 1, 2, 1, 0, 3, 1 and the 60."""
    chart = make_chart(USUAL, WANTS)
    assert setups(chart) == [
        ((30, 60), (0,), 1), ((30, 50), (1,), 1), ((20, 50), (2, 3, 6), 1),
        ((20, 50, 30, 40), (4,), 3),
    ]  # fmt: skip
    assert (chart.changes, chart.bound) == (1 + 1 + 1 + 3 + 1, 7)
    assert chart.changes_alone == 1 + 2 + 1 + 0 + 3 + 1 + 1
    assert told(chart.back) == [
        (1, 0, 50, None), (1, 1, 30, None), (-1, 0, None, 60), (-1, 1, 40, None),
    ]  # fmt: skip
    assert told(chart.setups[0].changed) == [(0, 0, 20, 30)]


def test_a_gear_added_serves_and_is_told_to_be_missing() -> None:
    """30/80 cuts 0.75 mm without error, at one gear more."""
    chart = make_chart(USUAL, WANTS, [MAKING.gear(80)])
    assert teeth(chart.added) == (80,)
    assert [(gears, rows) for gears, rows, _ in setups(chart)][1] == ((30, 80), (6,))
    assert [teeth(one.missing) for one in chart.setups] == [(), (80,), (), (), ()]
    assert (chart.changes, chart.bound, chart.changes_alone, chart.setups_alone) == (8, 8, 11, 5)
    assert chart.demerits == (0, 0)
    assert chart.rows[6].verdict is Verdict.EXACT


def test_threads_that_nothing_cuts_leave_no_chart() -> None:
    """What is known of them is not looked for again."""
    for lathe in (LATHE, USUAL):
        chart = make_chart(lathe, WANTS[5:6])
        assert (chart.setups, chart.covered, chart.back) == ((), (), ())
        assert (chart.changes, chart.bound, chart.changes_alone) == (0, 0, 0)
        assert (chart.setups_alone, chart.demerits) == (0, (0, 0))
        assert chart.rows[0].verdict is Verdict.OFF
    known = [WantStep(Verdict.NOT_LOOKED, None)] * 7
    assert make_chart(LATHE, WANTS, states=known).rows[5].verdict is Verdict.NOT_LOOKED


def test_no_time_for_any_chart() -> None:
    watch = Watch()
    watch.stop()
    with pytest.raises(SearchStoppedError):
        make_chart(LATHE, WANTS, watch=watch)


def question_of(lathe: Lathe, wants: Sequence[Want]) -> Candidates:
    found = candidates(lathe, wants)
    assert found.question.back == (lathe.usual_train is not None)
    return found


def test_which_trains_each_thread_may_take() -> None:
    """By thread what hangs and at how many demerits; one idler between two gears changes nothing
    but the gears."""
    found = question_of(USUAL, WANTS)
    assert found.uncovered == (5,)
    assert found.kinds == ((0,), (1,), (2,), (3,), (4,), (6,))
    assert [thread.count for thread in found.question.threads] == [1] * 6
    assert teeth(found.best(0).gears) == (20, 40)  # the 20 hangs there already
    assert found.question.whole
    for kind, thread in enumerate(found.question.threads):
        assert thread.setups.tolist() == sorted(thread.setups.tolist())
        wanted = WANTS[found.kinds[kind][0]]
        for setup, cost in zip(thread.setups.tolist(), thread.demerits.tolist(), strict=True):
            train = found.train(kind, setup)
            off = abs(2 * train.ratio - wanted.pitch.rational) / wanted.pitch.rational
            assert off <= wanted.allowance.relative
            share = off / wanted.allowance.relative if off else NONE
            assert cost == (-(-10 * share // 1)) ** 2
            filled = [gear for gear in found.question.gears[setup].tolist() if gear >= 0]
            assert len(filled) == len(train.gears)
    straight = {
        teeth(found.train(0, setup).gears)
        for setup in found.question.threads[0].setups.tolist()
        if len(found.train(0, setup).gears) == 2
    }
    assert straight == {(20, 40), (30, 60)}


def test_the_same_hangs_the_same_whatever_the_thread() -> None:
    """Two trains are one setup just where every place holds the same gear."""
    found = question_of(USUAL, WANTS)
    by_setup: dict[int, dict[tuple[int, int], Gear]] = {}
    for kind, thread in enumerate(found.question.threads):
        for setup in thread.setups.tolist():
            places = found.train(kind, setup).hung
            assert by_setup.setdefault(setup, places) == places
    assert len({tuple(sorted(p.items(), key=str)) for p in by_setup.values()}) == len(by_setup)
    assert sorted(by_setup) == list(range(len(found.question)))
    start = USUAL.usual_train
    assert start
    for setup, places in by_setup.items():
        due = sum(gear != start.hung.get(place) for place, gear in places.items())
        assert found.question.first[setup] == due
        back = sum(gear != places.get(place) for place, gear in start.hung.items())
        assert found.question.last[setup] == back


def test_a_usual_train_of_gears_that_are_not_there() -> None:
    """It hangs at first all the same, every gear of it another than all others."""
    strange = replace(LATHE, usual_train=hung(33, 77))
    chart = make_chart(strange, WANTS[:1])
    assert [told(one.changed) for one in chart.setups] == [[(0, 0, 33, 20), (-1, 0, 77, 40)]]
    assert told(chart.back) == [(0, 0, 20, 33), (-1, 0, 40, 77)]
    assert (chart.changes, chart.changes_alone) == (4, 4)


def test_changes_from_one_train_to_another() -> None:
    """By place: the first driver's shaft, the studs inside out, the screw's; what stays is not
    told."""
    assert told(changes(None, hung(20, 40))) == [(0, 0, None, 20), (-1, 0, None, 40)]
    assert changes(hung(20, 40), hung(20, 40)) == ()
    assert told(changes(hung(20, 40, 30, 50), hung(30, 40))) == [
        (0, 0, 20, 30), (1, 0, 40, None), (1, 1, 30, None), (-1, 0, None, 40), (-1, 1, 50, None),
    ]  # fmt: skip
