"""Trains judged as answers to a want, and which of them to set up."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator
from fractions import Fraction

from gearchest.optimizer.arm.placement import fit
from gearchest.optimizer.arm.result import Fit, Fits
from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.layout import LAYOUTS
from gearchest.optimizer.domain.pitch import magnitude, relative_error
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.search.costs import DEMERITS, ERROR, LOAD
from gearchest.optimizer.search.merit import SPARE, merit
from gearchest.optimizer.search.options import ERROR_UNIT, LOAD_UNIT
from gearchest.optimizer.search.result import Answer, Verdict

OFF_LIMIT = Fraction(5, 100)
"""A fitting train further off than this is no answer at all."""

NEAR_MISSES = 50
"""Of the trains that do not fit, so many of the best are placed to find the nearest miss."""


def answer(
    lathe: Lathe, want: Want, train: Train, owned: Counter[Gear], placed: Fit | None = None
) -> Answer:
    """A train judged as an answer to a want; `placed`: its fit, where that is known."""
    error = relative_error(train.ratio, lathe.leadscrew, want.pitch)
    placed = placed or fit(lathe, train)
    if magnitude(error) > want.allowed_on(lathe):
        verdict = Verdict.OFF if magnitude(error) <= OFF_LIMIT else Verdict.NO_TRAIN
    elif placed.fits is Fits.NO:
        verdict = Verdict.DOES_NOT_FIT
    else:
        verdict = Verdict.EXACT if error == 0 else Verdict.IN_TOLERANCE
    judged = merit(lathe, want, train)
    return Answer(train, error, verdict, placed, judged, train.missing(owned))


def widths(allowed: Fraction) -> Iterator[Fraction]:
    """How far off trains are looked for where none fits within the allowance: the window
    widens, up to OFF_LIMIT, until it holds enough."""
    width = max(allowed, Fraction(1, 2000))
    while width < OFF_LIMIT:
        width *= 4
        yield min(width, OFF_LIMIT)


def nearest_to_fitting(misses: Iterable[Answer]) -> Answer | None:
    """Of trains that do not fit the one that fails least."""
    return min(misses, key=lambda a: (len(a.fit.misfits), a.fit.short_by), default=None)


def choice_key(
    lathe: Lathe, one: Answer, first: tuple[str, ...] = (DEMERITS,)
) -> tuple[object, ...]:
    """Which answer to set up: least first. What `costs.to_set_up` says, in exact fractions."""
    known = {
        DEMERITS: one.merit.demerits,
        LOAD: round(one.train.tooth_load / Fraction(str(LOAD_UNIT))),
        ERROR: round(magnitude(one.error) / ERROR_UNIT),
    }
    train, share = one.train, one.merit.tooth_share
    groups = train.drivers, train.driven, sum(train.idlers, ())
    return (
        *(known[cost] for cost in first),
        train.put_on(lathe.usual_train) if lathe.usual_train else 0,
        len(train.gears),
        train.overdrives_box,
        magnitude(one.error),
        math.inf if share is None else round(share / SPARE),
        *(tuple(gear.teeth for gear in group) for group in groups),
        *(tuple(gear.order for gear in group) for group in groups),
        train.setting.first_driver_turns,
        train.setting.gearbox or "",
        LAYOUTS.index(train.layout),
    )
