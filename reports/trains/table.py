"""All trains of a want side by side: a row for each, from the gears owned to the last step.

On a page with scripts a row is a choice: the train that is shown."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.search.result import Answer, WantStep
from gearchest.reports.words import numbers, wording
from gearchest.reports.words.verdicts import MARKS, Mark

NOTHING = "–"


def train_key(lathe: Lathe, answer: Answer) -> str:
    """A train told apart from all others of a want: its gears and what the levers are set to."""
    levers = wording.levers(lathe, answer.train.setting)
    return ", ".join(filter(None, (wording.gears_written(answer.train), levers)))


@dataclass(frozen=True)
class TrainRow:
    """One train. `steps`: those at which it is the one to set up, empty for one without error
    where another was taken, for its teeth; `which` says so in words."""

    steps: tuple[int, ...]
    train: str
    mark: Mark
    error: str
    teeth: str
    missing: str
    which: str


def train_rows(
    want: Want,
    states: Sequence[WantStep],
    heads: Sequence[str],
    serving: Callable[[str], Lathe],
) -> list[TrainRow]:
    """The distinct trains of a want's steps. `heads`: what each step is called; `serving` gives
    the lathe that a step names."""
    steps_of: dict[tuple[Answer, str], list[int]] = {}
    for k, step in enumerate(states):
        if step.answer:
            steps_of.setdefault((step.answer, step.lathe), []).append(k)
    for step in states:
        if step.without_error:
            steps_of.setdefault((step.without_error, step.lathe), [])
    return [
        _row(serving(name), want, answer, tuple(steps), heads)
        for (answer, name), steps in steps_of.items()
    ]


def _row(
    lathe: Lathe, want: Want, answer: Answer, steps: tuple[int, ...], heads: Sequence[str]
) -> TrainRow:
    return TrainRow(
        steps,
        train_key(lathe, answer),
        MARKS[answer.verdict],
        numbers.error(answer.error, want.allowance.relative),
        wording.teeth_words(answer)[0],
        wording.teeth(answer.missing) or NOTHING,
        which(steps, heads),
    )


def which(steps: Sequence[int], heads: Sequence[str]) -> str:
    """The steps at which a train is the one to set up, one or two by what they are called."""
    if not steps:
        return "without error"
    if len(steps) > 2:
        return wording.steps_written(steps, len(heads) - 1)
    return "; ".join(heads[step] for step in steps)
