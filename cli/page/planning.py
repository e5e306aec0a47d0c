"""The plan for the files at hand, step by step, and what was found on the way for the next time."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from gearchest.cli.files.grid import text_grid
from gearchest.cli.files.lathe import lathe_of
from gearchest.cli.files.offers import Offered, default_offers, offers_in
from gearchest.cli.files.toml import parse_toml
from gearchest.cli.files.wants import wants_of
from gearchest.cli.page.errand import Errand
from gearchest.cli.page.shelf import LATHE, NAMES, OFFERS, WANTS, Texts
from gearchest.cli.plan_command import Read, planned, question_of
from gearchest.cli.plan_options import PlanOptions
from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.plan.result import Plan, Step
from gearchest.optimizer.plan.whatif import WhatIf, extra_gears, named_sets, what_if
from gearchest.optimizer.search.costs import to_set_up
from gearchest.optimizer.search.finder import Remembering
from gearchest.optimizer.search.in_view import without_error

FIRST_STEPS = (1, 2)
"""Plans of so many added gears come before the whole one."""

_Told = dict[str, Any]


@dataclass(frozen=True)
class Made:
    """A plan for some texts. `table`: what answers for gears that are ticked; `whole` once all
    steps are there and the table holds the gears of every one."""

    texts: Texts
    read: Read
    plan: Plan
    table: WhatIf | None = None
    whole: bool = False


class Planning:
    """Plans for one text after another."""

    def __init__(self) -> None:
        self._finder = Remembering()
        self._made: Made | None = None
        self._extra: list[Gear] = []

    def steps(self, texts: Texts, errand: Errand) -> _Told:
        """The whole plan as the page tells it; on the way, as it comes, the lathe as it is, then
        what gears could be ticked, then the first steps. Raises `FaultsError`,
        `SearchStoppedError`."""
        if self._made is None or self._made.texts != texts or not self._made.whole:
            self._finder.ask = errand.ask
            read = read_texts(texts)
            made = self._plan(read, texts, errand, 0)
            self._keep(made)
            errand.tell(_told(made))
            table = self._early_table(made, errand)
            for most in (0, *FIRST_STEPS) if table else FIRST_STEPS:
                if most:
                    made = self._plan(read, texts, errand, most)
                errand.ask()
                table = self._holding(table, made, errand)
                made = replace(made, table=table)
                self._keep(made)
                errand.tell(_told(made))
        return _told(self.whole(texts, errand))

    def whole(self, texts: Texts, errand: Errand) -> Made:
        """The whole plan, from before where it was made. Raises as `steps`."""
        if self._made is not None and self._made.texts == texts and self._made.whole:
            return self._made
        self._finder.ask = errand.ask
        made = self._plan(read_texts(texts), texts, errand, None)
        errand.ask()
        table = self._table(made, errand, extra_gears(made.plan))
        most: Counter[Gear] = Counter()
        for step in made.plan.steps:
            most |= Counter(added.offer.gear for added in step.gears)
        self._extra = list(most.elements())
        made = replace(made, table=table, whole=True)
        self._keep(made)
        return made

    def so_far(self, texts: Texts, errand: Errand) -> Made:
        """The plan as far as it was made; the lathe as it is where nothing was."""
        if self._made is None or self._made.texts != texts:
            self._finder.ask = errand.ask
            self._keep(self._plan(read_texts(texts), texts, errand, 0))
        assert self._made is not None
        return self._made

    def ahead(self, errand: Errand) -> None:
        """Look now for what the next edit of the gears will ask, until called back."""
        if self._made is None:
            return
        plan, read = self._made.plan, self._made.read
        wants = [*plan.wants, *(without_error(plan.lathe, want) for want in plan.wants)]
        candidates = [(offer.gear, offer.copies) for offer in read.offers]
        self._finder.ahead(plan.lathe, wants, candidates, to_set_up(), errand.ask)

    def _early_table(self, made: Made, errand: Errand) -> WhatIf | None:
        """Of the gears owned and those that the steps of the plan before added; None on several
        studs, where it takes longer than the steps."""
        if made.plan.lathe.studs > 1:
            return None
        offered = {offer.gear for offer in made.read.offers}
        return self._table(made, errand, [gear for gear in self._extra if gear in offered])

    def _holding(self, table: WhatIf | None, made: Made, errand: Errand) -> WhatIf | None:
        """The table, with the gears that the steps add where it lacks some."""
        if table is None:
            return None
        there = Counter({kind.gear: kind.most - kind.owned for kind in table.tickable})
        named = Counter(extra_gears(made.plan))
        if named <= there:
            return table
        return self._table(made, errand, (there | named).elements())

    def _table(self, made: Made, errand: Errand, extra: Iterable[Gear]) -> WhatIf:
        return what_if(
            made.plan.lathe, made.plan.wants, extra, named_sets(made.plan),
            ask=errand.ask, finder=self._finder,
        )  # fmt: skip

    def _keep(self, made: Made) -> None:
        """Hold on to a plan; one that is whole is not given up for its own first steps."""
        old = self._made
        if old is None or old.texts != made.texts or not old.whole or made.whole:
            self._made = made

    def _plan(self, read: Read, texts: Texts, errand: Errand, most: int | None) -> Made:
        question = question_of(read, PlanOptions(), priced=texts.get(OFFERS) is not None)
        question = replace(question, most=most, past=False, beyond=most is None)
        plan = planned(read, question, errand.watch(), self._finder)
        return Made(texts, read, plan)


def read_texts(texts: Mapping[str, str | None]) -> Read:
    """What the files hold. Raises `FaultsError`."""
    lathe = lathe_of(parse_toml(texts.get(LATHE) or "", NAMES[LATHE]))
    wants = wants_of(parse_toml(texts.get(WANTS) or "", NAMES[WANTS]), [], lathe)
    return Read((lathe,), wants, read_offered(texts, lathe))


def read_offered(texts: Mapping[str, str | None], lathe: Lathe) -> Offered:
    """The gears to be had for a lathe. Raises `FaultsError`."""
    text = texts.get(OFFERS)
    if text is None:
        return Offered(default_offers(lathe))
    return offers_in([text_grid(text, NAMES[OFFERS])], lathe)


def _told(made: Made) -> _Told:
    """A plan as the pages tell it while it comes."""
    from gearchest.reports.plan import view
    from gearchest.reports.plan.advice_words import advice_line
    from gearchest.reports.plan.live import as_it_is, live_parts

    plan = made.plan
    steps = [
        {
            "number": step.number,
            "gears": step.gears,
            "teeth": _ordinary(plan, plan.steps[step.number]),
            "covered": step.covered,
            "wanted": step.wanted,
            "price": step.price if plan.priced else "",
            "proven": plan.steps[step.number].proven,
        }
        for step in view.step_views(plan)
    ]
    advised = plan.advice.step if made.whole and plan.advice else None
    return {
        "kind": "steps", "steps": steps, "whole": made.whole, "advised": advised,
        "ticks": made.table is not None,
        "said": advice_line(plan) if made.whole else as_it_is(plan),
        "live": "" if made.whole else live_parts(plan),
    }  # fmt: skip


def _ordinary(plan: Plan, step: Step) -> list[int]:
    """The tooth counts of a step's gears, none where one of them is no ordinary gear of the lathe
    and has to be described."""
    gears = [added.offer.gear for added in step.gears]
    plain = all(gear == plan.lathe.making.gear(gear.teeth) for gear in gears)
    return [gear.teeth for gear in gears] if plain else []
