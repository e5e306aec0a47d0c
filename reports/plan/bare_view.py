"""Setups of a page of very many threads as they stand for readers without scripts: what all or
many of them say is said once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from gearchest.reports.plan.setups_view import ThreadSheet
from gearchest.reports.words.line import Line

SAID_OFTEN, WORTH_IT = 20, 20
"""How often a phrase comes, and how many letters it has, before the style sheet says it."""


@dataclass(frozen=True)
class Alike:
    """What all trains say of themselves; `caption` of their drawings, "" where they differ."""

    caption: str = ""
    facts: tuple[Line, ...] = ()


def alike(setups: Sequence[ThreadSheet]) -> Alike:
    """What can be said once, above setups that stand bare in the page."""
    sheets = [sheet for setup in setups if setup.bare for sheet in setup.sheets]
    if not sheets:
        return Alike()
    captions = {sheet.caption for sheet in sheets}
    facts = Counter(fact for sheet in sheets for fact in {*sheet.mount, *sheet.cut})
    first = (*sheets[0].mount, *sheets[0].cut)
    return Alike(
        captions.pop() if len(captions) == 1 else "",
        tuple(fact for fact in first if facts[fact] == len(sheets)),
    )


def phrases(setups: Sequence[ThreadSheet]) -> dict[str, int]:
    """What such setups say again and again, the most often first, numbered."""
    said = Counter(
        text
        for setup in setups
        if setup.bare
        for text in (
            setup.asked,
            "".join(setup.speed.partition(": ")[1:]),
            *(
                f", {fact.note}"
                for sheet in setup.sheets
                for fact in sheet.mount + sheet.cut
                if fact.note
            ),
        )
        if len(text) >= WORTH_IT
    )
    often = [text for text, times in said.most_common() if times >= SAID_OFTEN]
    return {text: number for number, text in enumerate(often)}
