"""Two lathes side by side as tables for spreadsheets. Errors are fractions, loads N for 1 N m at
the leadscrew."""

from __future__ import annotations

from gearchest.optimizer.search.compare import Comparison
from gearchest.reports.page.tables import NUMBER, TEXT, SavedTable, near, table
from gearchest.reports.plan.tables import ANSWER, WANT, answer_row, headed, want_row
from gearchest.reports.words import wording


def compare_tables(found: Comparison) -> dict[str, SavedTable]:
    """Every table of the page, by the name its button saves it under."""
    return {"side-by-side": map_table(found), "gears-to-add": additions_table(found)}


def map_table(found: Comparison) -> SavedTable:
    """A row a want; verdict, error, train and its figures for both lathes."""
    rows = []
    for want, pair in zip(found.wants, found.states, strict=True):
        row = want_row(want)
        for head, step in zip(found.names, pair, strict=True):
            train = step.answer.train if step.answer else None
            figures = {
                "tooth load N": near(train.tooth_load) if train else None,
                "screw turns": near(train.ratio) if train else None,
            }
            row |= headed(head, answer_row(step) | figures)
        rows.append(row)
    columns = dict(WANT)
    for head in found.names:
        columns |= {f"{head}: {name}": kind for name, kind in ANSWER.items()}
        columns |= {f"{head}: {name}": NUMBER for name in ("tooth load N", "screw turns")}
    return table(rows, columns)


def additions_table(found: Comparison) -> SavedTable:
    """The fewest gears that would bring each lathe up to the other, a row for each thread."""
    rows = [
        {"lathe": name, "name": up.want, "gears to add": wording.teeth(up.gears)}
        for name, upgrades in zip(found.names, found.upgrades, strict=True)
        for up in upgrades
    ]
    return table(rows, {"lathe": TEXT, "name": TEXT, "gears to add": TEXT})
