"""`--aims` as typed."""

from __future__ import annotations

from gearchest.cli.typed import unknown
from gearchest.optimizer.plan.aims import USUAL, Aim, first_of_all

_WORDS = {aim.word: aim for aim in Aim}


def aims_of(text: str | None) -> tuple[Aim, ...]:
    """The aims in the order typed, the usual others after them."""
    if text is None:
        return USUAL
    words = [word.strip().casefold() for word in text.split(",")]
    for word in words:
        if word not in _WORDS:
            raise unknown("--aims", word, "this is not an aim", _WORDS)
    return first_of_all(*(_WORDS[word] for word in words))
