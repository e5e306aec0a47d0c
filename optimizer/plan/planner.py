"""The whole way from lathes, wants and offers to a plan."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import partial

from gearchest.optimizer.domain.gear import Gear, Offer
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.layout import most_gears
from gearchest.optimizer.domain.pitch import Pitch
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.making.offers import Sifted, sift
from gearchest.optimizer.making.tables import Tables
from gearchest.optimizer.plan.advice import advise
from gearchest.optimizer.plan.aims import of_trains
from gearchest.optimizer.plan.best_set import BestSet
from gearchest.optimizer.plan.build import Builder
from gearchest.optimizer.plan.demand import SolverLimits
from gearchest.optimizer.plan.formulate import ImpossibleError, Terms, formulate
from gearchest.optimizer.plan.goal import Cover, cheapest_cover
from gearchest.optimizer.plan.result import Goal, Plan
from gearchest.optimizer.plan.served import serve, share_chest
from gearchest.optimizer.plan.solve import MOST, solve
from gearchest.optimizer.plan.spare import spare_gears
from gearchest.optimizer.plan.sparing import sparing
from gearchest.optimizer.plan.watch import Progress, StoppedError, Watch
from gearchest.optimizer.search.asking import SearchStoppedError
from gearchest.optimizer.search.finder import AFRESH, Finder
from gearchest.optimizer.search.options import OptionTable
from gearchest.optimizer.search.search import WORKERS, nothing_found

SEARCH = "trains"
"""Name of the search in progress reports: its values are pitches done and pitches in all."""

_SEARCHING = 0.7
"""Share of the time left that the search may take, so that some is left to choose gears in."""

_AFTERWARDS = 0.02
"""Seconds a want takes to be judged and drawn, which the search leaves of the time, up to half
of it."""

QUICK_WIDTH = Fraction(1, 20)
"""Allowances of all pitches together up to which trains over several studs that lack three gears
are looked for unasked: about a minute on two cores."""


@dataclass(frozen=True)
class Question:
    """What is asked. `most`: steps up to so many gears (None: to the first that covers
    all that can be covered, as with any where `past` is False). `missing`: trains that lack more
    gears are not looked for (None: as many as is quick). `cover`: what the cheapest set is
    to be found for. `spare`: whether to say which gears could be sold. `priced`: whether the
    offers' prices are anybody's; `worth`: money one weight is worth (see `advise`). `workers`:
    threads, >= 1. `beyond`: whether to say why the rest is out of reach, which takes as long as
    a step."""

    most: int | None = None
    terms: Terms = field(default_factory=Terms)
    missing: int | None = None
    cover: Cover | None = None
    spare: bool = False
    priced: bool = True
    worth: Fraction | None = None
    workers: int = WORKERS
    beyond: bool = True
    past: bool = True


def make_plan(
    lathes: Sequence[Lathe],
    wants: Sequence[Want],
    offers: Sequence[Offer],
    question: Question,
    watch: Watch,
    making: Tables,
    finder: Finder = AFRESH,
) -> Plan:
    """The plan for a lathe, or for two that share one chest.

    Offers that cannot be had are left out, with the reason in its notes; `making` holds what
    decides that; `finder` may know
    some options already. Raises `ImpossibleError` where the terms contradict each other,
    `UnlikeLathesError` where the lathes cannot share a chest, OverflowError where numbers lie
    too far apart.
    """
    lathes = share_chest(lathes)
    offered = sift(lathes[0], offers, making)
    _refuse_included(question.terms, offered)
    missing = question.missing
    if missing is None:
        missing = max(usual_missing(lathe, wants) for lathe in lathes)
        if question.cover is None:  # the cheapest set may hold any number of gears
            missing = min(MOST if question.most is None else question.most, missing)
    wanted = [offer for offer in offered.kept if offer.gear not in question.terms.keep_out]
    tables = _search(lathes, wants, wanted, missing, watch, question, finder)
    served = serve(lathes, tables)
    problem = formulate(wants, served.table, offered.kept, question.terms)
    cut_short = served.table.most_missing < missing
    found: Sequence[BestSet] = solve(
        problem,
        question.most,
        watch,
        question.workers,
        whole=not cut_short,
        past=question.past,
    )
    if not cut_short:
        found = _without_repeats(found)
    builder = Builder(served, wants, problem, finder, watch.asked(), question.workers)
    plan = builder.plan(found, offered.notes, whole=not cut_short, beyond=question.beyond)
    sought = question.most != 0
    plan = replace(
        plan,
        advice=advise(plan.steps, question.worth, sought=sought),
        priced=question.priced,
        sought=sought,
    )
    if question.beyond:
        spares = sparing(builder, plan, found, watch, beyond=question.most is None)
        plan = replace(plan, sparing=spares)
    limits = SolverLimits(question.workers, watch.remaining)
    if question.cover:
        plan = replace(plan, goal=_goal(builder, question.cover, found, watch, limits, cut_short))
    if question.spare:
        spare = spare_gears(lathes, wants, watch, limits)
        plan = replace(plan, spare=builder.spare(spare) if spare else None)
    return plan


def _goal(
    builder: Builder,
    cover: Cover,
    steps: Sequence[BestSet],
    watch: Watch,
    limits: SolverLimits,
    cut_short: bool,
) -> Goal:
    try:
        reached = cheapest_cover(builder.problem, cover, steps, watch, limits)
    except StoppedError:
        return builder.goal(cover, None, steps[-1], certain=False)
    return builder.goal(cover, reached, steps[-1], certain=not cut_short)


def _without_repeats(found: Sequence[BestSet]) -> Sequence[BestSet]:
    """The steps without those at the end that are proven to bring nothing more."""
    last = len(found) - 1
    while last and found[last].proven and found[last].chosen == found[last - 1].chosen:
        last -= 1
    return found[: last + 1]


def usual_missing(lathe: Lathe, wants: Sequence[Want]) -> int:
    """How many gears trains may lack by default: all that a train on one stud can hold, or
    what is still quick to search on more.

    The trains of a pitch are as many as its allowance is wide, so it is their sum that tells.
    """
    if lathe.studs == 1:
        return most_gears(1)
    widest: dict[Pitch, Fraction] = {}
    for want in wants:
        pitch, allowed = want.pitch.lead, want.allowed_on(lathe)
        widest[pitch] = max(widest.get(pitch, Fraction(0)), allowed)
    return 3 if sum(widest.values()) <= QUICK_WIDTH else 2


def _refuse_included(terms: Terms, offered: Sifted) -> None:
    """Raise `ImpossibleError` for a gear that is to be in and cannot be had."""
    for gear in terms.include:
        if why := offered.why_not(gear):
            raise ImpossibleError(f"gear {gear} is to be included but cannot be had. {why.why}")


def _search(
    lathes: Sequence[Lathe],
    wants: Sequence[Want],
    offers: Sequence[Offer],
    missing: int,
    watch: Watch,
    question: Question,
    finder: Finder,
) -> list[OptionTable]:
    """The options on every lathe; where the watch stops the search, of trains that lack so few
    gears that all of them were looked at, and those that lack more where they were found. What
    the gears owned do is given a little time whatever the watch says."""
    candidates = _candidates(offers)
    order, workers = of_trains(question.terms.aims), question.workers

    until = None
    if watch.remaining is not None:
        left = max(watch.remaining / 2, watch.remaining - _AFTERWARDS * len(wants))
        until = watch.seconds + _SEARCHING * left

    def told(done: int, of: int) -> None:
        watch.report(Progress(missing, SEARCH, Fraction(done), Fraction(of)))

    def ask() -> None:
        if watch.over or (until is not None and watch.seconds > until):
            raise SearchStoppedError

    def owned(lathe: Lathe) -> OptionTable:
        return finder.find(
            lathe, wants, candidates, 0,
            order=order, workers=workers, ask=watch.asked(until),
            instead=nothing_found(lathe, wants, candidates),
        )  # fmt: skip

    def found(lacking: int, known: Sequence[OptionTable | None]) -> list[OptionTable]:
        return [
            finder.find(
                lathe, wants, candidates, lacking,
                order=order, workers=workers, ask=ask,
                instead=partial(owned, lathe) if instead is None else instead,
                progress=told if lacking == missing else None,
            )
            for lathe, instead in zip(lathes, known, strict=True)
        ]  # fmt: skip

    if until is None and all(lathe.studs == 1 for lathe in lathes):
        return found(missing, [None] * len(lathes))
    # With a deadline what lacks fewer gears is looked for first, at a fraction of the time: it
    # is what there is of the wants that were not come to. Over several studs somebody may lose
    # patience: then there is at least what the gears owned do.
    tables = [owned(lathe) for lathe in lathes]
    for lacking in range(1 if until is not None else max(1, missing), missing + 1):
        tables = found(lacking, tables)
    return tables


def _candidates(offers: Sequence[Offer]) -> list[tuple[Gear, int | None]]:
    copies: dict[Gear, int | None] = {}
    for offer in offers:
        had = copies.get(offer.gear, 0)
        copies[offer.gear] = None if had is None or offer.copies is None else had + offer.copies
    return list(copies.items())
