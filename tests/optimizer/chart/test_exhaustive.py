"""Charts of small lathes against every choice of trains in every order."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import chart_checker
import oracle
import pytest
from drawn import lathes, wants
from hypothesis import HealthCheck, assume, event, given, reject, settings
from hypothesis import strategies as st

from gearchest.optimizer.chart.build import make_chart
from gearchest.optimizer.chart.result import ChartRow, GearChart
from gearchest.optimizer.domain.lathe import Drive, Lathe
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.search.result import Verdict
from gearchest.optimizer.turning.half_nuts import half_nuts

WIDE = st.sampled_from([Fraction(0), Fraction(1, 100), Fraction(1, 20), Fraction(1, 5)])

SLOW = settings(
    max_examples=50,
    deadline=None,
    suppress_health_check=[
        HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much
    ],
)  # fmt: skip


@SLOW
@given(lathes(measured=st.sampled_from([True, True, False])), st.data())
def test_no_choice_in_no_order_needs_fewer_changes(lathe: Lathe, data: st.DataObject) -> None:
    """Nor as many at fewer demerits: one stud and two, gearboxes, pinned pairs, idlers, with a
    usual train and without."""
    wanted = [
        replace(data.draw(wants(lathe, WIDE)), name=f"thread {number}")
        for number in range(data.draw(st.integers(2, 4)))
    ]
    try:
        threads = [chart_checker.choices(lathe, want) for want in wanted]
    except ValueError:
        reject()
    assume(all(thread is not None for thread in threads))
    covered = [thread for thread in threads if thread]
    assume(len(covered) > 1 and chart_checker.few(covered))
    chart = make_chart(lathe, wanted)
    trains = [setup.train for setup in chart.setups]
    assert [row.setup is not None for row in chart.rows] == [bool(thread) for thread in threads]
    for row, thread in zip(chart.rows, threads, strict=True):
        if row.setup is not None:
            assert chart_checker.hung(trains[row.setup]) in thread
    due = chart_checker.fewest(covered, lathe.usual_train)
    event(f"{len(covered)} threads, {len(trains)} trains, usual {lathe.usual_train is not None}")
    assert (chart_checker.put_on(trains, lathe.usual_train), chart.demerits[1]) == due
    assert chart.changes == due[0]
    assert chart.proven
    assert chart.least_demerits
    alone = [oracle_best(lathe, row) for row in chart.rows if row.setup is not None]
    assert chart.changes_alone == chart_checker.put_on(alone, lathe.usual_train)
    check_rows(lathe, chart)


def oracle_best(lathe: Lathe, row: ChartRow) -> Train:
    """The train a thread is set up with by itself: the first of all that fit."""
    fitting = [
        train
        for train in oracle.trains(lathe, left=row.want.left)
        if abs(oracle.error(lathe, train, row.want.pitch)) <= row.want.allowance.relative
        and oracle.place(lathe, train).fits
    ]
    first = min(oracle.choice(lathe, row.want, train) for train in fitting)
    assert row.alone is not None
    assert oracle.choice(lathe, row.want, row.alone.train) == first
    return row.alone.train


def check_rows(lathe: Lathe, chart: GearChart) -> None:
    """Gears of every row hang together, out of the chest and on the arm; error, verdict and
    half-nuts are those of the row's own train."""
    for number, row in enumerate(chart.rows):
        if row.answer is None or row.setup is None:
            assert row.half_nuts is None
            continue
        train, setup = row.answer.train, chart.setups[row.setup]
        assert train in set(oracle.trains(lathe, left=row.want.left))
        assert oracle.place(lathe, train).fits
        assert chart_checker.hung(train) == chart_checker.hung(setup.train)
        assert number in setup.rows
        error = oracle.error(lathe, train, row.want.pitch)
        assert float(row.answer.error) == pytest.approx(float(error), abs=1e-12)
        assert (row.verdict is Verdict.EXACT) == (row.answer.error == 0)
        cranked = lathe.policy.driven_from(train.ratio) is Drive.SCREW
        nuts = half_nuts(lathe, train.ratio, row.want.pitch, screw_drives=cranked)
        assert row.half_nuts is not None
        assert row.half_nuts.how is nuts.how
        assert row.half_nuts.step_mm == nuts.step_mm
    states = [lathe.usual_train, *(setup.train for setup in chart.setups)]
    for (before, after), setup in zip(pairwise(states), chart.setups, strict=True):
        gone = {(c.plane, c.off) for c in setup.changed if c.off}
        come = {(c.plane, c.on) for c in setup.changed if c.on}
        was, now = chart_checker.hung(before), chart_checker.hung(after)
        assert gone == {(plane, gear) for _, plane, gear in was - now}
        assert come == {(plane, gear) for _, plane, gear in now - was}
        assert setup.put_on == len(now - was)
