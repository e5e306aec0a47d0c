"""A plan in the terminal: what to get comes first, and nothing is made up."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction

import pytest
import report_samples as samples

from gearchest.optimizer.plan.advice import advise
from gearchest.optimizer.plan.result import Advice, Grounds, Plan
from gearchest.optimizer.search.result import Verdict
from gearchest.reports.plan.advice_words import gears_text
from gearchest.reports.plan.document import plan_document
from gearchest.reports.plan.text import plan_lines


def advised() -> Plan:
    plan = samples.plan()
    return replace(plan, advice=Advice(1, Grounds.NO_MORE))


def test_the_first_line_says_what_to_get() -> None:
    plan = advised()
    gears = [added.offer.gear.teeth for added in plan.steps[1].gears]
    first, last = plan.steps[0], plan.steps[1]
    price = f"{float(last.price):.2f}"
    said = f"Get {gears[0]}, for {price}: {first.covered} of {first.wanted} threads become"
    assert plan_lines(plan)[0] == f"{said} {last.covered}."
    document = plan_document(plan)
    assert document["advice"]["step"] == 1
    assert document["advice"]["gears"] == gears


def test_further_sets_are_spoken_of_where_there_are_some_or_threads_are_left_for_them() -> None:
    plan = samples.plan()
    last = len(plan.steps) - 1
    whole = replace(plan.steps[last], covered=plan.steps[last].wanted)
    short = replace(plan.steps[last], covered=plan.steps[last].wanted - 1)
    none = "none of the further sets found brings more"
    for step, advice, told in (
        (whole, last, False),  # all is covered, and nothing stands beyond
        (short, last, True),
        (whole, last - 1, True),
    ):
        steps = (*plan.steps[:last], step)
        one = replace(plan, steps=steps, advice=Advice(advice, Grounds.NO_MORE))
        assert (none in plan_lines(one)[1]) == told


def test_what_the_next_set_would_have_to_be_worth_is_told() -> None:
    """For more than the price told one goes on, for a little less not."""
    plan = samples.plan()
    steps = [replace(step, demerits=200 * (step.wanted_weight - step.covered_weight))
             for step in plan.steps]  # fmt: skip
    advice = advise(steps, Fraction(4))
    assert (advice.step, advice.next) == (1, 4)
    said = plan_lines(replace(plan, steps=tuple(steps), advice=advice))[1]
    asked, limit = re.search(
        r": only for those who would pay ([\d.]+) for a thread of weight 1, "
        r"where this advice stops at ([\d.]+)", said,
    ).groups()  # type: ignore[union-attr]  # fmt: skip
    assert limit == "4"
    assert advise(steps, Fraction(asked) + Fraction(1, 100)).step == 4
    assert advise(steps, Fraction(asked) - Fraction(1, 50)).step == 1


def test_the_order_is_that_of_the_gears_to_get_and_of_no_others() -> None:
    plan = samples.plan()
    assert any(len(step.order) > 1 for step in plan.steps)
    for number, step in enumerate(plan.steps):
        lines = plan_lines(replace(plan, advice=Advice(number, Grounds.NO_MORE)))
        told = [line for line in lines if line.startswith("one at a time, ")]
        assert len(told) == (len(step.order) > 1)
        for line in told:
            gears = [int(teeth) for teeth in re.findall(r"(\d+) \(", line)]
            assert sorted(gears) == sorted(added.offer.gear.teeth for added in step.gears)


def test_where_all_is_covered_nothing_is_needed() -> None:
    plan = samples.plan()
    done = replace(plan.steps[0], covered=plan.steps[0].wanted)
    plan = replace(plan, steps=(done,), advice=advise([done]))
    assert plan_lines(plan)[0] == f"You need nothing: all {done.wanted} threads are covered."


def test_the_largest_error_that_remains_is_told() -> None:
    plan = samples.plan()
    lines = plan_lines(plan)
    for number, step in enumerate(plan_document(plan)["steps"]):
        sizes = [
            abs(float(states[number].answer.error))
            for states in plan.states
            if states[number].verdict in (Verdict.EXACT, Verdict.IN_TOLERANCE)
            and states[number].answer
        ]
        assert step["largest_error"] == max(sizes)
        (line,) = (line for line in lines if line.startswith(f"  {number}: "))
        found = re.search(r"largest error +([\d.]+).(ppm|%)", line)
        assert found
        told = float(found[1]) * {"ppm": 1e-6, "%": 1e-2}[found[2]]
        assert abs(told - max(sizes)) <= 0.5 * {"ppm": 1e-6, "%": 1e-4}[found[2]]


def test_a_set_that_fewer_gears_equal_is_not_offered() -> None:
    plan = samples.plan()
    number = next(k for k, step in enumerate(plan.steps) if step.alternatives)
    step = plan.steps[number]
    said = "     or " + gears_text(plan.lathe, step.alternatives[0].gears) + ": "
    assert any(line.startswith(said) for line in plan_lines(plan))
    idle = replace(step, alternatives=(replace(step.alternatives[0], idle=True),))
    steps = (*plan.steps[:number], idle, *plan.steps[number + 1 :])
    lines = plan_lines(replace(plan, steps=steps))
    at = next(i for i, line in enumerate(lines) if line.startswith(f"  {number}: "))
    assert not lines[at + 1].startswith("     or ")
    assert plan_document(replace(plan, steps=steps))["steps"][number]["alternatives"][0]["idle"]


def test_where_all_is_cut_without_error_that_is_told() -> None:
    plan = samples.plan()
    rows = zip(plan.wants, plan.states, strict=True)
    kept = [(want, states) for want, states in rows if states[0].verdict is Verdict.EXACT]
    wants, states = zip(*kept, strict=True)
    plan = replace(plan, wants=wants, states=states, advice=Advice(0, Grounds.NO_MORE))
    first = plan_lines(plan)
    assert any(line.startswith("  0: ") and ", all exact," in line for line in first)


@pytest.mark.parametrize("all_covered", [True, False])
def test_where_all_is_covered_a_search_cut_short_leaves_nothing_in_reach(
    all_covered: bool,
) -> None:
    plan = samples.plan()
    step = plan.steps[0]
    steps = (replace(step, covered=step.wanted), *plan.steps[1:]) if all_covered else plan.steps
    steps = steps if all_covered else tuple(
        replace(one, covered=min(one.covered, one.wanted - 1)) for one in steps
    )  # fmt: skip
    lines = plan_lines(replace(plan, cut_short=True, steps=steps))
    assert any("may yet be in reach" in line for line in lines) != all_covered
    assert any("would make better is not known" in line for line in lines) == all_covered


def test_prices_that_only_count_gears_are_not_told() -> None:
    plan = advised()
    assert any("price" in line or ", for " in line for line in plan_lines(plan))
    bare = replace(plan, priced=False)
    assert not any("price" in line or ", for " in line for line in plan_lines(bare))
    assert plan_document(bare)["priced"] is False


def test_an_arm_that_is_not_measured_is_named() -> None:
    plan = advised()
    said = "the arm is not measured: whether these gears fit is not known"
    assert said not in plan_lines(plan)
    assert said in plan_lines(replace(plan, lathe=replace(plan.lathe, banjo=None)))


def test_threads_that_lose_exactness_are_named() -> None:
    plan = samples.plan()
    exact = next(i for i, s in enumerate(plan.states) if s[0].verdict is Verdict.EXACT)
    states = list(plan.states)
    states[exact] = (
        states[exact][0],
        replace(states[exact][1], verdict=Verdict.IN_TOLERANCE),
        *states[exact][2:],
    )
    worse = replace(plan, states=tuple(states))
    name = plan.wants[exact].name
    assert name not in plan.loses_exactness(1)
    assert name in worse.loses_exactness(1)
    assert any("no longer without error" in line and name in line for line in plan_lines(worse))
    assert name in plan_document(worse)["steps"][1]["loses_exactness"]
    kinder = replace(worse.states[exact][1], without_error=worse.states[exact][0].answer)
    states[exact] = (states[exact][0], kinder, *states[exact][2:])
    traded = plan_lines(replace(plan, states=tuple(states)))
    assert any("with an error from now on" in line and name in line for line in traded)
    assert not any("no longer without error" in line for line in traded[:6])
