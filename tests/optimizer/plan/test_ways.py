"""The ways of a what-if table, told by numbers; what is named in it, and what is told meanwhile."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from stopping import StopsAt, asked
from worked_bench import BENCH, MAKING, OFFERS, WANTS, teeth

from gearchest.catalogs.making import making_tables
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.pitch import Pitch, mm
from gearchest.optimizer.domain.want import Allowance, Want
from gearchest.optimizer.plan import near_ways, whatif
from gearchest.optimizer.plan.near_ways import NearWays, _Source, _unbeaten
from gearchest.optimizer.plan.nearby import Copies, NamedSet
from gearchest.optimizer.plan.planner import Question, make_plan
from gearchest.optimizer.plan.result import Plan, Sparing
from gearchest.optimizer.plan.watch import Watch
from gearchest.optimizer.plan.ways import Ways, are_exact
from gearchest.optimizer.plan.whatif import (
    AROUND_A_SET,
    AROUND_A_STEP,
    WhatIf,
    extra_gears,
    named_sets,
    what_if,
)
from gearchest.optimizer.search.asking import SearchStoppedError
from gearchest.optimizer.search.costs import to_set_up
from gearchest.optimizer.search.trains import TrainSearch


def table(**how: Any) -> WhatIf:
    extra = [MAKING.gear(z) for z in (80, 30, 80)]
    named = [(Counter({MAKING.gear(80): 1}), 2), (Counter[Any](), 0)]
    return what_if(BENCH, WANTS, extra, named, **how)


def test_what_can_be_ticked_and_what_is_named() -> None:
    """Gears in their order, with how many are owned and how many there can be; sets with those
    owned."""
    made = table()
    assert [(one.gear.teeth, one.owned, one.most) for one in made.tickable] == [
        (20, 1, 1), (30, 0, 1), (40, 1, 1), (50, 1, 1), (80, 0, 2),
    ]  # fmt: skip
    assert made.wants == tuple(WANTS)
    assert (made.complete, made.held) == (True, ())
    assert made.named == (NamedSet((1, 0, 1, 1, 1), 2), NamedSet((1, 0, 1, 1, 0), 0))


def test_a_table_cut_short_is_certain_around_what_is_named() -> None:
    made = replace(table(), complete=False)
    owned = Counter(dict(BENCH.chest.loose))
    eighty, thirty = MAKING.gear(80), MAKING.gear(30)
    assert made.certain(owned)
    assert made.certain(owned + Counter([eighty, thirty, eighty]))  # two from the first set
    assert not made.certain(Counter([eighty]))  # three from it
    assert not replace(made, named=made.named[1:]).certain(owned + Counter([thirty]))
    assert table().certain(Counter())


def test_the_way_to_set_up_with_some_gears() -> None:
    """1 mm is 20/40, 30 and 80 serve 0.75; 0.79 mm is come near to with 20 and 50, nearer with
    more, which is taken once it is there; 0.7 nobody cuts."""
    made = table()
    owned = Counter(dict(BENCH.chest.loose))
    more = owned + Counter([MAKING.gear(30), MAKING.gear(80)])

    def told(want: int, ticked: Counter[Any]) -> tuple[Any, tuple[int, ...] | None]:
        verdict, way = made.best(want, ticked)
        return verdict, way and teeth(way.train.gears)

    assert told(0, owned) == ("exact", (20, 40))
    assert told(4, owned) == (None, None)
    assert told(4, more) == ("exact", (30, 80))
    assert told(5, more) == (None, None)
    assert told(6, owned) == ("in tolerance", (20, 50))
    assert told(0, Counter()) == (None, None)


def test_some_trains_hold_every_gear_of_all_and_each_brings_one() -> None:
    made = table()
    every = {gear for ways in made.ways for way in ways for gear in way.train.gears}
    seen: set[Any] = set()
    for train in made.some_trains:
        assert not set(train.gears) <= seen
        seen |= set(train.gears)
    assert seen == every


def test_ways_are_a_sequence() -> None:
    """Within a fifth of 0.75 mm there are three."""
    wide = Want("wide", mm("0.75"), Allowance(Fraction(1, 5)))
    (ways,) = what_if(BENCH, [wide], [MAKING.gear(z) for z in (80, 30, 80)]).ways
    every = list(ways)
    assert len(every) == len(ways) >= 3
    assert ways[-1] == every[-1] == ways[len(ways) - 1]
    assert ways[-len(ways)] == every[0]
    assert list(ways[1:3]) == every[1:3]
    assert list(ways[::-1]) == every[::-1]
    for beyond in (len(ways), -len(ways) - 1):
        with pytest.raises(IndexError):
            ways[beyond]
    for way in every:
        assert Counter(way.needs) == Counter(way.train.gears)  # all of them can be unticked
        assert way.exact == (2 * way.train.ratio == Fraction(3, 4))
    assert {way.exact for way in every} == {True, False}


def test_ways_without_error_are_told_once() -> None:
    """What was there keeps its place."""
    exact, rough = table().ways[0], table().ways[6]
    assert all(way.exact for way in exact)
    assert not any(way.exact for way in rough)
    both = rough.with_exact(exact)
    assert list(both) == [*rough, *exact]
    assert list(both.with_exact(exact)) == list(both)
    doubled = exact[:1].with_exact(exact)
    assert list(doubled) == list(exact)


def test_no_error_at_all_is_no_error_in_whole_numbers() -> None:
    """A pitch off by less than any float tells, and pi, which no gears make."""
    ways = table().ways[0]
    want = WANTS[0]
    assert are_exact(BENCH, want, ways.hung).all()
    nearly = replace(want, pitch=Pitch(Fraction(1) + Fraction(1, 10**30)))
    assert not are_exact(BENCH, nearly, ways.hung).any()
    for lathe, pitch in (
        (BENCH, Pitch(Fraction(1), pi=True)),
        (replace(BENCH, leadscrew=Pitch(Fraction(2), pi=True)), mm(1)),
    ):
        assert not are_exact(lathe, replace(want, pitch=pitch), ways.hung).any()
    worm = replace(BENCH, leadscrew=Pitch(Fraction(2), pi=True))
    assert are_exact(worm, replace(want, pitch=Pitch(Fraction(1), pi=True)), ways.hung).all()
    for large in (Fraction(1, 2 + 2**62) * 2, Fraction(1 + 2**61)):  # 64 bits would be too few
        assert not are_exact(BENCH, replace(want, pitch=Pitch(large)), ways.hung).any()
    starts = replace(want, pitch=replace(mm("0.5"), starts=2))
    assert are_exact(BENCH, starts, ways.hung).all()


def test_pitches_done_are_told_over_all_goes(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two threads a go; 1 mm stands in two of them, and counts but once in the end."""
    monkeypatch.setattr(whatif, "AT_ONCE", 2)
    wants = [
        Want(str(n), mm(pitch), Allowance(Fraction(0)), left=left)
        for n, (pitch, left) in enumerate(
            [("1", False), ("0.6", False), ("1", False), ("1", True), ("0.8", False)]
        )
    ]
    said: list[tuple[int, int]] = []
    made = what_if(BENCH, wants, [], workers=1, progress=lambda *done: said.append(done))
    assert said == [(1, 4), (2, 4), (3, 4), (4, 4), (4, 4)]
    assert [len(ways) > 0 for ways in made.ways] == [True, False, True, True, True]
    whole = table(workers=1)
    monkeypatch.undo()
    assert [list(ways) for ways in whole.ways] == [list(ways) for ways in table().ways]


def test_pitches_done_are_told_of_a_shortened_table() -> None:
    said: list[tuple[int, int]] = []
    made = table(most_ways=0, workers=1, progress=lambda *done: said.append(done))
    assert not made.complete
    assert said == [(n, len(WANTS)) for n in range(1, len(WANTS) + 1)]


@pytest.mark.parametrize("at", [1, 4, 9])
def test_a_shortened_table_ends_with_the_search_that_is_stopped(at: int) -> None:
    watch = StopsAt(at)
    with pytest.raises(SearchStoppedError):
        table(most_ways=0, workers=1, ask=asked(watch))
    assert watch.looks <= at + len(WANTS)


def plan() -> Plan:
    return make_plan([BENCH], WANTS, OFFERS, Question(most=3), Watch(), making_tables())


def test_the_sets_a_plan_names_and_how_far_around_them_answers_are_right() -> None:
    """Each step's; those that do as well as the last; of alternatives those of the steps up to
    enough, and none that somebody would be ill advised to buy; last what would spare teeth."""
    made = plan()
    due = [
        ((), 2), ((30,), 2), ((30, 80), 2), ((30, 48, 80), 2),
        ((48, 80, 80), 1), ((30, 80, 80), 1), ((30, 60, 80), 1),
        ((48, 80), 0),
    ]  # fmt: skip
    assert (AROUND_A_STEP, AROUND_A_SET) == (2, 1)
    sets = [(Counter(map(MAKING.gear, some)), around) for some, around in due]
    assert named_sets(made) == sets
    assert teeth(extra_gears(made)) == (30, 48, 60, 80, 80)
    spared = (MAKING.gear(73),) * 3
    sparing = replace(made, sparing=Sparing(spared, Fraction(1), ()))
    assert named_sets(sparing) == [*sets, (Counter(spared), 1)]
    assert teeth(extra_gears(sparing)) == (30, 48, 60, 73, 73, 73, 80, 80)


def test_no_more_than_six_alternatives_to_a_step_are_named() -> None:
    made = plan()
    step = made.steps[2]
    many = replace(step, alternatives=step.alternatives * 9)
    steps = (*made.steps[:2], many, *made.steps[3:])
    assert len(named_sets(replace(made, steps=steps))) == len(named_sets(made)) + 5


KINDS = st.lists(st.integers(1, 4), min_size=1, max_size=40).map(tuple)


@settings(max_examples=40, deadline=None)
@given(KINDS | st.just((4,) * 40), st.data())
def test_rows_of_kinds_as_words_of_bits(most: tuple[int, ...], data: st.DataObject) -> None:
    """More copies than a word has bits among them."""
    copies = Copies(most)
    rows = []
    for _ in range(data.draw(st.integers(0, 4))):
        some = data.draw(st.lists(st.sampled_from(range(len(most))), max_size=4))
        held = sorted(kind for kind in set(some) for _ in range(min(some.count(kind), most[kind])))
        rows.append([*held, *[-1] * (4 - len(held))])
    words = copies.words(np.array(rows, dtype=np.int16).reshape(len(rows), 4))
    assert words.shape == (max(1, -(-sum(most) // 64)), len(rows))
    for at, row in enumerate(rows):
        bits = sum(int(word) << 64 * n for n, word in enumerate(words[:, at]))
        assert bits == copies.of(kind for kind in row if kind >= 0)


def test_the_last_copy_of_very_many_stands_in_the_last_word() -> None:
    copies = Copies((4,) * 40)
    words = copies.words(np.array([[0, 39, 39, 39], [15, 16, -1, -1]], dtype=np.int16))
    assert words.tolist() == [[1, 1 << 60], [0, 1], [7 << 28, 0]]


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.integers(0, 2**130 - 1).map(lambda n: n & (n >> 1) & (n >> 2)), max_size=9),
    st.integers(0, 2**130 - 1), st.integers(1, 4),
)  # fmt: skip
def test_the_first_train_that_a_set_has_the_gears_for(
    needs: list[int], held: int, first: int
) -> None:
    words = np.array(
        [[one >> 64 * word & 2**64 - 1 for one in needs] for word in range(3)], dtype=np.uint64
    ).reshape(3, len(needs))
    source = _Source(0, None, words, True)  # type: ignore[arg-type]
    assert [source.needs(row) for row in range(len(needs))] == needs
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(near_ways, "FIRST", first)
        assert source.first(held) == next(
            (row for row, one in enumerate(needs) if not one & ~held), None
        )


@given(st.lists(st.integers(0, 63), max_size=12), st.integers(-1, 6))
def test_ways_that_none_before_them_beats(needs: list[int], most: int) -> None:
    """One beats another that needs all of its gears, or the same."""
    due = [
        at for at, one in enumerate(needs) if all(before & one != before for before in needs[:at])
    ]
    assert _unbeaten(needs, most) == due[: max(0, most)]


def near(lathe: Lathe, *tickable: tuple[int, int]) -> NearWays:
    most = [(MAKING.gear(z), count) for z, count in tickable]
    bare = replace(lathe, chest=replace(lathe.chest, loose=()))
    return NearWays(bare, most, [], to_set_up(("demerits",)), 5)


def test_how_many_combinations_there_are_is_guessed_from_the_widest_of_each_pitch(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    guessed = []

    def about(self: TrainSearch, width: Fraction, stages: int) -> float:
        guessed.append((width, stages))
        return 2.0**stages

    monkeypatch.setattr(TrainSearch, "about", about)
    allowed = [
        ("1", 50, False),
        ("1", 20, False),
        ("1", 100, False),
        ("1", 10, True),
        ("2", 40, False),
    ]
    wants = [Want(p, mm(p), Allowance(Fraction(1, of)), left=left) for p, of, left in allowed]
    assert near(BENCH, (20, 1), (40, 2)).about(wants) == 2 + 4
    width = Fraction(1, 20) + Fraction(1, 10) + Fraction(1, 40)
    assert sorted(guessed) == [(width, 1), (width, 2)]


def test_a_chest_of_some_of_the_gears() -> None:
    """Of two kinds one copy and two: the search with those alone."""
    made = near(BENCH, (20, 1), (40, 3), (60, 2))
    owned = made.chest(made.copies.bits((1, 2, 0))).stock
    assert dict(zip(teeth(owned.gears), owned.owned.tolist(), strict=True)) == {
        20: 1, 40: 2, 60: 0,
    }  # fmt: skip
    whole = made.search.stock
    assert dict(zip(teeth(whole.gears), whole.owned.tolist(), strict=True)) == {
        20: 1, 40: 3, 60: 2,
    }  # fmt: skip
    assert isinstance(table().ways[0], Ways)
