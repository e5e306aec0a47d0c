"""The coverage map and the gears to add, as one HTML file that works offline."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from markupsafe import Markup

from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.making.sheet import BlankSheet
from gearchest.optimizer.plan.result import Plan
from gearchest.optimizer.plan.whatif import WhatIf
from gearchest.reports.blanks.sheet import cut_gears_context
from gearchest.reports.drawing.planes import planes_definitions
from gearchest.reports.drawing.symbols import definitions
from gearchest.reports.page import shell as page
from gearchest.reports.page.lean import lean
from gearchest.reports.page.packing import packed, packed_json
from gearchest.reports.page.shell import Facts
from gearchest.reports.plan import charts as chart_module
from gearchest.reports.plan import view as plan_view
from gearchest.reports.plan import why_view
from gearchest.reports.plan.tables import coverage_csv
from gearchest.reports.plan.whatif_data import whatif_data
from gearchest.reports.words import numbers, wording
from gearchest.reports.words.states import STATES, UNCHECKED_STATES

STYLES: tuple[str, ...] = (
    "plan/sheet.css",
    "plan/adding.css",
    "plan/print.css",
    "blanks/sheet.css",
)
SCRIPTS: tuple[str, ...] = ("plan/setups.js", "plan/map.js")
WHAT_IF_SCRIPTS: tuple[str, ...] = (
    "page/figures.js", "drawing/mounting.js", "drawing/lettering.js", "drawing/train.js",
    "drawing/planes.js", "plan/whatif_table.js", "plan/whatif.js",
)  # fmt: skip


@dataclass(frozen=True)
class StepView:
    """A step as the map's column head and the buying list show it."""

    number: int
    gears: str
    purchases: tuple[why_view.GearView, ...]
    price: str
    covered: int
    wanted: int
    weight: str
    wanted_weight: str
    gain: str
    proof: str


def render(
    plan: Plan,
    *,
    facts: Facts | None = None,
    date: str | None = None,
    charts: bool = True,
    document: Mapping[str, object] | None = None,
    what_if: WhatIf | None = None,
    cuts: Sequence[BlankSheet] = (),
) -> str:
    """The page for a plan.

    `facts`: version, inputs and options for the footer; `date` (ISO) is shown if given and
    overrides the facts' own. `charts` False leaves plotly out. `document`: the plan's JSON
    document, offered for saving. `what_if`: the table from which the browser answers when
    gears are ticked (see optimizer/whatif.py). `cuts`: how to make each gear a step wants cut.
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
        data["plan-json"] = packed_json(document)
    data["coverage-csv"] = packed(coverage_csv(plan))
    setups = plan_view.setups(plan)
    data["more-sheets"] = packed(page.json_block(_more(setups)))
    styles, scripts = STYLES, SCRIPTS
    if what_if is not None:
        table = whatif_data(plan.lathe, what_if, plan_view.identifiers(plan))
        data["whatif-data"] = packed(page.json_block(table))
        data["whatif-presets"] = _presets(plan, what_if)
        trains += [way.train for ways in what_if.ways for way in ways]
        styles, scripts = (*styles, "plan/whatif.css"), (*WHAT_IF_SCRIPTS, *scripts)
    return page.build(
        "plan/sheet.html.j2",
        lathe=plan.lathe,
        facts=facts,
        styles=(*styles, "plan/charts.css") if drawn else styles,
        scripts=scripts,
        late_scripts=("plan/charts.js",) if drawn else (),
        held_scripts={"plotly-source": chart_module.plotly_source()} if drawn else {},
        data=data,
        title=f"{plan.lathe.name}: coverage map",
        plan=plan,
        steps=[_step(plan, k) for k in range(len(plan.steps))],
        columns=[],
        groups=plan_view.map_groups(plan),
        setups=setups,
        states=list((STATES if plan.lathe.banjo else UNCHECKED_STATES).values()),
        definitions=_definitions(plan, trains),
        cautions=wording.CAUTIONS,
        leadscrew=str(plan.lathe.leadscrew),
        summary=summary(plan),
        remarks=why_view.remarks(plan),
        reasons=why_view.steps_why(plan),
        purchases=why_view.purchases(plan),
        left=why_view.left_rows(plan),
        document=document,
        what_if=what_if,
        unchecked=plan.lathe.banjo is None,
        sought=len(plan.steps) > 1,
        charts=drawn,
        **cut_gears_context(cuts),
    )


def _definitions(plan: Plan, trains: Sequence[Train]) -> Markup:
    """What the drawings share, for the second lathe as well where two share a chest."""
    first = definitions(plan.lathe, trains) + planes_definitions(plan.lathe, trains)
    if plan.also is None:
        return first
    return first + definitions(plan.also, trains, prefix=plan_view.SECOND, markers=False)


def _more(setups: Sequence[plan_view.SetupView]) -> dict[str, str]:
    """The sheets a setup does not show of itself, as markup by want."""
    return {
        one.ident: "".join(
            lean(page.part("trains/sheet.html.j2", sheet=sheet)) for sheet in one.more
        )
        for one in setups
        if one.more
    }


def _presets(plan: Plan, what_if: WhatIf) -> list[list[int]]:
    """For each step the places of its gears among those that can be ticked."""
    places = {kind.gear: i for i, kind in enumerate(what_if.tickable)}
    owned = [i for i, kind in enumerate(what_if.tickable) for _ in range(kind.owned)]
    return [[*owned, *(places[added.offer.gear] for added in step.gears)] for step in plan.steps]


def summary(plan: Plan) -> str:
    """The plan in two sentences."""
    first, last = plan.steps[0], plan.steps[-1]
    who = "As they are, the two lathes cut" if plan.also else "As it is, the lathe cuts"
    said = f"{who} {first.covered} of {first.wanted} threads"
    if last.covered > first.covered:
        best = next(s for s in plan.steps if s.covered_weight == last.covered_weight)
        gears = numbers.plural(len(best.gears), "more gear")
        said += f"; with {gears}, {best.covered}"
    left = last.wanted - last.covered
    if left == 0:
        return f"{said}. All are covered."
    verb = ("is", "are") if last.most == 0 else ("stays", "stay")
    rest = "not cut" if last.most == 0 else "out of reach"
    return f"{said}. {left} {verb[left > 1]} {rest}."


def _step(plan: Plan, k: int) -> StepView:
    step = plan.steps[k]
    gain = step.covered_weight - plan.steps[k - 1].covered_weight if k else None
    return StepView(
        step.most,
        why_view.gears_text(plan.lathe, [added.offer.gear for added in step.gears]),
        tuple(why_view.gear_view(plan.lathe, added) for added in step.gears),
        numbers.weight(step.price),
        step.covered,
        step.wanted,
        numbers.weight(step.covered_weight),
        numbers.weight(step.wanted_weight),
        "" if gain is None else f"+{numbers.weight(gain)}",
        why_view.proof(step),
    )
