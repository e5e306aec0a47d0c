"""Whole plans on the small benchmark lathe, recounted from their trains; broken steps."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import cache
from itertools import combinations_with_replacement
from pathlib import Path

import pytest
from plan_checker import Checker

from gearchest.catalogs.making import making_tables
from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.offers import load_offers
from gearchest.cli.files.wants import load_wants
from gearchest.optimizer.domain.gear import Gear, Offer
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.plan.aims import Aim
from gearchest.optimizer.plan.formulate import Terms
from gearchest.optimizer.plan.goal import Cover
from gearchest.optimizer.plan.planner import Question, make_plan
from gearchest.optimizer.plan.result import AddedGear, Plan, RunnerUp, Step
from gearchest.optimizer.plan.served import serve
from gearchest.optimizer.plan.watch import Progress, Watch
from gearchest.optimizer.search.reach import Bench
from gearchest.optimizer.search.search import find_options

FOLDER = Path(__file__).parents[2] / "bench" / "small"


@cache
def files() -> tuple[Lathe, tuple[Want, ...], tuple[Offer, ...]]:
    lathe = load_lathe(FOLDER / "lathe.toml")
    return (
        lathe,
        load_wants(FOLDER / "wants.csv", lathe),
        load_offers(FOLDER / "offers.csv", lathe),
    )


@cache
def checker() -> Checker:
    lathe, wants, offers = files()
    table = find_options(lathe, wants, [(offer.gear, offer.copies) for offer in offers], 3)
    return Checker(serve([lathe], [table]), wants, offers, Terms())


def plan(question: Question, watch: Watch | None = None) -> Plan:
    lathe, wants, offers = files()
    return make_plan([lathe], wants, offers, question, watch or Watch(), making_tables())


@cache
def usual() -> Plan:
    return plan(Question(most=3))


def test_every_step_survives_a_recount() -> None:
    for step in usual().steps:
        assert checker().faults(step) == []
        assert step.proven


def test_steps_cover_as_much_as_trying_every_set_does() -> None:
    """Exhaustive search over all sets of two, recounted from trains in fractions."""
    gears = [offer.gear for offer in files()[2]]
    best = max(
        (recount.weight, -recount.totals[Aim.DEMERITS])
        for two in combinations_with_replacement(gears, 2)
        for recount in [checker().recount(two)]
    )
    step = usual().steps[2]
    mine = checker().recount([added.offer.gear for added in step.gears])
    assert (step.covered_weight, -mine.totals[Aim.DEMERITS]) == best


def test_states_agree_with_asking_for_each_want() -> None:
    """What `reach` says of a lathe with the gears added, want by want."""
    lathe, wants, _ = files()
    made = usual()
    for k, step in enumerate(made.steps):
        bench = Bench(lathe, [added.offer.gear for added in step.gears])
        for want, states in zip(wants, made.states, strict=True):
            asked = bench.settle(want)
            assert states[k].verdict == asked.verdict
            if asked.verdict.covered and asked.answer and states[k].answer:
                assert states[k].answer.train == asked.answer.train


def _with_gears(step: Step, *gears: Gear) -> Step:
    return replace(step, gears=tuple(AddedGear(Offer(gear, Fraction(1)), ()) for gear in gears))


def broken() -> dict[str, Step]:
    step = usual().steps[2]
    gears = [added.offer.gear for added in step.gears]
    foreign = replace(gears[0], module=Fraction(2))
    better = usual().steps[3]
    return {
        "too many gears": _with_gears(step, *gears, gears[0]),
        "a gear missing": _with_gears(step, gears[0]),
        "a gear not on offer": _with_gears(step, gears[0], foreign),
        "coverage": replace(step, covered=step.covered - 1),
        "weight": replace(step, covered_weight=step.covered_weight + 1),
        "price": replace(step, price=step.price + 1),
        "load": replace(
            step,
            judged=tuple(
                replace(one, value=one.value + 1) if one.objective == "demerits" else one
                for one in step.judged
            ),
        ),
        "bound below": replace(step, bound_weight=step.covered_weight - 1),
        "bound above": replace(step, bound_weight=step.covered_weight + 1),
        "order": replace(step, order=step.order[:1]),
        "a better set": replace(
            usual().steps[1],
            next_best=RunnerUp(
                tuple(added.offer.gear for added in better.gears), Fraction(0), Fraction(0)
            ),
        ),
    }


@pytest.mark.parametrize("how", list(broken()))
def test_a_broken_step_is_rejected(how: str) -> None:
    assert checker().faults(broken()[how])


def test_terms_are_checked() -> None:
    step = usual().steps[2]
    poor = replace(checker(), terms=Terms(budget=Fraction(1)))
    assert "budget" in poor.faults(step)[0]
    forced = replace(checker(), terms=Terms(include=(files()[2][0].gear,)))
    assert "must be in" in forced.faults(step)[0]
    without = Terms(keep_out=frozenset({step.gears[0].offer.gear}))
    assert "copies" in replace(checker(), terms=without).faults(step)[0]


def test_a_stopped_plan_is_valid_and_says_so() -> None:
    watch = Watch()
    watch.stop()
    stopped = plan(Question(most=2), watch)
    for step in stopped.steps[1:]:
        assert not step.proven
        assert step.stopped_by == "interrupted"
        assert step.bound_weight >= step.covered_weight
    assert [s.covered for s in stopped.steps[:1]] == [usual().steps[0].covered]


def test_a_plan_stopped_while_solving_keeps_what_it_has() -> None:
    watch = Watch()

    def stop_at_first_step(progress: Progress) -> None:
        if progress.most == 1 and progress.objective == "covered weight":
            watch.stop()

    watch.report = stop_at_first_step
    stopped = plan(Question(most=3), watch)
    assert stopped.steps[1].proven
    assert not stopped.steps[3].proven
    assert checker().faults(stopped.steps[3]) == []


def test_budget_copies_and_must_haves_hold_in_a_plan() -> None:
    gear = files()[2][0].gear
    terms = Terms(budget=Fraction(2), include=(gear,))
    for step in plan(Question(most=3, terms=terms)).steps[1:]:
        assert replace(checker(), terms=terms).faults(step) == []
        assert step.price <= 2
        assert gear in [added.offer.gear for added in step.gears]


def test_cheapest_cover_costs_no_more_than_any_set_that_covers_all() -> None:
    """The second step covers everything, the first does not (sets of one all tried)."""
    _, wants, offers = files()
    made = plan(
        Question(most=1, missing=3, cover=Cover("everything", frozenset(range(len(wants)))))
    )
    goal = made.goal
    assert goal is not None
    assert goal.reached
    assert goal.step.covered == len(wants)
    assert goal.step.price == 2
    assert all(checker().recount([o.gear]).weight < len(wants) for o in offers)


def test_gears_to_spare_can_go_and_no_more() -> None:
    lathe, wants, _ = files()
    spare = plan(Question(most=0, spare=True)).spare
    assert spare is not None
    assert spare.proven
    left = dict(lathe.chest.loose)
    for gear in spare.together:
        left[gear] -= 1
    loose = tuple((gear, count) for gear, count in left.items() if count)
    smaller = replace(lathe, chest=replace(lathe.chest, loose=loose))
    before, after = Bench(lathe), Bench(smaller)
    assert [before.settle(w).verdict.covered for w in wants] == [
        after.settle(w).verdict.covered for w in wants
    ]
    for gear, _ in loose:  # nothing else could go as well
        fewer = tuple((g, n - (g == gear)) for g, n in loose if n - (g == gear))
        bench = Bench(replace(lathe, chest=replace(lathe.chest, loose=fewer)))
        lost = [
            want.name
            for want in wants
            if before.settle(want).verdict.covered and not bench.settle(want).verdict.covered
        ]
        assert lost
