"""The charts' marks stand where the figures put them, and the words beside them say the same."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

import pytest
import report_samples as samples

from gearchest.optimizer.domain.want import Allowance
from gearchest.reports.page.shell import Facts
from gearchest.reports.plan import charts, curves
from gearchest.reports.plan.scales import Tick
from gearchest.reports.plan.sheet import plan_sheet
from gearchest.reports.plan.spread import WIDEST, Spread

PLAN = samples.plan()
SHOWN = samples.ADVISED
Draw = Callable[[samples.Plan], curves.Curve]
TRAINS = [
    (want, states[0].answer, states[SHOWN].answer)
    for want, states in zip(PLAN.wants, PLAN.states, strict=True)
    if states[0].answer or states[SHOWN].answer
]


def spread(plan: samples.Plan = PLAN) -> Spread:
    found = charts.spread(plan)
    assert found
    return found


@pytest.mark.parametrize("draw", [curves.by_gears, curves.by_money])
def test_curves_stand_at_each_steps_cost_and_weight(
    draw: Callable[[samples.Plan], curves.Curve],
) -> None:
    """Read back from the ticks of the axes: where a figure stands, so much it is."""
    curve = draw(PLAN)
    costs = [len(s.gears) if draw is curves.by_gears else float(s.price) for s in PLAN.steps]
    for point, cost, step in zip(curve.points, costs, PLAN.steps, strict=True):
        assert read(curve.xs, point.x) == pytest.approx(cost, abs=0.2)
        assert read(curve.ys, point.y) == pytest.approx(float(step.covered_weight), abs=0.1)
        assert f"weight {step.covered_weight}" in point.said
    ends = [point for point in curve.points if point.step == 0]
    assert curve.path.startswith(f"M{ends[0].x:g} {ends[0].y:g}")


def read(ticks: tuple[Tick, ...], at: float) -> float:
    """The figure a place stands for, by the first and the last tick."""
    (x, low), (y, high) = ((tick.at, float(tick.figure)) for tick in (ticks[0], ticks[-1]))
    return low + (at - x) / (y - x) * (high - low)


def test_the_knee_is_told_and_marked_where_there_is_one() -> None:
    for draw in (curves.by_gears, curves.by_money):
        assert [p.step for p in draw(replace(PLAN, knee=2)).points if p.knee] == [2]
        assert not any(p.knee for p in draw(PLAN).points)
    assert (
        "After 2 gears a further one brings little."
        in curves.by_gears(replace(PLAN, knee=2)).summary
    )
    assert "brings little" not in curves.by_gears(PLAN).summary


def test_the_words_name_the_least_that_reaches_the_most() -> None:
    """A dearer step that covers no more is not what the most costs."""
    assert curves.by_gears(PLAN).summary.endswith("to 20 with 4 gears added.")
    assert curves.by_money(PLAN).summary == "64.10 buys the most these steps cover, 20 of 20."
    last = replace(PLAN.steps[4], covered_weight=PLAN.steps[3].covered_weight)
    idle = replace(PLAN, steps=(*PLAN.steps[:4], last))
    assert curves.by_gears(idle).summary.endswith("to 19 with 3 gears added.")
    assert curves.by_money(idle).summary == (
        "42.40 buys the most these steps cover, 19 of 20; what costs more covers no more."
    )
    one = replace(PLAN, steps=PLAN.steps[:2])
    assert curves.by_gears(one).summary.endswith("with 1 gear added.")


def test_errors_stand_at_their_share_of_each_wants_own_allowance() -> None:
    found = spread()
    left, middle, right = (tick.at for tick in found.columns[0].ticks)
    assert (middle, right - middle) == (50, pytest.approx(middle - left))
    for row, (want, *both) in zip(found.rows, TRAINS, strict=True):
        for at, answer in zip((row.spots[0].now, row.spots[0].then), both, strict=True):
            if answer is None:
                assert at is None
                continue
            share = float(answer.error) / float(want.allowance.relative)
            assert at is not None
            assert (at - middle) / (right - middle) == pytest.approx(
                max(-WIDEST, min(WIDEST, share)), abs=0.01
            )
    shares = [want.allowance.share(then.error) for want, _, then in TRAINS if then]
    said = found.columns[0].summary
    inside, none = sum(share <= 1 for share in shares), sum(share == 0 for share in shares)
    assert f"{inside} of {len(shares)} trains" in said
    assert f"{none} have no error" in said


def test_where_no_error_is_allowed_every_error_stands_at_the_edge() -> None:
    strict = tuple(replace(want, allowance=Allowance(Fraction(0))) for want in PLAN.wants)
    found = spread(replace(PLAN, wants=strict))
    edge = 50 * WIDEST / 1.7
    for row, (_, _, then) in zip(found.rows, TRAINS, strict=True):
        if then:
            wanted = 50 + edge * ((then.error > 0) - (then.error < 0))
            assert row.spots[0].then == pytest.approx(wanted, abs=0.1)
    assert "none is allowed" in plan_sheet(replace(PLAN, wants=strict), Facts())


def test_loads_and_turns_stand_at_the_trains_own() -> None:
    found = spread()
    _, loads, turns = found.columns
    for row, (_, now, then) in zip(found.rows, TRAINS, strict=True):
        for spot, ticks, value in (
            (row.spots[1], loads.ticks, lambda a: float(a.train.tooth_load)),
            (row.spots[2], turns.ticks, lambda a: float(a.train.ratio)),
        ):
            for at, answer in ((spot.now, now), (spot.then, then)):
                if answer:
                    assert at is not None
                    assert read(ticks, at) == pytest.approx(value(answer), rel=0.02, abs=0.01)
    edges = [(read(turns.ticks, a), read(turns.ticks, b)) for a, b, _ in turns.shades]
    crank = float(PLAN.lathe.policy.hand_crank_above)
    assert edges[:2] == [pytest.approx((1, 2), abs=0.02), pytest.approx((2, crank), abs=0.02)]


def test_every_mark_opens_its_thread_and_markup_stays_text() -> None:
    page = samples.quoted(plan_sheet(PLAN, Facts()))
    table = page[page.index('<table id="spread"') :]
    table = table[: table.index("</table>")]
    assert re.findall(r'<a href="#([^"]+)">', table) == [row.ident for row in spread().rows]
    assert "&lt;/script&gt;&lt;b&gt;stand screw" in table
    assert "<b>stand screw" not in page


def test_without_trains_or_steps_there_is_nothing_to_draw() -> None:
    bare = tuple(
        tuple(replace(state, answer=None) for state in states[:1]) for states in PLAN.states
    )
    alone = replace(PLAN, steps=PLAN.steps[:1], states=bare, advice=replace(PLAN.advice, step=0))
    assert charts.plan_charts(alone) == charts.Charts((), None)
