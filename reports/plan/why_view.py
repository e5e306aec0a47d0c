"""Why these gears: what the solver knows of each step, as plain values for the template."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from gearchest.optimizer.arm.result import Fits
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.plan.aims import Aim
from gearchest.optimizer.plan.result import AddedGear, Goal, Judged, Plan, Spare, Step
from gearchest.optimizer.search.result import Verdict, WantStep
from gearchest.reports.plan.advice_words import (
    and_error,
    for_price,
    gear_text,
    gears_text,
)
from gearchest.reports.words import numbers, wording
from gearchest.reports.words.verdicts import MARKS, Mark

NEWTON = f"{numbers.NARROW_SPACE}N"


@dataclass(frozen=True)
class GearView:
    """A gear to add. `alone`: threads it opens to the lathe as it is; `together`: threads it
    opens with others of its step only, by the set of these; `lost`: threads lost
    without it, of `lost_weight` in all."""

    teeth: str
    how: str
    price: str
    alone: tuple[str, ...]
    together: tuple[tuple[str, tuple[str, ...]], ...]
    lost: tuple[str, ...]
    lost_weight: str


@dataclass(frozen=True)
class StepWhy:
    """A step: how sure it is, what comes next to it, and what it gives up."""

    number: int
    gears: str
    weight: str
    bound: str
    proof: str
    proven_by: str
    judged: tuple[str, ...]
    next_best: str
    equally_good: tuple[str, ...]
    dropped: str


@dataclass(frozen=True)
class Purchase:
    """One gear of the best order to get them in, with the weight covered once it is there."""

    gear: str
    covered: str
    gain: str


@dataclass(frozen=True)
class LeftRow:
    """A thread the last step leaves uncovered: what it would take, and how near it comes."""

    name: str
    mark: Mark
    nearest: str
    further: str
    reasons: tuple[str, ...]


def gear_view(lathe: Lathe, added: AddedGear) -> GearView:
    """A row of the buying list."""
    offer = added.offer
    return GearView(
        gear_text(lathe, offer.gear),
        f"{offer.how}, {offer.note}" if offer.note else offer.how,
        numbers.weight(offer.price),
        added.alone,
        _together(lathe, added),
        added.unlocks,
        numbers.weight(added.lost_weight),
    )


def _together(lathe: Lathe, added: AddedGear) -> tuple[tuple[str, tuple[str, ...]], ...]:
    names: dict[str, list[str]] = {}
    for name, gears in added.together:
        names.setdefault(gears_text(lathe, gears), []).append(name)
    return tuple((gears, tuple(found)) for gears, found in names.items())


def steps_why(plan: Plan) -> list[StepWhy]:
    """Every step, the lathe as it is included."""
    return [_step(plan, step) for step in plan.steps]


def _step(plan: Plan, step: Step) -> StepWhy:
    lathe, runner = plan.lathe, step.next_best
    return StepWhy(
        step.most,
        gears_text(lathe, [added.offer.gear for added in step.gears]) or "as it is",
        numbers.weight(step.covered_weight),
        numbers.weight(step.bound_weight),
        proof(step),
        step.proven_by,
        tuple(_judged(one) for one in step.judged[1:] if plan.priced or one.objective != Aim.MONEY),
        f"{gears_text(lathe, runner.gears)}: weight {numbers.weight(runner.covered_weight)}, "
        f"{numbers.weight(runner.loses)} less"
        if runner
        else "",
        tuple(gears_text(lathe, gears) for gears in step.equally_good),
        gears_text(lathe, step.dropped),
    )


def proof(step: Step) -> str:
    """Whether a step is proven; if not, what stopped the proof and how much better it may be."""
    if step.proven:
        return "proven best"
    why = f" ({step.stopped_by})" if step.stopped_by else ""
    return f"not proven{why}: no set covers more than {numbers.weight(step.bound_weight)}"


def _judged(one: Judged) -> str:
    """An objective after covered weight, with the bound where it is not met."""
    said = f"{one.objective} {_amount(one.objective, one.value)}"
    if one.proven:
        return said
    return f"{said}, not proven: none is below {_amount(one.objective, one.bound)}"


def _amount(objective: str, value: Fraction) -> str:
    if objective == Aim.LOAD:
        return f"{float(value):.0f}{NEWTON}"
    return numbers.percent(value) if objective == Aim.ERROR else numbers.weight(value)


def alternatives(plan: Plan, step: Step) -> tuple[str, ...]:
    """Sets of as many gears that no other beats: what each covers and costs."""
    return tuple(
        f"{gears_text(plan.lathe, other.gears)}: weight {numbers.weight(other.covered_weight)}, "
        f"{numbers.weight(other.demerits)} demerits{and_error(other.largest_error)}"
        f"{for_price(plan, other.price)}" + ("" if other.proven else " (of the sets looked at)")
        for other in step.others
    )


def purchases(plan: Plan) -> list[Purchase]:
    """The best order in which to get the gears of the step to buy one at a time."""
    before = plan.steps[0].covered_weight
    rows = []
    for gear, weight in plan.steps[plan.bought].order:
        gain = f"+{numbers.weight(weight - before)}"
        rows.append(Purchase(gear_text(plan.lathe, gear), numbers.weight(weight), gain))
        before = weight
    return rows


def uncovered(plan: Plan) -> list[tuple[Want, WantStep]]:
    """Every want the last step leaves uncovered, with its nearest miss."""
    beyond = dict(plan.unreachable)
    return [
        (want, beyond.get(want.name, states[-1]))
        for want, states in zip(plan.wants, plan.states, strict=True)
        if not states[-1].verdict.covered
    ]


def left_rows(plan: Plan) -> list[LeftRow]:
    """Every thread the last step leaves uncovered."""
    further = {one.want: one.gears for one in plan.steps[-1].further}
    beyond = dict(plan.unreachable)
    rows = []
    for want, miss in uncovered(plan):
        gears = gears_text(plan.lathe, further.get(want.name, ()))
        none = (
            "no set of the gears offered"
            if want.name in beyond
            else "not all were looked for"
            if plan.cut_short
            else "none within the search"
        )
        if not plan.sought:
            none = "none were looked for"
        misfits = miss.answer.fit.misfits if miss.answer else ()
        inch = numbers.inch_first(plan.lathe)
        reasons = [numbers.told(reason, inch=inch) for reason in misfits]
        rows.append(
            LeftRow(
                want.name, MARKS[miss.verdict], _nearest(want, miss), gears or none, tuple(reasons)
            )
        )
    return rows


def _nearest(want: Want, miss: WantStep) -> str:
    if miss.verdict is Verdict.NOT_LOOKED:
        return "not looked at"
    if miss.answer is None:
        return "no train within five per cent"
    error = numbers.error(miss.answer.error, want.allowance.relative)
    fits = "" if miss.answer.fit.fits is not Fits.NO else ", does not fit"
    missing = miss.answer.missing
    adding = f", taking {wording.teeth(missing)}" if missing else ""
    return f"{wording.gears_written(miss.answer.train)}: {error}{fits}{adding}"


HASTY = "time ended before all trains were compared: those shown do, others may be better"
"""Said where the steps are known and the trains shown are only the first that do."""


def remarks(plan: Plan) -> list[str]:
    """What is worth knowing beside the advice and the steps, a sentence or two each."""
    said = [] if plan.cut_short or plan.settled else [f"{HASTY[0].upper()}{HASTY[1:]}."]
    if plan.knee is not None:
        said.append(f"After {numbers.plural(plan.knee, 'added gear')} a further one brings little.")
    if plan.goal:
        said.append(_goal(plan, plan.goal))
    if plan.spare:
        said.append(_spare(plan.lathe, plan.spare))
    return said


def _goal(plan: Plan, goal: Goal) -> str:
    gears = (
        gears_text(plan.lathe, [added.offer.gear for added in goal.step.gears]) or "nothing more"
    )
    cost = f"{gears}{for_price(plan, goal.step.price)} ({proof(goal.step)})"
    if goal.reached:
        return f"The cheapest way to cover {goal.asked}: {cost}."
    if not goal.certain:
        way = f" Not covered by any set found: {', '.join(goal.beyond)}." if goal.beyond else ""
        return (
            f"No set of offers was found that covers {goal.asked}; not all were looked at. "
            f"Of those that were {cost} comes closest.{way}"
        )
    way = f" In the way: {', '.join(goal.beyond)}." if goal.beyond else ""
    return f"No set of offers covers {goal.asked}; {cost}, comes closest.{way}"


def _spare(lathe: Lathe, spare: Spare) -> str:
    if not spare.together:
        if not spare.proven:
            return "No gear owned was found that could go without losing a thread; not proven."
        return "No gear owned could go without losing a thread."
    sure = "" if spare.proven else " (not proven to be the most)"
    said = f"These could be sold together without losing a thread{sure}: "
    said += f"{gears_text(lathe, spare.together)}."
    if spare.each and spare.each != spare.together:
        said += f" One at a time, the rest kept: {gears_text(lathe, spare.each)}."
    said += " That holds as long as nothing is added."
    if spare.inexact:
        said += f" Then in tolerance only: {', '.join(spare.inexact)}."
    return said
