"""`gearchest reach`: can these pitches be cut, how, how far off; if not, what would help."""

from __future__ import annotations

from pathlib import Path

import typer

from gearchest.cli.aims import aims_of
from gearchest.cli.arm_check import unreached
from gearchest.cli.exits import Exit
from gearchest.cli.files.lathe import lathe_source, load_lathe
from gearchest.cli.files.offers import common_offers
from gearchest.cli.files.wants import want_from
from gearchest.cli.output import deliver, tell
from gearchest.cli.targets import check_targets
from gearchest.optimizer.plan.aims import minded_first
from gearchest.optimizer.search.reach import LISTED
from gearchest.optimizer.search.reach import reach as reach_one
from gearchest.reports.reach.document import reach_document
from gearchest.reports.reach.text import reach_lines


def reach(
    *,
    lathe: Path,
    pitches: list[str],
    use: str | None,
    tolerance: str | None,
    diameter: str | None,
    left: bool,
    show_all: bool,
    aims: str | None = None,
    json: str | None,
) -> None:
    """Answer for each pitch; exit 4 if for one of them nothing within its allowance fits."""
    check_targets({"--json": json}, {"LATHE": lathe_source(lathe)})
    machine = load_lathe(lathe)
    if strange := unreached(machine):
        tell(f"{lathe}: {strange}")
    wants = [
        want_from(text, lathe=machine, use=use, tolerance=tolerance, diameter=diameter, left=left)
        for text in pitches
    ]
    most = None if show_all else LISTED
    first = minded_first(aims_of(aims))
    offered = common_offers(machine)
    found = [reach_one(machine, want, offered.candidates, most=most, first=first) for want in wants]
    lines = [line for one in found for line in reach_lines(machine, one, everything=show_all)]
    done = all(one.verdict.covered for one in found)
    document = reach_document(machine, found, offered.notes)
    deliver([*lines, *(() if done else offered.notes)], document, json)
    if not done:
        raise typer.Exit(Exit.NO)
