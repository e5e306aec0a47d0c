"""What-if answers: what an exhaustive search finds with just the gears ticked."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction

import oracle
import pytest
from drawn import MAKING, lathes, loose, wants
from hypothesis import HealthCheck, assume, given, reject, settings
from hypothesis import strategies as st

from gearchest.optimizer.domain.gear import Chest, PinnedPair
from gearchest.optimizer.domain.lathe import Banjo, Lathe, Slot
from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.domain.want import Allowance, Want
from gearchest.optimizer.plan import near_ways, whatif
from gearchest.optimizer.plan.whatif import what_if
from gearchest.optimizer.search.result import Verdict

ALLOWED = st.sampled_from([Fraction(0), Fraction(1, 100), Fraction(4, 100)])


def searched(lathe: Lathe, want: Want) -> tuple[Verdict | None, object]:
    """The verdict and what the train to set up comes to by the rule's own words, by trying every
    train of the chest in turn."""
    ranked = []
    for train in oracle.trains(lathe, left=want.left):
        error = abs(oracle.error(lathe, train, want.pitch))
        if error > want.allowance.relative:
            continue
        fits = oracle.place(lathe, train).fits
        assume(fits is not None)
        if fits:
            ranked.append((chosen_by(lathe, want, train), error == 0))
    if not ranked:
        return None, None
    best, exact = min(ranked)
    return Verdict.EXACT if exact else Verdict.IN_TOLERANCE, best


def chosen_by(lathe: Lathe, want: Want, train: Train) -> tuple[object, ...]:
    try:
        return oracle.choice(lathe, want, train)
    except ValueError:
        reject()


@settings(
    max_examples=40,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(lathes(most_gears=5), st.data())
def test_answers_equal_exhaustive_search(lathe: Lathe, data: st.DataObject) -> None:
    """Any lathe, pinned pairs and fixed first drivers included; any set of tickable gears."""
    extra = [MAKING.gear(z) for z in data.draw(st.lists(st.integers(20, 60), max_size=2))]
    want = data.draw(wants(lathe, ALLOWED, Counter(extra).items()))
    table = what_if(lathe, [want], extra)
    ticked = Counter({k.gear: data.draw(st.integers(0, k.most)) for k in table.tickable})
    chest = Chest(tuple((g, n) for g, n in (Counter(dict(table.held)) + ticked).items()),
                  lathe.chest.pinned)  # fmt: skip
    verdict, way = table.best(0, ticked)
    found, least = searched(replace(lathe, chest=chest), want)
    assert verdict == found
    assert (chosen_by(lathe, want, way.train) if way else None) == least


def exactly(pitch: int) -> Want:
    return Want("a thread", mm(pitch), Allowance(Fraction(0)))


def test_a_broken_gear_takes_its_trains_along() -> None:
    """20/40 on a 2 mm screw cuts 1 mm; without the 40 nothing does."""
    lathe = Lathe("bench", mm(2), MAKING, Chest(loose(20, 40)))
    table = what_if(lathe, [exactly(1)], [])
    twenty, forty = (kind.gear for kind in table.tickable)
    assert table.best(0, Counter({twenty: 1, forty: 1}))[0] is Verdict.EXACT
    assert table.best(0, Counter({twenty: 1})) == (None, None)


def test_a_second_copy_is_ticked_for_itself() -> None:
    """20/40 x 20/40 cuts 0.5 mm and needs two of both."""
    lathe = Lathe("bench", mm(2), MAKING, Chest(loose(20, 20, 40)))
    half = Want("a thread", mm("0.5"), Allowance(Fraction(0)))
    table = what_if(lathe, [half], [MAKING.gear(40)])
    twenty, forty = table.tickable
    assert (twenty.owned, twenty.most, forty.owned, forty.most) == (2, 2, 1, 2)
    unruled = [way for way in table.ways[0] if Counter(way.needs)[forty.gear] == 2]
    assert len(unruled) == len(table.ways[0])


def test_what_stays_on_the_lathe_cannot_be_unticked() -> None:
    pair = PinnedPair(replace(MAKING.gear(30), unit="pair"), replace(MAKING.gear(60), unit="pair"))
    fixed = MAKING.gear(40)
    lathe = Lathe("bench", mm(2), MAKING, Chest(loose(20, 40), (pair,)), fixed_first_driver=fixed)
    table = what_if(lathe, [exactly(1)], [])
    assert [kind.gear.teeth for kind in table.tickable] == [20]
    assert table.held == ((fixed, 1),)


SIX = (20, 40, 21, 42, 22, 44)
"""Three pairs of 1 to 2: an eighth of the leadscrew's 2 mm, and nothing less will do."""


def six_geared(tmp: tuple[int, ...] = SIX) -> tuple[Lathe, Want]:
    lathe = Lathe("bench", mm(2), MAKING, Chest(loose(*tmp)), unmeasured_studs=2)
    return lathe, Want("a thread", mm("0.25"), Allowance(Fraction(0)))


def test_two_studs_are_complete_where_the_page_can_carry_it() -> None:
    lathe, eighth = six_geared()
    table = what_if(lathe, [eighth], [])
    assert table.complete
    assert table.best(0, Counter(dict(lathe.chest.loose)))[0] is Verdict.EXACT


@pytest.mark.parametrize("hopeless", [-1, 10**9], ids=["seen before", "seen when found"])
def test_what_a_page_cannot_carry_is_shortened(
    hopeless: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Of 20/40 x 21/42 x 22/44 and 23/46 an eighth takes three pairs: every three of four do, and
    any driver on any driven gear. There is room for two ways of each thread."""
    lathe, eighth = six_geared((*SIX, 23, 46))
    quarter = replace(eighth, name="another", pitch=mm("0.5"))
    whole = what_if(lathe, [eighth, quarter], [])
    monkeypatch.setattr(whatif, "HOPELESS", hopeless)
    monkeypatch.setattr(whatif, "AT_ONCE", 1)
    count = sum(map(len, whole.ways))
    assert what_if(lathe, [eighth, quarter], [], most_ways=count).complete == (hopeless > 0)
    few = what_if(lathe, [eighth, quarter], [], most_ways=4)
    assert not few.complete
    assert [list(ways) for ways in few.ways] == [list(ways[:2]) for ways in whole.ways]


def test_a_shortened_table_is_right_around_the_sets_that_are_named() -> None:
    """Shortened to nothing it still knows the train for a named set, and for one gear more;
    with a gear less there is none to know; farther off it claims nothing."""
    lathe, eighth = six_geared((*SIX, 23, 46))
    every = Counter(dict(lathe.chest.loose))
    few = what_if(lathe, [eighth], [], [(Counter(), 1)], most_ways=0)
    assert not few.complete
    assert few.best(0, every)[0] is Verdict.EXACT
    for gear in every:
        less = every - Counter([gear])
        assert few.certain(less)
        chest = Chest(tuple(less.items()))
        whole = what_if(replace(lathe, chest=chest), [eighth], [])
        found = few.best(0, less)
        assert found[0] == whole.best(0, less)[0]
        if found[1] is not None:
            best = whole.best(0, less)[1]
            assert best is not None
            assert found[1].train.tooth_load == best.train.tooth_load
    assert not few.certain(every - Counter([*list(every)[:2]]))
    nothing = what_if(lathe, [eighth], [], most_ways=0)
    assert nothing.best(0, every)[0] is None
    assert not nothing.certain(every)


@settings(
    max_examples=25,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(lathes(most_gears=5), st.data())
def test_a_shortened_table_never_says_too_much_and_is_right_when_certain(
    lathe: Lathe, data: st.DataObject
) -> None:
    """Against the whole table, on any set of tickable gears; of each set one train is made at a
    time, or many."""
    extra = [MAKING.gear(z) for z in data.draw(st.lists(st.integers(20, 60), max_size=2))]
    want = data.draw(wants(lathe, ALLOWED, Counter(extra).items()))
    added = Counter(extra[: data.draw(st.integers(0, 2))])
    whole = what_if(lathe, [want], extra)
    around = data.draw(st.integers(0, 2))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(near_ways, "FIRST", data.draw(st.sampled_from([1, near_ways.FIRST])))
        patch.setattr(near_ways, "FIRST_OF_A_SET", data.draw(st.integers(1, 3)))
        few = what_if(lathe, [want], extra, [(added, around)], most_ways=0)
    ticked = Counter({k.gear: data.draw(st.integers(0, k.most)) for k in whole.tickable})
    verdict, way = few.best(0, ticked)
    truth, best = whole.best(0, ticked)
    if few.certain(ticked):
        assert verdict == truth
        assert (way is None) == (best is None)
        if way and best:
            assert float(way.train.tooth_load) == pytest.approx(
                float(best.train.tooth_load), abs=1e-3
            )
    elif way is not None:
        assert best is not None
        assert whole.ways[0].index(best) <= whole.ways[0].index(way)


def test_a_gear_that_runs_nowhere_takes_no_room_in_a_shortened_table() -> None:
    """20/40 x 21/42 stays, for the gears owned choose it; the 120 beside it overtops the cover, for
    which no train has it."""
    room = Banjo(60.0, (Slot(10.0, 90.0),), largest_tip_diameter=100.0)
    lathe = Lathe("bench", mm(2), MAKING, Chest(loose(20, 21, 40, 42, 120)), banjo=room)
    half = Want("a thread", mm("0.5"), Allowance(Fraction(0)))
    table = what_if(lathe, [half], [], [(Counter(), 0)], most_ways=0)
    assert not table.complete
    assert [kind.gear.teeth for kind in table.tickable] == [20, 21, 40, 42, 120]
    every = Counter(dict(lathe.chest.loose))
    assert table.best(0, every)[0] is Verdict.EXACT
    for kind in table.tickable:
        without = table.best(0, every - Counter([kind.gear]))[0]
        assert without is (Verdict.EXACT if kind.gear.teeth == 120 else None)


def test_pinned_pairs_serve_whatever_is_ticked() -> None:
    """20/60 x 30/50 cuts 0.4 mm through the pair, 60 and 30; it breaks with the 50."""
    pair = PinnedPair(replace(MAKING.gear(30), unit="pair"), replace(MAKING.gear(60), unit="pair"))
    lathe = Lathe("bench", mm(2), MAKING, Chest(loose(20, 50), (pair,)))
    table = what_if(lathe, [Want("a thread", mm("0.4"), Allowance(Fraction(0)))], [])
    twenty, fifty = (kind.gear for kind in table.tickable)
    assert table.best(0, Counter({twenty: 1, fifty: 1}))[0] is Verdict.EXACT
    assert table.best(0, Counter({twenty: 1}))[0] is None
