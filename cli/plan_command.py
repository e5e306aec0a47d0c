"""`gearchest plan`: which gears to add, step by step, as a report, JSON and a short table."""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from gearchest.catalogs.lathes import example
from gearchest.catalogs.making import making_tables
from gearchest.cli.arm_check import unreached
from gearchest.cli.beside import beside
from gearchest.cli.exits import Exit
from gearchest.cli.facts import facts_of
from gearchest.cli.files.lathe import lathe_source, load_lathe
from gearchest.cli.files.offers import Offered, default_offers, read_offers
from gearchest.cli.files.wants import load_wants
from gearchest.cli.output import deliver, tell
from gearchest.cli.plan_options import PlanOptions, cover_of, terms_of
from gearchest.cli.plan_progress import TICKING, watching
from gearchest.cli.targets import check_targets
from gearchest.cli.typed import refused
from gearchest.optimizer.chart.of_plan import StepChart, plan_charts
from gearchest.optimizer.domain.gear import Offer
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.plan.formulate import ImpossibleError
from gearchest.optimizer.plan.planner import Question, make_plan
from gearchest.optimizer.plan.result import Plan
from gearchest.optimizer.plan.served import UnlikeLathesError
from gearchest.optimizer.plan.watch import Progress, Watch
from gearchest.optimizer.plan.whatif import WhatIf, extra_gears, named_sets, what_if
from gearchest.optimizer.search.asking import SearchStoppedError
from gearchest.optimizer.search.copies import in_copies, in_copies_alone
from gearchest.optimizer.search.finder import AFRESH, Finder
from gearchest.optimizer.search.search import WORKERS

if TYPE_CHECKING:
    from gearchest.reports.page.shell import Facts


_DRAWN = 0.012
"""Seconds a thread takes to be drawn in the report, which are left of the time given, up to half of
it."""


@dataclass(frozen=True)
class _Files:
    """The files a plan is made from."""

    lathe: Path
    wants: Path
    offers: Path | None
    also: Path | None

    @property
    def named(self) -> dict[str, Path]:
        """Those there are, by what they are called on the command line."""
        names = {
            "LATHE": self.lathe, "--also": self.also, "--wants": self.wants,
            "--offers": self.offers,
        }  # fmt: skip
        return {name: lathe_source(path) for name, path in names.items() if path}


@dataclass(frozen=True)
class Read:
    """What the files hold; the first lathe is the one asked about."""

    lathes: tuple[Lathe, ...]
    wants: tuple[Want, ...]
    offered: Offered

    @property
    def offers(self) -> tuple[Offer, ...]:
        return self.offered.offers


def plan(
    *,
    lathe: Path | None,
    wants: Path | None,
    offers: Path | None,
    out: Path | None,
    json: str | None,
    explore: Path | None = None,
    options: PlanOptions = PlanOptions(),  # noqa: B008 - frozen
) -> None:
    """Write the report; exit 130 where Ctrl-C cut the work short."""
    begun = time.monotonic()
    files = _files(lathe, wants, offers, options.also)
    target = out or Path(f"{files.lathe.stem}-plan.html")
    check_targets({"--out": target, "--explore": explore, "--json": json}, files.named)
    if options.worth is not None and files.offers is None:
        raise refused(
            "--worth", str(options.worth), "without offers there are no prices to hold it against",
            fix="name an offers file with --offers",
        )  # fmt: skip
    read = _read(files, options.left)
    question = question_of(read, options, priced=files.offers is not None)
    if strange := unreached(read.lathes[0]):
        tell(f"{files.lathe}: {strange}")
    for line in read.offered.said:
        tell(f"{files.offers}: {line}")
    asked = replace(options, workers=None)  # they change nothing of the answer
    facts = facts_of("plan", files.named.values(), vars(asked), vars(PlanOptions()))
    limit = options.time_limit
    if limit is not None:
        spent = time.monotonic() - begun + _DRAWN * len(read.wants)
        limit = max(limit / 2, limit - spent)
    with watching(limit) as watch:
        result = planned(read, question, watch, Finder(in_copies, in_copies_alone))
        with beside(
            lambda: plan_charts(result, watch), lambda: watch.over, workers=question.workers
        ) as walls_made:
            table = _what_if(result, options, watch)
            walls = walls_made()
        _write(result, table, walls, target, explore, json, facts, options)
    if watch.interrupted:
        raise typer.Exit(Exit.INTERRUPTED)


def question_of(read: Read, options: PlanOptions, *, priced: bool) -> Question:
    """What is asked, in the terms of the plan; `priced`: whether there are prices. Raises
    `FaultsError`."""
    return Question(
        most=options.most,
        priced=priced,
        worth=options.worth.value if options.worth else None,
        terms=terms_of(options, read.offered),
        missing=options.missing,
        cover=cover_of(options.cover, read.wants),
        spare=options.sell,
        workers=options.workers or WORKERS,
    )


def planned(read: Read, question: Question, watch: Watch, finder: Finder = AFRESH) -> Plan:
    """The plan; raises `FaultsError` where the conditions leave none."""
    try:
        return make_plan(
            read.lathes, read.wants, read.offers, question, watch, making_tables(), finder
        )
    except (ImpossibleError, UnlikeLathesError, OverflowError) as error:
        raise refused("plan", "", str(error)) from None


def _files(
    lathe: Path | None, wants: Path | None, offers: Path | None, also: Path | None
) -> _Files:
    """What is not given comes from the bundled example, or is usual."""
    sample = example()
    if lathe is None:
        lathe, offers = sample.lathe, offers or sample.offers
    return _Files(lathe, wants or sample.wants, offers, also)


def _read(files: _Files, left: bool) -> Read:
    machine = load_lathe(files.lathe)
    lathes = [machine, *([load_lathe(files.also)] if files.also else [])]
    if len(lathes) > 1 and lathes[1].name == machine.name:  # trains are told apart by it
        lathes[1] = replace(lathes[1], name=f"{machine.name} (2)")
    offered = Offered(default_offers(machine))
    if files.offers:
        offered = read_offers(files.offers, machine)
    wants = load_wants(files.wants, machine)
    if left:
        wants = tuple(replace(want, left=True) for want in wants)
    return Read(tuple(lathes), wants, offered)


def _what_if(result: Plan, options: PlanOptions, watch: Watch) -> WhatIf | None:
    """The table from which the browser answers; none for two lathes that share a chest, which
    are left to the plan itself, and none once somebody wants to stop or the time is up."""
    if result.also or not options.what_if or watch.over:
        return None

    def told(done: int, of: int) -> None:
        watch.report(Progress(None, TICKING, Fraction(done), Fraction(of)))

    def ask() -> None:
        if watch.over:
            raise SearchStoppedError

    try:
        return what_if(
            result.lathe, result.wants, extra_gears(result), named_sets(result),
            workers=options.workers or WORKERS, progress=told, ask=ask, finder=Finder(in_copies),
        )  # fmt: skip
    except SearchStoppedError:
        return None


def _write(
    result: Plan,
    table: WhatIf | None,
    walls: Sequence[StepChart],
    target: Path,
    explore: Path | None,
    json: str | None,
    facts: Facts,
    options: PlanOptions,
) -> None:
    from gearchest.cli.thread_setups import thread_setups
    from gearchest.optimizer.plan.cut_gears import cut_sheets
    from gearchest.reports.plan.document import plan_document
    from gearchest.reports.plan.sheet import plan_sheet
    from gearchest.reports.plan.text import plan_lines

    document = plan_document(result, walls)
    cuts = cut_sheets(result, making_tables())
    page = plan_sheet(
        result,
        facts,
        charts=options.charts,
        document=document,
        cuts=cuts,
        what_if=table,
        walls=walls,
        worked_out=thread_setups(result),
    )
    pages = {target: page}
    if explore:
        from gearchest.reports.plan.explore import explore_sheet

        pages[explore] = explore_sheet(result, facts)
    deliver(plan_lines(result), document, json, files=pages, report=target)
