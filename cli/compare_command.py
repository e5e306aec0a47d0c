"""`gearchest compare`: what one lathe can do that the other cannot."""

from __future__ import annotations

from pathlib import Path

from gearchest.catalogs.lathes import example
from gearchest.cli.facts import facts_of
from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.wants import load_wants
from gearchest.cli.output import check_writable, show, tell, write_json, write_text
from gearchest.optimizer.search.common import common_gears
from gearchest.optimizer.search.compare import compare as compare_lathes


def compare(
    *, lathes: tuple[Path, Path], wants: Path | None, out: Path | None, json: str | None
) -> None:
    """Write the comparison; without a wants file that of the bundled example is taken.

    Both lathes are held to the same allowances: those of the first lathe's policy.
    """
    from gearchest.reports.compare.document import compare_document
    from gearchest.reports.compare.sheet import compare_page
    from gearchest.reports.compare.text import compare_lines

    target = out or Path(f"{lathes[0].stem}-and-{lathes[1].stem}.html")
    check_writable(target, json)
    first, second = load_lathe(lathes[0]), load_lathe(lathes[1])
    source = wants.name if wants else "the bundled example (--wants gives others)"
    wants = wants or example().wants
    threads = load_wants(wants, first)
    tell(
        f"comparing two lathes over {len(threads)} threads from {source}; "
        f"errors allowed by the policy of {lathes[0].name}"
    )
    found = compare_lathes((first, second), threads, (common_gears(first), common_gears(second)))
    document = compare_document(found)
    facts = facts_of("compare", (*lathes, wants), {})
    write_text(target, compare_page(found, facts, document=document))
    write_json(json, document)
    show((*compare_lines(found), str(target.resolve())), json)
