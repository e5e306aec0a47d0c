"""What to buy, in a line, and why, in a sentence."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from fractions import Fraction
from math import ceil

from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.plan.result import Grounds, Plan, Sparing, Step
from gearchest.optimizer.search.result import Verdict
from gearchest.reports.words import numbers

_NAMED = 3
"""Threads named in a sentence; of more the number."""


def gear_text(lathe: Lathe, gear: Gear) -> str:
    """A gear to add: its tooth count, and its module where it is not the lathe's own."""
    if gear.module == lathe.making.module:
        return str(gear.teeth)
    return f"{gear.teeth} (module {numbers.significant(gear.module, 4)})"


def gears_text(lathe: Lathe, gears: Sequence[Gear]) -> str:
    """Gears to add in a row."""
    return ", ".join(gear_text(lathe, gear) for gear in gears)


def step_name(plan: Plan, number: int) -> str:
    """`now`; `with 43, 84`; what a step adds is told with its number where another adds the
    same."""
    added = [[one.offer.gear for one in step.gears] for step in plan.steps]
    if not number:
        return "now"
    name = f"with {gears_text(plan.lathe, added[number])}" if added[number] else "with none"
    return f"{name} (step {number})" if added.count(added[number]) > 1 else name


def for_price(plan: Plan, price: Fraction) -> str:
    """`, for 38`; nothing where prices only count gears."""
    return f", for {numbers.weight(price)}" if plan.priced else ""


def largest_error(size: float | Fraction | None) -> str:
    """`largest error 0.12 %`, `all exact`; nothing where no train is known."""
    if size is None:
        return ""
    return f"largest error {numbers.error(size).lstrip('+')}" if size else "all exact"


def and_error(size: float | Fraction | None) -> str:
    """The same after other figures: `, all exact`."""
    return f", {said}" if (said := largest_error(size)) else ""


def advice_line(plan: Plan) -> str:
    """What to get, or that nothing is needed, and what the lathe cuts then."""
    first, step = plan.steps[0], plan.steps[plan.advice.step]
    threads = numbers.plural(first.wanted, "thread")
    if plan.advice.step:
        get = f"Get {_named(plan, step)}{for_price(plan, step.price)}: "
        if step.covered != first.covered:
            return f"{get}{first.covered} of {threads} become {step.covered}."
        return f"{get}{first.covered} of {threads} are cut as before, but better."
    if plan.advice.grounds is Grounds.ALL_WELL:
        each = "the one thread is" if first.wanted == 1 else f"all {threads} are"
        if over := plan.overloads(0):
            return f"{each[0].upper()}{each[1:]} covered as it is, but {overload_told(over)}."
        return f"You need nothing: {each} covered."
    have = f"{first.covered} of {threads} {'is' if first.covered == 1 else 'are'} covered"
    if plan.advice.grounds is Grounds.TOO_DEAR:
        gears = "gears" if plan.certain else "the gears found"
        return f"Get nothing: {have}, and what {gears} would bring is not worth their price."
    if plan.advice.grounds is Grounds.NOTHING_HELPS:
        if unseen := sum(states[0].verdict is Verdict.NOT_LOOKED for states in plan.states):
            return f"Too little time: {have} so far, {unseen} were not looked at."
        if not all(states[0].settled for states in plan.states):
            return f"Too little time: {have} so far, and not all trains were compared."
        get = "" if plan.sparing else "Get nothing: "
        more = max(one.covered_weight for one in plan.steps) > first.covered_weight
        usual = "what covers more is no better" if more else "no set of gears found covers more"
        return f"{get}{have}, and {_straining(plan) or usual}."
    return f"{have[0].upper()}{have[1:]}; no gears to add were looked for."


def advice_why(plan: Plan) -> str:
    """Why that step, without a stop at the end; empty where there is no more to say."""
    advice, step = plan.advice, plan.steps[plan.advice.step]
    further = plan.steps[advice.step + 1 :]
    said = []
    if advice.step and step.covered_weight != plan.steps[0].covered_weight:
        more = numbers.weight(step.covered_weight - plan.steps[0].covered_weight)
        said.append(f"this covers {more} more in weight")
    if advice.step and step.covered == plan.steps[0].covered:
        was = numbers.weight(plan.steps[0].demerits)
        said.append(f"demerits fall from {was} to {numbers.weight(step.demerits)}")
    over = plan.overloads(advice.step)
    if over and advice.grounds is not Grounds.ALL_WELL:
        said.append(overload_told(over))
    if plan.sparing:
        said.append(_sparing(plan, plan.sparing, over))
    if advice.next is not None:
        said.append(_next(plan, step, plan.steps[advice.next]))
    elif advice.grounds is Grounds.NO_MORE and (further or step.covered != step.wanted):
        said.append(_straining(plan) or "none of the further sets found brings more")
    if advice.step and not step.proven:
        said.append("that no other set does more is not proven")
    if plan.cut_short:
        better = ": what a gear more would make better is not known" if plan.all_covered else ""
        said.append(f"not all trains were looked at{better}")
    return "; ".join(said)


def _straining(plan: Plan) -> str:
    """`what covers 9 overloads the teeth`, of the step past the one advised; empty where it does
    not, or none covers more."""
    further = plan.straining
    return f"what covers {plan.steps[further].covered} overloads the teeth" if further else ""


def overload_told(names: Sequence[str]) -> str:
    """`8 tpi overloads the teeth`; empty where none does."""
    if not names:
        return ""
    if len(names) == 1:
        return f"{names[0]} overloads the teeth"
    return f"{_some(names)} overload the teeth"


def _some(names: Sequence[str]) -> str:
    """Up to three names, else how many."""
    if len(names) > _NAMED:
        return f"{len(names)} threads"
    return listed(names)


def _sparing(plan: Plan, spares: Sparing, over: Sequence[str]) -> str:
    """`getting 86 as well, for 21, would spare them and cover 1 more on teeth that bear it`."""
    step = plan.steps[plan.advice.step]
    have, sought = Counter(one.offer.gear for one in step.gears), Counter(spares.gears)
    kept = bool(have) and have <= sought
    more = sorted((sought - have).elements(), key=lambda gear: gear.order)
    gears = listed([gear_text(plan.lathe, gear) for gear in (more if kept else spares.gears)])
    if kept:
        gears += " as well"
    if plan.priced:
        gears += f", for {numbers.weight(spares.price - (step.price if kept else 0))},"
    does = []
    if spares.wants:
        whose = "them" if len(spares.wants) == len(over) else f"those of {_some(spares.wants)}"
        does.append(f"spare {whose}")
    if spares.added:
        does.append(f"cover {len(spares.added)} more on teeth that bear it")
    return f"getting {gears} would {' and '.join(does)}"


def why_sentence(plan: Plan) -> str:
    """The same as a sentence, with its capital and stop."""
    why = advice_why(plan)
    return f"{why[0].upper()}{why[1:]}." if why else ""


def _next(plan: Plan, step: Step, other: Step) -> str:
    advice, more = plan.advice, other.covered_weight - step.covered_weight
    gears, price = _named(plan, other), for_price(plan, other.price).lstrip(",")
    brings = f"cover {numbers.weight(more)} more" if more else "cover no more"
    saved = numbers.weight(step.demerits - other.demerits)
    said = f"{gears}{price} would {brings}, with {saved} demerits fewer"
    if advice.worth is None or advice.next_worth is None:
        return said
    if not plan.priced:
        return f"{said}: little for so many gears"
    asked = numbers.weight(Fraction(ceil(100 * advice.next_worth), 100))
    limit = numbers.weight(round(advice.worth, 2))
    return (
        f"{said}: only for those who would pay {asked} for a thread of weight 1, "
        f"where this advice stops at {limit}"
    )


def _named(plan: Plan, step: Step) -> str:
    """`43 and 84`, `43, 63 and 84`."""
    return listed([gear_text(plan.lathe, added.offer.gear) for added in step.gears])


def listed(words: Sequence[str]) -> str:
    """`43, 63 and 84`."""
    return " and ".join(filter(None, (", ".join(words[:-1]), words[-1])))
