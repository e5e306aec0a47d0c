"""A way of dividing a circle with a head: its moves, where they bring the work, and how exactly.

A head's worm turns `ratio` times for one turn of the work, so that every tooth takes
ratio/teeth turns of the crank. Everything here is an exact fraction of a turn.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from gearchest.optimizer.domain.lathe import DividingHead
from gearchest.optimizer.making.plate_gears import PlateGears


@dataclass(frozen=True)
class Move:
    """`holes` on a `circle`: positive with the crank's direction, negative against it."""

    circle: int
    holes: int

    @property
    def turn(self) -> Fraction:
        """Part of a turn."""
        return Fraction(self.holes, self.circle)


@dataclass(frozen=True)
class Stop:
    """One stop of the crank: which tooth it cuts (the last: back at the first), the holes
    moved to get there beyond whole turns, and the hole each pin stands in, counted from 0."""

    tooth: int
    moved: int
    holes: tuple[int, ...]


@dataclass(frozen=True)
class Indexing:
    """A way of dividing: `turns` whole turns of the crank and then `moves`, for every tooth.

    For a compound move the first is the crank's, the second the plate's against its back
    pin. `each`: the work's turn from tooth to tooth. `spread`: moves differ by one hole so
    that the sum closes (method "none"); then `moves` holds the most common one.
    """

    head: DividingHead
    method: str
    teeth: int
    turns: int
    moves: tuple[Move, ...]
    gears: PlateGears | None = None
    spread: bool = False

    @property
    def crank(self) -> Fraction:
        """Turns of the crank (against the plate, and with it, in a compound move) a tooth."""
        return self.turns + sum((move.turn for move in self.moves), Fraction(0))

    @property
    def each(self) -> Fraction:
        """Turn of the work from one tooth to the next: exact.

        With a geared plate the plate's own turning adds to the crank's, and it follows the
        work: ratio x each = crank + plate_turns x each.
        """
        plate = self.gears.plate_turns if self.gears else Fraction(0)
        return self.crank / (self.head.ratio - plate)

    @property
    def error(self) -> Fraction:
        """Turn of the work by which each spacing is off (the last one takes up the rest)."""
        return self.each - Fraction(1, self.teeth)

    @property
    def positions(self) -> tuple[Fraction, ...]:
        """Where the work stands, in turns, for tooth 0, 1, ... and after the last move."""
        if not self.spread:
            return tuple(k * self.each for k in range(self.teeth + 1))
        circle = self.moves[0].circle
        holes = nearest_holes(self.head, self.teeth, circle)
        return tuple(Fraction(hole, circle * self.head.ratio) for hole in holes)

    @property
    def stops(self) -> tuple[Stop, ...]:
        """Where pin and plate stand for every tooth, the closing move last."""
        return tuple(
            Stop(k, move, tuple(hole % m.circle for hole, m in zip(holes, self.moves, strict=True)))
            for k, (move, holes) in enumerate(self._pins())
        )

    def _pins(self) -> Iterator[tuple[int, tuple[int, ...]]]:
        """For tooth 0..teeth: holes moved to reach it, and holes counted on from the start."""
        if self.spread:
            holes = nearest_holes(self.head, self.teeth, self.moves[0].circle)
            yield 0, (0,)
            yield from ((after - before, (after,)) for before, after in pairwise(holes))
            return
        each = tuple(m.holes for m in self.moves)
        for k in range(self.teeth + 1):
            yield (each[0] if each and k else 0), tuple(k * holes for holes in each)

    @property
    def closure(self) -> Fraction:
        """What the work lacks to a full turn after the last move: 0 when it closes."""
        return self.positions[-1] - 1

    @property
    def exact(self) -> bool:
        """Whether every spacing is exact."""
        return self.error == 0

    @property
    def deviations(self) -> tuple[Fraction, ...]:
        """By how much of a turn each tooth stands off its true place (tooth 0 is the origin)."""
        return tuple(
            position - Fraction(k, self.teeth) for k, position in enumerate(self.positions[:-1])
        )

    @property
    def largest_spacing_error(self) -> Fraction:
        """Largest |spacing - 1/teeth| in turns, the closing space included."""
        places = (*self.positions[:-1], Fraction(1))
        true = Fraction(1, self.teeth)
        return max(abs(b - a - true) for a, b in pairwise(places))

    @property
    def accumulated_error(self) -> Fraction:
        """Range of the deviations in turns: the accumulated pitch error round the gear."""
        return max(self.deviations) - min(self.deviations)


def nearest_holes(head: DividingHead, teeth: int, circle: int) -> tuple[int, ...]:
    """For tooth 0..teeth the hole, counted on from the first, nearest its true place."""
    total = head.ratio * circle
    return tuple((2 * k * total + teeth) // (2 * teeth) for k in range(teeth + 1))
