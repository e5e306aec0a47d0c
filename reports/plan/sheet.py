"""The coverage map and the gears to add, as one HTML file that works offline."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import partial

from markupsafe import Markup

from gearchest.optimizer.chart.of_plan import StepChart
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.making.sheet import BlankSheet
from gearchest.optimizer.plan.result import Plan
from gearchest.optimizer.plan.whatif import WhatIf
from gearchest.optimizer.turning.setup import Setup
from gearchest.reports.blanks.sheet import cut_gears_context
from gearchest.reports.chart import section
from gearchest.reports.drawing import twins
from gearchest.reports.drawing.symbols import definitions
from gearchest.reports.page import shell
from gearchest.reports.page.lean import lean
from gearchest.reports.page.packing import packed_forms, packed_json
from gearchest.reports.page.tables import packed_tables
from gearchest.reports.plan import (
    advice_words,
    bare_view,
    map_view,
    steps_view,
    view,
    whatif_data,
    why_view,
)
from gearchest.reports.plan.charts import plan_charts
from gearchest.reports.plan.setups_view import SECOND, ThreadSheet, letters_of, thread_sheets
from gearchest.reports.plan.tables import plan_tables
from gearchest.reports.setup.fullness import density
from gearchest.reports.setup.sheet import setup_parts
from gearchest.reports.trains.table import train_key
from gearchest.reports.words import numbers, verdicts, wording

STYLES: tuple[str, ...] = (
    "plan/steps.css",
    "plan/map.css",
    "plan/setups.css",
    "plan/adding.css",
    "plan/print.css",
    "plan/in_full.css",
    "blanks/sheet.css",
)
DRAWING_SCRIPTS: tuple[str, ...] = (
    "words/figures.js", "drawing/mounting.js", "drawing/lettering.js", "drawing/planes.js",
    "drawing/train.js",
)  # fmt: skip
WHAT_IF_SCRIPTS: tuple[str, ...] = (
    "plan/whatif_table.js", "plan/whatif.js", "plan/whatif_sheet.js",
)  # fmt: skip


def plan_sheet(
    plan: Plan,
    facts: shell.Facts,
    *,
    charts: bool = True,
    document: Mapping[str, object] | None = None,
    what_if: WhatIf | None = None,
    cuts: Sequence[BlankSheet] = (),
    walls: Sequence[StepChart] = (),
    worked_out: Sequence[Sequence[Setup]] = (),
) -> str:
    """The page for a plan. Same input, same bytes.

    `charts` False leaves them out. `document`: the plan's JSON document, offered for saving.
    `what_if`: the table from which the browser answers when gears are ticked. `cuts`: how to
    make each gear a step wants cut. `walls`: charts for the wall.
    `worked_out`: by want, setups to be printed in full.
    """
    every = [one for states in plan.states for s in states for one in (s.answer, s.without_error)]
    trains = [one.train for one in every if one]
    constants: dict[str, object] = {"verdicts": verdicts.constants()}
    data: dict[str, object] = {"constants": constants}
    if document is not None:
        text = json.dumps(document, ensure_ascii=False, separators=(",", ":"))
        data["plan-json"] = packed_forms({"plan-json": [text]})
    data["tables"] = packed_tables(plan_tables(plan))
    setups = thread_sheets(plan, worked_out)
    by_lead = partial(_by_lead, plan, setups)
    data["whole-setups"] = packed_forms(by_lead(_whole(setups, worked_out)))
    data["more-sheets"] = packed_forms(by_lead(_more(setups)))
    if any(one.bare for one in setups):
        data["setup-panels"] = packed_forms(by_lead(_panels(plan, setups)))
    styles, scripts = STYLES, map_view.SCRIPTS
    letter = letters_of(plan).get("", 1.0)
    constants |= {"numbers": numbers.constants()} | twins.constants()
    if plan.also is None:
        file = facts.inputs[0][0] if facts.inputs else "lathe.toml"
        data["bench"] = whatif_data.bench(plan.lathe, letter) | {"file": file}
    if what_if is not None:
        constants |= {"ways": whatif_data.constants()}
        idents = [setup.ident for setup in setups]
        table = whatif_data.whatif_data(plan.lathe, what_if, idents, letter)
        data["whatif-data"] = packed_json(table)
        data["whatif-presets"] = _presets(plan, what_if)
        trains += what_if.some_trains
        styles, scripts = (
            (*styles, "plan/whatif.css"),
            (*scripts[:-1], *WHAT_IF_SCRIPTS, scripts[-1]),
        )
    if walls:
        data |= section.more_charts(walls, facts)
        styles, scripts = (*styles, *section.STYLES), (*scripts, *section.SCRIPTS)
    steps = view.step_views(plan)
    idents = wording.anchors(want.name for want in plan.wants)
    return shell.build(
        "plan/sheet.html.j2",
        lathe=plan.lathe,
        facts=facts,
        styles=(*styles, "plan/charts.css") if charts else styles,
        scripts=("page/constants.js", *DRAWING_SCRIPTS, *scripts),
        data=data,
        title=f"{plan.lathe.name}: coverage map",
        plan=plan,
        steps=steps,
        columns=view.map_columns(steps, ticked=what_if is not None),
        parts=view.map_parts(plan),
        shown=plan.advice.step,
        ticks=_ticks(plan, what_if),
        idents={want.name: ident for want, ident in zip(plan.wants, idents, strict=True)},
        cards=steps_view.cards(plan, what_if),
        idle=steps_view.idle(plan),
        idle_title=steps_view.idle_title(plan),
        setups=setups,
        overloaded=wording.TEETH_OVERLOADED,
        phrases=bare_view.phrases(setups),
        alike=bare_view.alike(setups),
        lathe_letters=list(map_view.lettered(plan).items()),
        marks=verdicts.legend(measured=plan.lathe.banjo is not None, cut_short=plan.cut_short),
        definitions=_definitions(plan, trains),
        cautions=wording.CAUTIONS,
        verdict=advice_words.advice_line(plan),
        why=advice_words.why_sentence(plan),
        priced=plan.priced,
        remarks=why_view.remarks(plan),
        reasons=why_view.steps_why(plan),
        purchases=why_view.purchases(plan),
        left=why_view.left_rows(plan),
        document=document,
        bench=plan.also is None,
        what_if=what_if,
        unchecked=plan.lathe.banjo is None,
        sought=plan.sought,
        charts=plan_charts(plan) if charts else None,
        gear_chart=section.chart_section(walls, facts),
        **cut_gears_context(cuts),
    )


def _definitions(plan: Plan, trains: Sequence[Train]) -> Markup:
    """What the drawings share, for the second lathe as well where two share a chest."""
    letters = letters_of(plan)
    if plan.also is None:
        return definitions(plan.lathe, trains, letters.get("", 1.0))
    first, second = (letters.get(lathe.name, 1.0) for lathe in (plan.lathe, plan.also))
    return definitions(plan.lathe, trains, first) + definitions(
        plan.also, trains, second, prefix=SECOND, markers=False
    )


def _by_lead(
    plan: Plan, setups: Sequence[ThreadSheet], texts: Mapping[str, list[str]]
) -> dict[str, list[str]]:
    """What is packed by want, the finest thread first: neighbours say much the same."""
    leads = {one.ident: want.pitch.lead_mm for one, want in zip(setups, plan.wants, strict=True)}
    return {ident: texts[ident] for ident in sorted(texts, key=leads.__getitem__)}


def _panels(plan: Plan, setups: Sequence[ThreadSheet]) -> dict[str, list[str]]:
    """Setups that stand bare in the page as they open where scripts run, which draw them."""
    return {
        one.ident: [
            lean(
                shell.part(
                    "plan/setup.html.j2",
                    plan=plan,
                    setup=replace(
                        one,
                        sheets=tuple(
                            replace(sheet, drawing=Markup(""), planes="") for sheet in one.sheets
                        ),
                    ),
                )
            )
        ]
        for one in setups
        if one.bare
    }


def _more(setups: Sequence[ThreadSheet]) -> dict[str, list[str]]:
    """The sheets a setup does not show of itself, as one markup by want."""
    return {
        one.ident: [
            "".join(lean(shell.part("trains/sheet.html.j2", sheet=sheet)) for sheet in one.more)
        ]
        for one in setups
        if one.more
    }


def _whole(
    setups: Sequence[ThreadSheet], worked_out: Sequence[Sequence[Setup]]
) -> dict[str, list[str]]:
    """Setups in full by want, four texts each: the train it is of, how much it says, its markup,
    and the end that drives where its passes depend on nothing else of the train."""
    return {
        one.ident: [
            text
            for made in some
            if made.answer
            for text in (
                train_key(made.lathe, made.answer),
                density(made),
                lean(setup_parts(made)),
                made.answer.merit.driven_from.value if made.sizes.starts == 1 else "",
            )
        ]
        for one, some in zip(setups, worked_out, strict=bool(worked_out))
    }


def _ticks(plan: Plan, what_if: WhatIf | None) -> Callable[[str], str]:
    """What of a row of gears ticks them: their places among those that can be; "" where not all
    can."""
    kinds = what_if.tickable if what_if else ()
    places = {advice_words.gear_text(plan.lathe, kind.gear): i for i, kind in enumerate(kinds)}

    def of(gears: str) -> str:
        found = [places.get(gear) for gear in gears.split(", ")]
        return "" if None in found else "t" + " ".join(map(str, found))

    return of


def _presets(plan: Plan, what_if: WhatIf) -> list[list[int]]:
    """For each step the places of its gears among those that can be ticked."""
    places = {kind.gear: i for i, kind in enumerate(what_if.tickable)}
    owned = [i for i, kind in enumerate(what_if.tickable) for _ in range(kind.owned)]
    return [[*owned, *(places[added.offer.gear] for added in step.gears)] for step in plan.steps]
