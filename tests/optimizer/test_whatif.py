"""What-if answers: what an exhaustive search finds with just the gears ticked."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction

import oracle
import pytest
from drawn import MAKING, lathes, loose, wants
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from gearchest.optimizer.gear import Chest, Gear, PinnedPair
from gearchest.optimizer.lathe import Lathe
from gearchest.optimizer.pitch import mm
from gearchest.optimizer.result import Verdict
from gearchest.optimizer.train import Train
from gearchest.optimizer.want import Allowance, Want
from gearchest.optimizer.whatif import MOST_GEARS, what_if

ALLOWED = st.sampled_from([Fraction(0), Fraction(1, 100), Fraction(4, 100)])


def searched(lathe: Lathe, want: Want) -> tuple[Verdict | None, float | None]:
    """The verdict and the least tooth load, by trying every train of the chest in turn."""
    loads, exact = [], False
    loose_gears = Counter(dict(lathe.chest.loose))
    for train in oracle.trains(lathe, left=want.left):
        if loose_needed(train, loose_gears) > MOST_GEARS:
            continue
        error = abs(oracle.error(lathe, train, want.pitch))
        if error > want.allowance.relative:
            continue
        fits = oracle.place(lathe, train).fits
        assume(fits is not None)
        if fits:
            loads.append(float(oracle.tooth_load(train)))
            exact |= error == 0
    if not loads:
        return None, None
    return Verdict.EXACT if exact else Verdict.IN_TOLERANCE, min(loads)


def loose_needed(train: Train, loose_gears: Counter[Gear]) -> int:
    return sum((Counter(train.gears) & loose_gears).values())


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
    load = float(oracle.tooth_load(way.train)) if way else None
    found, least = searched(replace(lathe, chest=chest), want)
    assert verdict == found
    assert load == (least if least is None else pytest.approx(least, abs=1e-3))


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


def test_a_train_known_from_the_plan_is_in_the_table_whatever_its_size() -> None:
    """Six gears on two studs: more than are looked for."""
    gears = (20, 40, 21, 42, 22, 44)
    lathe = Lathe("bench", mm(2), MAKING, Chest(loose(*gears)), unmeasured_studs=2)
    eighth = Want("a thread", mm("0.25"), Allowance(Fraction(0)))
    six = next(t for t in oracle.trains(lathe) if len(t.gears) == 6 and t.ratio == Fraction(1, 8))
    every = Counter(dict(lathe.chest.loose))
    assert not what_if(lathe, [eighth], []).complete
    assert what_if(lathe, [eighth], []).best(0, every)[0] is None
    assert what_if(lathe, [eighth], [], [[six]]).best(0, every)[0] is Verdict.EXACT


def test_pinned_pairs_serve_whatever_is_ticked() -> None:
    """20/60 x 30/50 cuts 0.4 mm through the pair, 60 and 30; it breaks with the 50."""
    pair = PinnedPair(replace(MAKING.gear(30), unit="pair"), replace(MAKING.gear(60), unit="pair"))
    lathe = Lathe("bench", mm(2), MAKING, Chest(loose(20, 50), (pair,)))
    table = what_if(lathe, [Want("a thread", mm("0.4"), Allowance(Fraction(0)))], [])
    twenty, fifty = (kind.gear for kind in table.tickable)
    assert table.best(0, Counter({twenty: 1, fifty: 1}))[0] is Verdict.EXACT
    assert table.best(0, Counter({twenty: 1}))[0] is None
