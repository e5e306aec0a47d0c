"""A plan whose steps are still coming: its answer and its map as parts of a page."""

from __future__ import annotations

from dataclasses import replace

from gearchest.optimizer.plan.result import Plan
from gearchest.reports.page import shell
from gearchest.reports.plan import map_view, steps_view, view
from gearchest.reports.words import numbers, verdicts, wording

LOOKING = "looking…"
"""What stands for the steps that are to come."""


def live_parts(plan: Plan) -> str:
    """Cards of the steps known by now and one for those to come, the map with a column for each,
    and the rules that show the one chosen; nothing is advised yet."""
    plan = replace(plan, advice=replace(plan.advice, step=len(plan.steps) - 1))
    steps = view.step_views(plan)
    idents = wording.anchors(want.name for want in plan.wants)
    return str(
        shell.part(
            "plan/live.html.j2",
            lathe=plan.lathe,
            plan=plan,
            steps=steps,
            columns=view.map_columns(steps, ticked=False),
            parts=view.map_parts(plan),
            shown=plan.advice.step,
            ticks=lambda text: "",
            idents={want.name: ident for want, ident in zip(plan.wants, idents, strict=True)},
            cards=steps_view.cards(plan, None, coming=True),
            idle=[],
            idle_title="",
            lathe_letters=list(map_view.lettered(plan).items()),
            marks=list((verdicts.MARKS if plan.lathe.banjo else verdicts.UNCHECKED_MARKS).values()),
            verdict=as_it_is(plan),
            why="Which gears would bring most is being looked for.",
            looking=LOOKING,
            left=[],
            unchecked=plan.lathe.banjo is None,
        )
    )


def as_it_is(plan: Plan) -> str:
    """What the lathe cuts as it is."""
    first = plan.steps[0]
    return f"As it is, the lathe cuts {first.covered} of {numbers.plural(first.wanted, 'thread')}."
