"""`gearchest compare`: what one lathe can do that the other cannot."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from gearchest.catalogs.lathes import example
from gearchest.cli.facts import facts_of
from gearchest.cli.files.lathe import lathe_source, load_lathe
from gearchest.cli.files.offers import common_offers
from gearchest.cli.files.wants import load_wants
from gearchest.cli.output import deliver, tell
from gearchest.cli.targets import check_targets
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.search.compare import Comparison
from gearchest.optimizer.search.compare import compare as compare_lathes


def compare(
    *, lathes: tuple[Path, Path], wants: Path | None, out: Path | None, json: str | None
) -> None:
    """Write the comparison; without a wants file that of the bundled example is taken.

    Both lathes are held to the same allowances: those of the first lathe's policy.
    """
    from gearchest.reports.compare.document import compare_document
    from gearchest.reports.compare.sheet import compare_sheet
    from gearchest.reports.compare.text import compare_lines

    target = out or Path(f"{lathes[0].stem}-and-{lathes[1].stem}.html")
    source = wants.name if wants else "the bundled example (--wants gives others)"
    wants = wants or example().wants
    read = {"first LATHE": lathes[0], "second LATHE": lathes[1], "--wants": wants}
    check_targets(
        {"--out": target, "--json": json},
        {name: lathe_source(path) for name, path in read.items()},
    )
    first, second = load_lathe(lathes[0]), load_lathe(lathes[1])
    facts = facts_of("compare", (*lathes, wants), {})
    threads = load_wants(wants, first)
    tell(
        f"comparing two lathes over {len(threads)} threads from {source}; "
        f"errors allowed by the policy of {lathes[0].name}"
    )
    found, notes = compared((first, second), threads)
    document = compare_document(found, notes)
    page = compare_sheet(found, facts, document=document)
    deliver(compare_lines(found, notes), document, json, files={target: page}, report=target)


def compared(
    lathes: tuple[Lathe, Lathe], wants: Sequence[Want]
) -> tuple[Comparison, list[list[str]]]:
    """The comparison, and for each lathe notes of gears that cannot be had."""
    offered = [common_offers(lathe) for lathe in lathes]
    candidates = offered[0].candidates, offered[1].candidates
    return compare_lathes(lathes, wants, candidates), [[*side.notes] for side in offered]
