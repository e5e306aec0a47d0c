"""`gearchest chart`: the chart for the wall, with the fewest changes of gears."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from pathlib import Path

import typer

from gearchest.catalogs.lathes import example
from gearchest.cli.chart_options import added_gears, this_evening
from gearchest.cli.exits import Exit
from gearchest.cli.facts import facts_of
from gearchest.cli.files.lathe import lathe_source, load_lathe
from gearchest.cli.files.wants import load_wants
from gearchest.cli.output import deliver, tell
from gearchest.cli.plan_progress import watching
from gearchest.cli.targets import check_targets
from gearchest.cli.threads_command import USUAL_WIDTH
from gearchest.cli.typed import unknown
from gearchest.optimizer.chart.build import make_chart
from gearchest.optimizer.chart.share import Pace
from gearchest.optimizer.search.asking import SearchStoppedError

SERIES, FREE = "series", "free"


@dataclass(frozen=True)
class ChartOptions:
    """Options of `gearchest chart`; empty or None where not given. `with_gears`: texts that list
    tooth counts; `plan`: a plan's JSON, `step` one of its steps, None for the one advised; `only`:
    texts that list threads. `order` of the rows. `time_limit` in s."""

    with_gears: tuple[str, ...] = ()
    plan: Path | None = None
    step: int | None = None
    only: tuple[str, ...] = ()
    order: str = SERIES
    time_limit: float | None = None


def chart(
    *,
    lathe: Path,
    wants: Path | None,
    out: Path | None,
    json: str | None,
    options: ChartOptions = ChartOptions(),
) -> None:
    """Write the chart; exit 130 where Ctrl-C cut the work short."""
    from gearchest.reports.chart.document import chart_document
    from gearchest.reports.chart.sheet import chart_sheet
    from gearchest.reports.chart.text import chart_lines

    if options.order not in (SERIES, FREE):
        raise unknown("--order", options.order, "this is no order of rows", (SERIES, FREE))
    source = wants or (None if options.only else example().wants)
    files = {"LATHE": lathe, "--wants": source, "--plan": options.plan}
    read = {name: lathe_source(path) for name, path in files.items() if path is not None}
    target = out or Path(f"{lathe.stem}-chart.html")
    check_targets({"--out": target, "--json": json}, read)
    machine = load_lathe(lathe)
    facts = facts_of("chart", read.values(), vars(options), vars(ChartOptions()))
    added = added_gears(machine, options.with_gears, options.plan, options.step)
    threads = load_wants(source, machine) if source else ()
    if options.only:
        threads = this_evening(options.only, threads, machine)
    elif wants is None:
        tell("threads of the bundled example (--wants gives others)")
    pace = Pace.USUAL if options.time_limit is None else Pace.THOROUGH
    with watching(options.time_limit) as watch:
        try:
            found = make_chart(machine, threads, added, watch, pace)
        except SearchStoppedError:
            tell("stopped before there was a chart")
            raise typer.Exit(Exit.INTERRUPTED if watch.interrupted else Exit.NO) from None
    document = chart_document(found)
    width = shutil.get_terminal_size(USUAL_WIDTH).columns
    lines = chart_lines(found, width, free=options.order == FREE)
    page = chart_sheet(found, facts, free=options.order == FREE, document=document)
    deliver(lines, document, json, files={target: page}, report=target)
    if watch.interrupted:
        raise typer.Exit(Exit.INTERRUPTED)
    if not found.setups:
        raise typer.Exit(Exit.NO)
