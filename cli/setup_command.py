"""`gearchest setup`: everything needed to cut one thread, as a sheet, JSON and a short form."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Unpack

import typer

from gearchest.cli.aims import aims_of
from gearchest.cli.exits import Exit
from gearchest.cli.facts import facts_of
from gearchest.cli.files.lathe import lathe_source, load_lathe
from gearchest.cli.files.offers import common_offers
from gearchest.cli.output import deliver, tell
from gearchest.cli.setup_options import (
    SetupOptions,
    check_shape,
    chosen_train,
    driven_as_asked,
    wishes_of,
)
from gearchest.cli.targets import check_targets
from gearchest.cli.typed import refused
from gearchest.cli.wanted import known_wants, wanted
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.plan.aims import minded_first
from gearchest.optimizer.search.reach import reach
from gearchest.optimizer.turning.pressing import JammedError
from gearchest.optimizer.turning.setup import Setup
from gearchest.optimizer.turning.setup import setup as work_out
from gearchest.reports.setup.document import setup_document
from gearchest.reports.setup.text import setup_lines

if TYPE_CHECKING:
    from gearchest.reports.page.shell import Facts

MOST_TRAINS = 200
"""Trains among which an easier one is sought when a tooth is overloaded."""

_USUAL = {"left": False, "inside": False, "mating": False}
"""What a sheet need not repeat of how it was asked for."""


def setup(
    *,
    lathe: Path,
    pitch: str,
    wants: Path | None = None,
    out: Path | None = None,
    json: str | None = None,
    **options: Unpack[SetupOptions],
) -> None:
    """Write what was asked for; exit 4 where no train within the allowed error fits. `pitch` may
    be the name of a thread of the file `wants`."""
    read = {"LATHE": lathe_source(lathe), "--wants": wants}
    check_targets({"--out": out, "--json": json}, read)
    machine = load_lathe(lathe)
    typed = {"class" if name == "class_name" else name: value for name, value in options.items()}
    inputs = [lathe] if wants is None else [lathe, wants]
    facts = facts_of(f"setup {pitch}", inputs, typed, _USUAL) if out else None
    found = worked_out(machine, pitch, options, known_wants(wants, machine))
    sheet = {out: _sheet(found, facts)} if out and facts and found.answer else {}
    deliver(setup_lines(found), setup_document(found), json, files=sheet)
    if out and not sheet:
        tell(f"{out} was not written: there is no train to put on a sheet.")
    if not found.in_tolerance:
        raise typer.Exit(Exit.NO)


def worked_out(
    lathe: Lathe, pitch: str, options: SetupOptions, wants: Sequence[Want] = ()
) -> Setup:
    """Everything needed to cut a thread, which may be one of `wants`. Raises `FaultsError`."""
    want = wanted(
        pitch,
        wants,
        lathe,
        use=options.get("use"),
        tolerance=options.get("tolerance"),
        diameter=options.get("diameter"),
        engaged=options.get("engaged"),
        grade=options.get("grade"),
        mating=options.get("mating", False),
        left=options.get("left", False),
        inside=options.get("inside", False),
    )
    return worked_out_for(lathe, want, options)


def worked_out_for(lathe: Lathe, want: Want, options: SetupOptions) -> Setup:
    """As `worked_out`, for a want as it is; options that say what is wanted do not count. Raises
    `FaultsError`."""
    lathe = driven_as_asked(options, lathe)
    wishes = wishes_of(options, want)
    check_shape(options, want, wishes)
    chosen = chosen_train(options, lathe, want)
    first = minded_first(aims_of(options.get("aims")))
    answers = reach(lathe, want, common_offers(lathe).candidates, most=MOST_TRAINS, first=first)
    try:
        found = work_out(lathe, want, answers, wishes, chosen)
    except JammedError as error:
        raise refused(
            "--friction",
            options.get("friction") or "",
            str(error),
            allowed=f"less than {error.limit:.3g} for this lead and diameter",
            fix="check friction, material, lead and diameter, or leave the load out",
        ) from None
    if wishes.load and found.pressing is None:
        loaded = "--force" if options.get("load") is None else "--load"
        raise refused(
            loaded,
            str(options.get(loaded.removeprefix("--"))),
            "this thread's diameters or its nut are not known, so nothing can be said of its force",
            fix="give --diameter, and --form if the thread is none of the catalogs'",
        )
    return found


def _sheet(found: Setup, facts: Facts) -> str:
    from gearchest.reports.setup.sheet import setup_sheet

    return setup_sheet(found, facts)
