"""A gearbox as its plate tells it: which pitch each position of its levers gives with the usual
train."""

from __future__ import annotations

from fractions import Fraction

from gearchest.optimizer.domain.pitch import Pitch
from gearchest.optimizer.domain.train import Train


class UnlikePitchError(ValueError):
    """One of plate and leadscrew carries the factor pi and the other does not, so that no ratio
    of whole gears lies between them."""


def box_ratio(promised: Pitch, leadscrew: Pitch, usual: Train) -> Fraction:
    """Leadscrew turns per turn of the last change gear where the plate promises a pitch with the
    `usual` train, whose setting tells the first driver's turns and no gearbox. Exact.
    """
    if promised.pi != leadscrew.pi:
        raise UnlikePitchError
    return promised.lead.rational / (leadscrew.lead.rational * usual.ratio)
