"""Two lathes side by side as one HTML file: a map with two columns a thread."""

from __future__ import annotations

from collections.abc import Mapping

from gearchest.optimizer.search.compare import Comparison
from gearchest.reports.compare import view
from gearchest.reports.compare.tables import compare_tables
from gearchest.reports.compare.verdict import levels, verdict
from gearchest.reports.drawing.symbols import definitions
from gearchest.reports.page import shell
from gearchest.reports.page.tables import packed_tables
from gearchest.reports.plan import map_view
from gearchest.reports.words import verdicts, wording


def compare_sheet(
    found: Comparison, facts: shell.Facts, *, document: Mapping[str, object] | None = None
) -> str:
    """The page. Same input, same bytes."""
    names = found.names
    idents = wording.anchors(want.name for want in found.wants)
    letters = view.letters_of(found)
    drawn = [
        definitions(
            lathe,
            [step.answer.train for step in (pair[side] for pair in found.states) if step.answer],
            letters[side],
            prefix=view.PREFIXES[side],
            markers=side == 0,
        )
        for side, lathe in enumerate(found.lathes)
    ]
    data: dict[str, object] = {
        "constants": {"verdicts": verdicts.constants()},
        "tables": packed_tables(compare_tables(found)),
    }
    if document is not None:
        data["compare-json"] = document
    return shell.build(
        "compare/sheet.html.j2",
        lathe=found.lathes[0],
        facts=facts,
        styles=(
            "plan/steps.css",
            "plan/map.css",
            "plan/setups.css",
            "plan/print.css",
            "compare/sheet.css",
        ),
        scripts=("page/constants.js", *map_view.SCRIPTS),
        data=data,
        title=f"{names[0]} and {names[1]}: side by side",
        found=found,
        columns=view.map_columns(found),
        parts=view.map_parts(found),
        shown=None,
        idents={want.name: ident for want, ident in zip(found.wants, idents, strict=True)},
        verdict=verdict(found),
        overloaded=wording.TEETH_OVERLOADED,
        levels=levels(found),
        setups=view.thread_sheets(found, idents),
        duels=view.duels(found, idents),
        names=names,
        lathe_letters=[],
        marks=verdicts.legend(measured=True),
        definitions=drawn[0] + drawn[1],
        cautions=wording.CAUTIONS,
        shared=wording.teeth(found.shared),
        document=document,
        bench=False,
    )
