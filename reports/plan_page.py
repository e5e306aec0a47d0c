"""The coverage map and the gears to add, as one HTML file that works offline."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from gearchest.optimizer.gear import Gear
from gearchest.optimizer.pitch import Pitch
from gearchest.optimizer.result import Goal, Plan, Spare, Step
from gearchest.reports import charts as chart_module
from gearchest.reports import numbers, page, plan_view, wording
from gearchest.reports.drawing import definitions
from gearchest.reports.page import Facts
from gearchest.reports.planes import planes_definitions
from gearchest.reports.states import STATES

STYLES = ("plan.css",)
SCRIPTS = ("map.js",)


@dataclass(frozen=True)
class Purchase:
    """One gear of a step's buying list."""

    teeth: str
    how: str
    price: str
    note: str
    unlocks: tuple[str, ...]


@dataclass(frozen=True)
class StepView:
    """A step as the map's column head and the buying list show it."""

    number: int
    gears: str
    purchases: tuple[Purchase, ...]
    price: str
    covered: int
    wanted: int
    weight: str
    wanted_weight: str
    gain: str
    proof: str
    order: str
    equally_good: tuple[str, ...]


def render(
    plan: Plan,
    *,
    facts: Facts | None = None,
    date: str | None = None,
    charts: bool = True,
    document: Mapping[str, object] | None = None,
) -> str:
    """The page for a plan.

    `facts`: version, inputs and options for the footer; `date` (ISO) is shown if given and
    overrides the facts' own. `charts` False leaves plotly out. `document`: the plan's JSON
    document, offered for saving.
    """
    facts = facts or Facts()
    if date is not None:
        facts = replace(facts, date=date)
    trains = [s.answer.train for states in plan.states for s in states if s.answer]
    drawn = chart_module.charts(plan) if charts else []
    data: dict[str, object] = {}
    if drawn:
        data["chart-data"] = {chart.ident: chart.figure for chart in drawn}
    if document is not None:
        data["plan-json"] = document
    return page.build(
        "plan.html.j2",
        lathe=plan.lathe,
        facts=facts,
        styles=(*STYLES, "charts.css") if drawn else STYLES,
        scripts=SCRIPTS,
        late_scripts=("charts.js",) if drawn else (),
        held_scripts={"plotly-source": chart_module.plotly_source()} if drawn else {},
        data=data,
        title=f"{plan.lathe.name}: coverage map",
        plan=plan,
        steps=[_step(plan, k) for k in range(len(plan.steps))],
        columns=[],
        groups=plan_view.map_groups(plan),
        setups=plan_view.setups(plan),
        states=list(STATES.values()),
        definitions=definitions(plan.lathe, trains) + planes_definitions(plan.lathe, trains),
        cautions=wording.CAUTIONS,
        leadscrew=leadscrew(plan.lathe.leadscrew),
        summary=summary(plan),
        remarks=remarks(plan),
        document=document,
        unchecked=plan.lathe.banjo is None,
        charts=drawn,
    )


def leadscrew(pitch: Pitch) -> str:
    """The leadscrew as its file gives it."""
    return str(pitch)


def summary(plan: Plan) -> str:
    """The plan in two sentences."""
    first, last = plan.steps[0], plan.steps[-1]
    said = f"As it is, the lathe cuts {first.covered} of {first.wanted} threads"
    if last.covered > first.covered:
        best = next(s for s in plan.steps if s.covered_weight == last.covered_weight)
        gears = numbers.plural(len(best.gears), "more gear")
        said += f"; with {gears}, {best.covered}"
    left = last.wanted - last.covered
    said += ". " + ("All are covered." if left == 0 else f"{left} stay out of reach.")
    return said


def remarks(plan: Plan) -> list[str]:
    """What is worth knowing beside the steps, a sentence or two each."""
    last = plan.steps[-1]
    said = []
    if plan.knee is not None:
        said.append(
            f"The knee is at step {plan.knee}: what comes after brings little for its money."
        )
    if last.next_best:
        said.append(
            f"Next best at step {last.added}: {wording.teeth(last.next_best.gears)}, giving away "
            f"a weight of {numbers.weight(last.next_best.loses)}."
        )
    for further in last.further:
        if further.gears:
            said.append(f"{further.want} would take {wording.teeth(further.gears)} besides.")
    beyond = [name for name, _ in plan.unreachable]
    if beyond:
        said.append(f"No set of the gears offered covers {', '.join(beyond)}.")
    if plan.goal:
        said.append(_goal(plan.goal))
    if plan.spare:
        said.append(_spare(plan.spare))
    return said


def _goal(goal: Goal) -> str:
    gears = wording.teeth(gear.offer.gear for gear in goal.step.gears) or "nothing more"
    price = numbers.weight(goal.step.price)
    if goal.reached:
        return f"The cheapest way to cover {goal.asked}: {gears}, for {price}."
    return (
        f"No set of offers covers {goal.asked}; {gears}, for {price}, come closest. In the way: "
        f"{', '.join(goal.beyond)}."
    )


def _spare(spare: Spare) -> str:
    if not spare.together:
        return "No gear owned could go without losing a thread."
    proof = "" if spare.proven else " (not proven to be the most)"
    return f"These could go without losing a thread: {wording.teeth(spare.together)}{proof}."


def _step(plan: Plan, k: int) -> StepView:
    step = plan.steps[k]
    gain = step.covered_weight - plan.steps[k - 1].covered_weight if k else None
    return StepView(
        step.added,
        wording.teeth(g.offer.gear for g in step.gears),
        tuple(
            Purchase(
                _gear(plan, g.offer.gear),
                g.offer.how,
                numbers.weight(g.offer.price),
                g.offer.note,
                g.unlocks,
            )
            for g in step.gears
        ),
        numbers.weight(step.price),
        step.covered,
        step.wanted,
        numbers.weight(step.covered_weight),
        numbers.weight(step.wanted_weight),
        "" if gain is None else f"+{numbers.weight(gain)}",
        _proof(step),
        ", then ".join(f"{gear} ({numbers.weight(weight)})" for gear, weight in step.order),
        tuple(wording.teeth(gears) for gears in step.equally_good),
    )


def _gear(plan: Plan, gear: Gear) -> str:
    """A gear to add: its tooth count, and its module where it is not the lathe's own."""
    if gear.module == plan.lathe.making.module:
        return str(gear.teeth)
    return f"{gear.teeth} (module {numbers.significant(gear.module, 4)})"


def _proof(step: Step) -> str:
    if step.proven:
        return "proven best"
    bound = numbers.weight(step.bound_weight)
    why = f" ({step.stopped_by})" if step.stopped_by else ""
    return f"not proven{why}: no set covers more than {bound}"
