"""`gearchest threads --measured`: which catalogued thread an unknown one can be."""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from pathlib import Path

import typer

from gearchest.catalogs.known import known_threads
from gearchest.cli.exits import Exit
from gearchest.cli.files.lathe import lathe_source, load_lathe
from gearchest.cli.files.wants import want_from
from gearchest.cli.output import deliver
from gearchest.cli.targets import check_targets
from gearchest.cli.threads_command import USUAL_WIDTH, series_named
from gearchest.cli.typed import length, positive, refused
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.notation import NotationError
from gearchest.optimizer.search.reach import Bench
from gearchest.optimizer.threads.identify import Identification, identify
from gearchest.optimizer.threads.measurement import CALIPER, Count, Measured, parse_count
from gearchest.optimizer.threads.tell_apart import Apart, tell_apart
from gearchest.reports.identify.document import Cut, identify_document
from gearchest.reports.identify.text import MOST_SHOWN, SELDOM, identify_lines

_MOST_ANGLE = 180.0


@dataclass(frozen=True)
class Typed:
    """What was measured besides the count, as typed."""

    diameter: str | None = None
    inside: bool = False
    left: bool = False
    starts: int | None = None
    angle: str | None = None
    length_error: str | None = None
    diameter_error: str | None = None

    def given(self, others: Mapping[str, object]) -> list[str]:
        """The options that were given, these and others."""
        own = {f"--{name.replace('_', '-')}": value for name, value in asdict(self).items()}
        return [name for name, value in {**own, **others}.items() if value]


def name_thread(
    measured: str,
    typed: Typed,
    *,
    series: str | None = None,
    lathe: Path | None = None,
    show_all: bool = False,
    wide: bool = False,
    json: str | None = None,
    csv: str | None = None,
) -> None:
    """Say what it can be, among all catalogs or those of one series; exit 4 where nothing likely
    is within the errors said."""
    if csv is not None:
        raise refused("--csv", csv, "CSV is for lists of sizes", fix="write JSON: --json")
    check_targets({"--json": json}, {"--lathe": lathe and lathe_source(lathe)})
    machine = None if lathe is None else load_lathe(lathe)
    found, apart, cuts = named(measured, typed, series, machine)
    width = None if wide else shutil.get_terminal_size(USUAL_WIDTH).columns
    lines = identify_lines(found, apart, machine, cuts, width=width, everything=show_all)
    deliver(lines, identify_document(found, apart, machine, cuts), json)
    if not (found.candidates and found.candidates[0].within):
        raise typer.Exit(Exit.NO)


def named(
    measured: str, typed: Typed, series: str | None, lathe: Lathe | None
) -> tuple[Identification, Apart | None, list[Cut]]:
    """What it can be, what would tell the first two apart, and whether the lathe cuts them."""
    taken = _measured(measured, typed)
    found = identify(taken, known_threads(series_named(series).name if series else ""))
    cuts = [] if lathe is None else _cuts(lathe, found)
    return found, tell_apart(found), cuts


def _measured(text: str, typed: Typed) -> Measured:
    count = _count(text, typed)
    angle = positive(typed.angle, "--angle")
    if angle is not None and angle >= _MOST_ANGLE:
        raise refused("--angle", str(typed.angle), "an angle between flanks is below 180 degrees")
    return Measured(
        count,
        length(typed.diameter, "--diameter"),
        float(length(typed.diameter_error, "--diameter-error") or CALIPER),
        typed.inside,
        angle,
        typed.left,
    )


def _count(text: str, typed: Typed) -> Count:
    try:
        count = parse_count(text, length(typed.length_error, "--length-error"))
    except NotationError as error:
        raise refused("--measured", text, error.problem, error.allowed, error.fix) from None
    if typed.starts is None:
        return count
    if count.starts and count.starts != typed.starts:
        raise refused("--starts", str(typed.starts), f'"{text}" says {count.starts}')
    return replace(count, starts=typed.starts)


def _cuts(lathe: Lathe, found: Identification) -> list[Cut]:
    """Whether the lathe cuts the likeliest, each judged as the thread it would be."""
    likely = [candidate for candidate in found.candidates if candidate.likelihood >= SELDOM]
    bench = Bench(lathe)
    wants = [
        want_from(candidate.thread.name, lathe=lathe) for candidate in (likely or ())[:MOST_SHOWN]
    ]
    return [(want, bench.settle(want)) for want in wants]
