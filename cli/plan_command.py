"""`gearchest plan`: which gears to add, step by step, as a report, JSON and a short table."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path

import typer

from gearchest.catalogs.lathes import example
from gearchest.cli.exits import Exit
from gearchest.cli.facts import facts_of
from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.offers import default_offers, load_offers
from gearchest.cli.files.wants import load_wants
from gearchest.cli.output import check_writable, show, write_json, write_text
from gearchest.cli.plan_options import MOST, PlanOptions, cover_of, terms_of
from gearchest.cli.plan_progress import TICKING, watching
from gearchest.cli.typed import refused
from gearchest.optimizer.domain.gear import Offer
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.plan.planner import Question, make_plan
from gearchest.optimizer.plan.problem import ImpossibleError
from gearchest.optimizer.plan.result import Plan
from gearchest.optimizer.plan.served import UnlikeLathesError
from gearchest.optimizer.plan.watch import Progress, Watch
from gearchest.optimizer.plan.whatif import WhatIf, extra_gears, named_sets, what_if


@dataclass(frozen=True)
class _Read:
    """The files given, and what they hold; the first lathe is the one asked about."""

    paths: tuple[Path, ...]
    lathes: tuple[Lathe, ...]
    wants: tuple[Want, ...]
    offers: tuple[Offer, ...]


def plan(
    *,
    lathe: Path | None,
    wants: Path | None,
    offers: Path | None,
    out: Path | None,
    json: str | None,
    options: PlanOptions = PlanOptions(),  # noqa: B008 - frozen
) -> None:
    """Write the report; exit 130 where Ctrl-C cut the work short."""
    target = out or Path(f"{lathe.stem if lathe else example().lathe.stem}-plan.html")
    check_writable(target, json)
    read = _read(lathe, wants, offers, options)
    question = Question(
        most=MOST if options.most is None else options.most,
        terms=terms_of(options, read.offers),
        missing=options.missing,
        cover=cover_of(options.cover, read.wants),
        spare=options.sell,
    )
    with watching(options.time_limit) as watch:
        try:
            result = make_plan(read.lathes, read.wants, read.offers, question, watch)
        except (ImpossibleError, UnlikeLathesError, OverflowError) as error:
            raise refused("plan", "", str(error)) from None
        table = _what_if(result, options, watch)
    _write(result, table, target, json, read, options)
    if watch.interrupted:
        raise typer.Exit(Exit.INTERRUPTED)


def _read(
    lathe: Path | None, wants: Path | None, offers: Path | None, options: PlanOptions
) -> _Read:
    """Load every file; what is not given comes from the bundled example, or is usual."""
    sample = example()
    if lathe is None:
        lathe, offers = sample.lathe, offers or sample.offers
    wants = wants or sample.wants
    machine = load_lathe(lathe)
    lathes = [machine, *([load_lathe(options.also)] if options.also else [])]
    had = load_offers(offers, machine) if offers else default_offers(machine)
    paths = [path for path in (lathe, options.also, wants, offers) if path]
    wanted = load_wants(wants, machine)
    if options.left:
        wanted = tuple(replace(want, left=True) for want in wanted)
    return _Read(tuple(paths), tuple(lathes), wanted, had)


class _StoppedError(Exception):
    pass


def _what_if(result: Plan, options: PlanOptions, watch: Watch) -> WhatIf | None:
    """The table from which the browser answers; none for two lathes that share a chest, which
    are left to the plan itself, and none once somebody wants to stop."""
    if result.also or not options.what_if or watch.interrupted:
        return None

    def told(done: int, of: int) -> None:
        watch.report(Progress(None, TICKING, Fraction(done), Fraction(of)))
        if watch.interrupted:
            raise _StoppedError

    try:
        return what_if(
            result.lathe, result.wants, extra_gears(result), named_sets(result), progress=told
        )
    except _StoppedError:
        return None


def _write(
    result: Plan,
    table: WhatIf | None,
    target: Path,
    json: str | None,
    read: _Read,
    options: PlanOptions,
) -> None:
    from gearchest.catalogs.making import making_tables
    from gearchest.optimizer.plan.cut_gears import cut_sheets
    from gearchest.reports.plan.document import plan_document
    from gearchest.reports.plan.sheet import render
    from gearchest.reports.plan.text import plan_lines

    document = plan_document(result)
    facts = facts_of("plan", read.paths, vars(options), vars(PlanOptions()))
    cuts = cut_sheets(result, making_tables())
    page = render(
        result,
        facts=facts,
        charts=options.charts,
        document=document,
        cuts=cuts,
        what_if=table,
    )
    write_text(target, page)
    write_json(json, document)
    show((*plan_lines(result), str(target.resolve())), json)
