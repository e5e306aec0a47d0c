"""A train of the reader's own choosing, judged as any other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.pitch import magnitude
from gearchest.optimizer.domain.stock import owned_gears
from gearchest.optimizer.domain.train import Setting, Train
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.search.answers import answer, choice_key
from gearchest.optimizer.search.result import Answer, Verdict


def own_choice(lathe: Lathe, want: Want, train: Train, among: Sequence[Setting]) -> Answer:
    """A train with its levers set, of `among`, so that it errs least, of equals as is best.

    However far off, it is there: it is never told as no train.
    """
    owned = owned_gears(lathe)
    answers = [answer(lathe, want, replace(train, setting=one), owned) for one in among]
    found = min(answers, key=lambda one: (magnitude(one.error), *choice_key(lathe, one)))
    far = found.verdict is Verdict.NO_TRAIN
    return replace(found, verdict=Verdict.OFF) if far else found
