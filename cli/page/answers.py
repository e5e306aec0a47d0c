"""What the process that computes is asked, and where the answer comes from."""

from __future__ import annotations

from typing import Any

from gearchest.cli.files.lathe import lathe_of
from gearchest.cli.files.toml import parse_toml
from gearchest.cli.page import api, sheets, tables
from gearchest.cli.page.errand import Errand
from gearchest.cli.page.planning import Planning, read_offered
from gearchest.cli.page.shelf import LATHE, NAMES
from gearchest.cli.typed import refused

Words = dict[str, Any]


class Answers:
    """Answers questions; keeps what may be asked again."""

    def __init__(self) -> None:
        self._planning = Planning()

    def to(self, words: Words, errand: Errand) -> Words:
        """The answer to a question. Raises `FaultsError`, `SearchStoppedError`."""
        if words["what"] == "api":
            return api.answer(words["command"], words["request"], errand)
        if words["what"] == "steps":
            return self._planning.steps(words["texts"], errand)
        if words["what"] == "ahead":
            self._planning.ahead(errand)
            return {"kind": "ahead"}
        if words["what"] == "sheet":
            return sheets.sheet(words, self._planning, errand)
        if words["what"] == "table":
            return tables.table(words)
        if words["what"] == "cut file":
            return sheets.cut_file(words)
        if words["what"] == "offers":
            return _offers(words)
        return _unknown_thread(words)


def _offers(words: Words) -> Words:
    """What was understood of the gears to be had."""
    lathe = lathe_of(parse_toml(words["texts"].get(LATHE) or "", NAMES[LATHE]))
    offered = read_offered(words["texts"], lathe)
    rows = [
        {
            "teeth": offer.gear.teeth,
            "price": float(offer.price),
            "how": offer.how,
            "copies": offer.copies,
            "note": offer.note,
        }
        for offer in offered.offers
    ]
    return {"kind": "offers", "rows": rows, "said": list(offered.said)}


def _unknown_thread(words: Words) -> Words:
    """Which threads a measured one can be, likeliest first."""
    from gearchest.cli.identify_command import Typed, named
    from gearchest.reports.identify.document import identify_document

    asked = words["query"]
    measured = asked.get("measured", "").strip()
    if not measured:
        raise refused("measured", "", "nothing is said of its pitch",
                      fix="count its threads along a length")  # fmt: skip
    typed = Typed(
        diameter=asked.get("diameter") or None,
        inside=bool(asked.get("inside")),
        angle=asked.get("angle") or None,
    )
    found, apart, cuts = named(measured, typed, None, None)
    return identify_document(found, apart, None, cuts)
