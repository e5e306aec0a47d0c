"""Which step to buy: the smallest after which further gears bring little for their price."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from gearchest.optimizer.plan.result import Advice, Grounds, Step
from gearchest.optimizer.search.merit import NOT_COVERED

LITTLE = Fraction(1, 4)
"""Gears bring little for their price where each weight costs more than the best buy's weight
divided by this: four times as much. A rule of this program's own."""

WELL = 4
"""Demerits saved for each weight wanted that are not worth a gear: what the teeth and the error
of trains may differ by without anybody minding. A rule of this program's own."""


def advise(steps: Sequence[Step], worth: Fraction | None = None, *, sought: bool = True) -> Advice:
    """The step to buy.

    What a step brings is the demerits it saves, counted in weight covered: a want that is not
    covered counts `NOT_COVERED`, so one weight covered with a train of no demerits is 1, and
    200 demerits saved on wants that are covered already are 1 as well. A step that covers no
    more and saves less than WELL for each weight wanted brings nothing.

    One weight is worth `worth` in money; where that is not given, what it costs with the step
    that brings most for its price, divided by LITTLE. Of the steps the one is advised that
    brings most beyond its price, of equals the smallest: every step past it brings less, for
    what it costs more, than one weight is worth. Step 0 costs nothing and brings nothing.
    `sought` False: no gears to add were looked for.
    """
    gains = [_gain(steps[0], step) for step in steps]
    if not any(gains):
        if steps[0].covered == steps[0].wanted:
            return Advice(0, Grounds.ALL_WELL)
        return Advice(0, Grounds.NOTHING_HELPS if sought else Grounds.NOT_LOOKED)
    if worth is None:
        worth = _usual_worth(steps, gains)
    net = [worth * gain - step.price for gain, step in zip(gains, steps, strict=True)]
    best = net.index(max(net))
    asked = {
        k: (steps[k].price - steps[best].price) / (gains[k] - gains[best])
        for k in range(best + 1, len(steps))
        if gains[k] > gains[best]
    }
    nearest = min(asked, key=lambda k: (asked[k], k), default=None)
    grounds = Grounds.NO_MORE if nearest is None else Grounds.LITTLE_MORE
    if best == 0:
        grounds = Grounds.TOO_DEAR
    return Advice(best, grounds, worth, nearest, None if nearest is None else asked[nearest])


def _gain(first: Step, step: Step) -> Fraction:
    """What a step brings beyond the lathe as it is, in weight covered; never below 0."""
    saved = first.demerits - step.demerits
    if step.covered_weight <= first.covered_weight and saved < WELL * first.wanted_weight:
        return Fraction(0)
    return max(Fraction(0), saved / NOT_COVERED)


def _usual_worth(steps: Sequence[Step], gains: Sequence[Fraction]) -> Fraction:
    """What one weight is worth, from what it costs with the best buy; 1 where all is free."""
    ratios = [
        step.price / gain for step, gain in zip(steps, gains, strict=True) if gain and step.price
    ]
    return min(ratios) / LITTLE if ratios else Fraction(1)
