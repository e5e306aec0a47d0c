"""A lathe, threads and offers small enough to be worked out by hand: a leadscrew of 2 mm, gears of
20, 40 and 50 teeth, five on offer, seven threads; and another lathe beside it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from fractions import Fraction
from functools import cache
from itertools import permutations

from gearchest.optimizer.domain.gear import Chest, Gear, Offer
from gearchest.optimizer.domain.lathe import GearMaking, Lathe
from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.domain.want import Allowance, Want

MAKING = GearMaking(Fraction(1))


def lathe(name: str, screw: int, *teeth: int) -> Lathe:
    counts = sorted(Counter(map(MAKING.gear, teeth)).items(), key=lambda one: one[0].order)
    return Lathe(name, mm(screw), MAKING, Chest(tuple(counts)))


BENCH, OTHER = lathe("bench", 2, 20, 40, 50), lathe("other", 4, 25, 50)

PITCHES = {"1": "1", "0.6": "2", "1.2": "3", "0.3": "1", "0.75": "0.5", "0.7": "1", "0.79": "0.5"}
"""mm, and what covering each is worth."""

WANTS = [
    Want(
        pitch,
        mm(pitch),
        Allowance(Fraction(1, 50) if pitch == "0.79" else Fraction(0)),
        Fraction(weight),
    )
    for pitch, weight in PITCHES.items()
]

OFFERS = [
    Offer(MAKING.gear(30), Fraction(5), copies=1),
    Offer(MAKING.gear(60), Fraction(9)),
    Offer(MAKING.gear(60), Fraction(8), "cut", 1),
    Offer(MAKING.gear(80), Fraction(3)),
    Offer(MAKING.gear(48), Fraction(1)),
]


def teeth(gears: Iterable[Gear]) -> tuple[int, ...]:
    return tuple(gear.teeth for gear in gears)


@cache
def ratios(gears: tuple[int, ...]) -> set[Fraction]:
    """What two and four of them make."""
    fours = set(permutations(gears, 4))
    return {Fraction(a, b) for a, b in permutations(gears, 2)} | {
        Fraction(a * c, b * d) for a, b, c, d in fours
    }


def worth(gears: Sequence[int], screws: Sequence[int] = (2,)) -> tuple[Fraction, Fraction]:
    """Weight covered and demerits, one not covered counting 200, by hanging gears in every way;
    an error of so much of what is allowed counts ten times that, rounded up, squared."""
    pitches = [screw * ratio for screw in screws for ratio in ratios(tuple(sorted(gears)))]
    weight = demerits = Fraction(0)
    for want in WANTS:
        wanted = want.pitch.rational
        off = [abs(pitch - wanted) / wanted for pitch in pitches]
        least = min((one for one in off if one <= want.allowance.relative), default=None)
        if least is None:
            demerits += 200 * want.weight
        else:
            weight += want.weight
            share = least / want.allowance.relative if least else Fraction(0)
            demerits += want.weight * (-(-10 * share // 1)) ** 2
    return weight, demerits
