"""`gearchest reach`: can these pitches be cut, how, how far off; if not, what would help."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from pathlib import Path

import typer

from gearchest.cli.aims import aims_of
from gearchest.cli.arm_check import unreached
from gearchest.cli.exits import Exit
from gearchest.cli.files.lathe import lathe_source, load_lathe
from gearchest.cli.files.offers import common_offers
from gearchest.cli.output import deliver, tell
from gearchest.cli.targets import check_targets
from gearchest.cli.wanted import known_wants, wanted
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.plan.aims import minded_first
from gearchest.optimizer.search.reach import LISTED
from gearchest.optimizer.search.reach import reach as reach_one
from gearchest.optimizer.search.result import Reach
from gearchest.reports.reach.document import reach_document
from gearchest.reports.reach.text import reach_lines


def reach(
    *,
    lathe: Path,
    pitches: list[str],
    wants: Path | None = None,
    use: str | None,
    tolerance: str | None,
    grade: str | None = None,
    mating: bool = False,
    diameter: str | None,
    left: bool,
    show_all: bool,
    aims: str | None = None,
    json: str | None,
) -> None:
    """Answer for each pitch, or thread of the file `wants`; exit 4 if for one of them nothing
    within its allowance fits."""
    check_targets({"--json": json}, {"LATHE": lathe_source(lathe), "--wants": wants})
    machine = load_lathe(lathe)
    if strange := unreached(machine):
        tell(f"{lathe}: {strange}")
    want = partial(
        wanted, wants=known_wants(wants, machine), lathe=machine, use=use, tolerance=tolerance,
        grade=grade, diameter=diameter, left=left, mating=mating,
    )  # fmt: skip
    asked = [want(text) for text in pitches]
    found, notes = reached(machine, asked, show_all=show_all, aims=aims)
    lines = [line for one in found for line in reach_lines(machine, one, everything=show_all)]
    done = all(one.verdict.covered for one in found)
    document = reach_document(machine, found, notes)
    deliver([*lines, *(() if done else notes)], document, json)
    if not done:
        raise typer.Exit(Exit.NO)


def reached(
    lathe: Lathe, wants: Sequence[Want], *, show_all: bool = False, aims: str | None = None
) -> tuple[list[Reach], tuple[str, ...]]:
    """The answer for each want, and notes of gears that cannot be had."""
    most = None if show_all else LISTED
    first = minded_first(aims_of(aims))
    offered = common_offers(lathe)
    found = [reach_one(lathe, want, offered.candidates, most=most, first=first) for want in wants]
    return found, offered.notes
