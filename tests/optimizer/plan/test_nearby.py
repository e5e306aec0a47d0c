"""Sets of gears near named ones, told as bits, against sets told as counts."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st

from gearchest.optimizer.plan.nearby import Copies, NamedSet, look_around

Counts = tuple[int, ...]

MOST = st.lists(st.integers(0, 3), min_size=1, max_size=4).map(tuple)


def within(most: Counts) -> list[Counts]:
    """Every set there may be."""
    return list(product(*(range(count + 1) for count in most)))


def apart(one: Counts, other: Counts) -> int:
    """Gears to add and gears to take away."""
    a, b = (Counter(dict(enumerate(counts))) for counts in (one, other))
    return ((a - b) + (b - a)).total()


def counted(copies: Copies, bits: int) -> Counts:
    """Copies are taken in their order: one set has one number."""
    counts = tuple(copies.of_kind(bits, kind).bit_count() for kind in range(len(copies.most)))
    assert copies.bits(counts) == bits
    return counts


@settings(max_examples=30, deadline=None)
@given(MOST)
def test_bits_and_counts_say_the_same(most: Counts) -> None:
    copies = Copies(most)
    every = within(most)
    assert sorted(map(copies.bits, every)) == sorted({copies.bits(one) for one in every})
    for counts in every:
        bits = copies.bits(counts)
        assert counted(copies, bits) == counts
        assert bits.bit_count() == sum(counts)
        listed = [kind for kind, count in enumerate(counts) for _ in range(count)]
        assert copies.of(listed) == bits
        assert copies.of(reversed(listed)) == bits
        assert copies.kinds(bits) == sorted(set(listed))
        for kind in set(listed):
            less = list(counts)
            less[kind] -= 1
            assert copies.less(bits, kind) == copies.bits(less)
        for other in every:
            has = all(a >= b for a, b in zip(counts, other, strict=True))
            assert (not copies.bits(other) & ~bits) == has


@settings(max_examples=40, deadline=None)
@given(MOST, st.data())
def test_gears_are_added_as_far_as_named_sets_reach(most: Counts, data: st.DataObject) -> None:
    copies = Copies(most)
    named = [
        NamedSet(data.draw(st.sampled_from(within(most))), data.draw(st.integers(0, 3)))
        for _ in range(data.draw(st.integers(0, 3)))
    ]
    due: dict[Counts, int] = {}
    for name in named:
        for counts in within(most):
            more = all(a >= b for a, b in zip(counts, name.counts, strict=True))
            if more and (steps := apart(counts, name.counts)) <= name.radius:
                due[counts] = max(due.get(counts, 0), name.radius - steps)
    found = copies.around(named)
    assert {counted(copies, bits): left for bits, left in found.items()} == due


@given(MOST, st.data())
def test_a_set_is_near_within_the_radius(most: Counts, data: st.DataObject) -> None:
    one, other = (data.draw(st.sampled_from(within(most))) for _ in range(2))
    for radius in range(6):
        assert NamedSet(one, radius).near(other) == (apart(one, other) <= radius)


def choosing(copies: Copies, ways: list[int]) -> Callable[[int], int | None]:
    """The first way whose gears a set has."""
    return lambda bits: next((way for way in ways if not way & ~bits), None)


@settings(max_examples=40, deadline=None)
@given(MOST, st.data())
def test_every_choice_near_is_seen_though_not_every_set_is_looked_at(
    most: Counts, data: st.DataObject
) -> None:
    """What any set chooses that is near a named one, by asking all of them."""
    copies = Copies(most)
    every = within(most)
    ways = [copies.bits(data.draw(st.sampled_from(every))) for _ in range(6)]
    chosen = choosing(copies, ways)
    named = NamedSet(data.draw(st.sampled_from(every)), data.draw(st.integers(0, 3)))
    asked: list[int] = []

    def ask(bits: int) -> int | None:
        asked.append(bits)
        return chosen(bits)

    look_around(copies.around([named]), copies, ask)
    near = [one for one in every if named.near(one)]
    assert {chosen(copies.bits(one)) for one in near} - {None} == {
        chosen(bits) for bits in asked
    } - {None}
    assert {counted(copies, bits) for bits in asked} <= set(near)


def test_no_set_is_asked_again_for_no_more_than_before() -> None:
    """Three gears that are all needed: the set, three of two gears, three of one."""
    copies = Copies((1, 1, 1))
    asked: list[int] = []

    def ask(bits: int) -> int | None:
        asked.append(bits)
        return bits

    look_around({0b111: 2}, copies, ask)
    assert sorted(asked) == [0b001, 0b010, 0b011, 0b100, 0b101, 0b110, 0b111]
    asked.clear()
    look_around({0b111: 0}, copies, ask)
    assert asked == [0b111]
    asked.clear()
    look_around({0b011: 0, 0b111: 1}, copies, ask)  # again, were there more to take away
    assert sorted(asked) == [0b011, 0b101, 0b110, 0b111]
