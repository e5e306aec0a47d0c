"""Finding the ways to divide a circle with a head: plain, compound, differential, or the nearest
there is. Everything here is an exact fraction of a turn.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import combinations
from math import floor

from gearchest.optimizer.domain.lathe import DividingHead
from gearchest.optimizer.making.indexing import Indexing, Move
from gearchest.optimizer.making.plate_gears import PlateGears, plate_gearings, with_idlers


def plain(head: DividingHead, teeth: int) -> tuple[Indexing, ...]:
    """Every circle on which the crank's move lands on a hole; the largest circle first.

    Whole turns of the crank need no circle: `moves` is then empty.
    """
    whole, part = divmod(Fraction(head.ratio, teeth), 1)
    if not part:
        return (Indexing(head, "plain", teeth, int(whole), ()),)
    return tuple(
        Indexing(head, "plain", teeth, int(whole), (Move(circle, int(part * circle)),))
        for circle in sorted(head.circles, reverse=True)
        if (part * circle).denominator == 1
    )


def plate_pairs(head: DividingHead) -> Iterator[tuple[int, int]]:
    """Pairs of circles on one plate: only they can make a compound move.

    Where the head does not say which circles share a plate, every pair counts.
    """
    seen: set[tuple[int, int]] = set()
    for plate in head.plates or (head.circles,):
        for pair in combinations(sorted(set(plate)), 2):
            if pair not in seen:
                seen.add(pair)
                yield pair


def compound_moves(
    head: DividingHead, part: Fraction, within: Fraction = Fraction(0)
) -> list[tuple[Fraction, Move, Move]]:
    """Pairs of moves on two circles of a plate whose sum is `part` of a turn, up to whole turns.

    Returns (sum - part, crank's move, plate's move) for |sum - part| <= `within`, best first:
    smallest error, then fewest holes. The plate's move lies within half a turn either way;
    the crank's is the one nearest the rest.
    """
    found: list[tuple[Fraction, Move, Move]] = []
    above, below = part.numerator, part.denominator
    for small, large in plate_pairs(head):
        for crank_circle, plate_circle in ((small, large), (large, small)):
            for holes in range(1, plate_circle // 2 + 1):
                for signed in (holes, -holes):
                    over = (above * plate_circle - signed * below) * crank_circle
                    if not within and over % (below * plate_circle):
                        continue  # as is nearly always so, and fractions take their time
                    rest = part - Fraction(signed, plate_circle)
                    crank = round(rest * crank_circle)
                    error = Fraction(crank, crank_circle) - rest
                    if 0 < abs(crank) < crank_circle and abs(error) <= within:
                        found.append((error, Move(crank_circle, crank), Move(plate_circle, signed)))
    kept: dict[frozenset[Move], tuple[Fraction, Move, Move]] = {}
    for way in sorted(found, key=_least_work):
        kept.setdefault(frozenset(way[1:]), way)
    return list(kept.values())


def _least_work(found: tuple[Fraction, Move, Move]) -> tuple[Fraction, int, int, int]:
    error, crank, plate = found
    return abs(error), abs(crank.holes) + abs(plate.holes), crank.circle, plate.holes


def compound(head: DividingHead, teeth: int, most: int = 3) -> tuple[Indexing, ...]:
    """Exact compound moves, the fewest holes first; none where no two circles of a plate do."""
    whole, part = divmod(Fraction(head.ratio, teeth), 1)
    exact = compound_moves(head, part)[:most]
    return tuple(
        Indexing(head, "compound", teeth, int(whole), (crank, plate)) for _, crank, plate in exact
    )


def near_compound(head: DividingHead, teeth: int) -> Indexing | None:
    """The compound move with the smallest error, exact or not."""
    whole, part = divmod(Fraction(head.ratio, teeth), 1)
    found = compound_moves(head, part, within=Fraction(1, max(head.circles)))
    if not found:
        return None
    _, crank, plate = found[0]
    return Indexing(head, "compound", teeth, int(whole), (crank, plate))


def differential(
    head: DividingHead, teeth: int, gears: Sequence[int], most: int = 3
) -> tuple[Indexing, ...]:
    """Moves on one circle with the plate geared to the spindle by gears from the chest.

    A crank move of n turns needs the plate to turn g = ratio - n x teeth times a turn of the
    work. `gears`: tooth counts owned, repeated as often as owned. The fewest gears first,
    then the slowest plate. Even meshes turn the plate with the crank, as on the usual head
    (common practice); an idler more reverses it.
    """
    ways = plate_gearings(tuple(sorted(gears)))
    found: list[Indexing] = []
    for circle in sorted(set(head.circles), reverse=True):
        for holes in _moves_near(Fraction(head.ratio, teeth), circle):
            plate = head.ratio - Fraction(holes, circle) * teeth
            train = ways.get(abs(plate))
            geared = train and with_idlers(*train, plate > 0, gears)
            if geared:
                whole, rest = divmod(holes, circle)
                move = (Move(circle, rest),)
                found.append(Indexing(head, "differential", teeth, whole, move, geared))
    found.sort(key=_simplest_gearing)
    return _one_for_each_gearing(found)[:most]


def _moves_near(crank: Fraction, circle: int) -> range:
    """Crank moves on a circle within a quarter turn of what an ungeared plate would need."""
    holes = floor(crank * circle)
    return range(max(1, holes - circle // 4), holes + circle // 4 + 2)


def _simplest_gearing(way: Indexing) -> tuple[int, int, Fraction]:
    gears = way.gears
    assert gears is not None
    return len(gears.drivers), len(gears.idlers), abs(gears.plate_turns)


def _one_for_each_gearing(found: Sequence[Indexing]) -> tuple[Indexing, ...]:
    """The first of those that share a gearing: other circles for it are the same answer."""
    kept: dict[PlateGears | None, Indexing] = {}
    for way in found:
        kept.setdefault(way.gears, way)
    return tuple(kept.values())


def nearest(head: DividingHead, teeth: int) -> Indexing:
    """Every tooth on the hole nearest its true place, on the circle where that serves best.

    The moves differ by one hole; the sum closes, and no tooth stands off by more than half
    a hole. What to do where nothing exact is to be had: method "none".
    """
    ways: list[Indexing] = []
    for circle in sorted(set(head.circles), reverse=True):
        holes = (head.ratio * circle + teeth // 2) // teeth
        whole, rest = divmod(holes, circle)
        ways.append(Indexing(head, "none", teeth, whole, (Move(circle, rest),), spread=True))
    return min(ways, key=lambda way: (way.largest_spacing_error, way.accumulated_error))


def divide(head: DividingHead, teeth: int, gears: Sequence[int] = ()) -> tuple[Indexing, ...]:
    """The ways to divide, the ones to prefer first.

    Plain where it can be, on every circle. Else exact compound and differential moves; else
    the nearest compound move and the nearest plain setting ("none") with their errors, the
    smaller first. A ratio of 1 is a plate on the spindle itself, without a worm: there only
    its own holes count.
    """
    found = plain(head, teeth)
    if found:
        return found
    if head.ratio == 1:
        return (nearest(head, teeth),)
    exact = (*compound(head, teeth), *differential(head, teeth, gears))
    if exact:
        return exact
    ways = (near_compound(head, teeth), nearest(head, teeth))
    return tuple(sorted(filter(None, ways), key=lambda way: way.largest_spacing_error))
