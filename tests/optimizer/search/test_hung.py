"""Trains told by numbers are the trains they were told of."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import numpy as np
from report_samples import mini_lathe

from gearchest.optimizer.domain.gear import Chest
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.domain.want import Allowance, Want
from gearchest.optimizer.search.hung import HungTrains
from gearchest.optimizer.search.search import find_options


def hung(lathe: Lathe, *teeth: int) -> HungTrains:
    want = Want("a thread", mm("0.7"), Allowance(Fraction(1, 50)))
    offered = [(lathe.making.gear(z), None) for z in teeth]
    bare = replace(lathe, chest=Chest(()))
    found = find_options(bare, [want], [*lathe.chest.loose, *offered], 4).wants[0].hung
    assert found is not None
    assert len(found) > 20
    return found


def test_ratios_are_those_of_the_trains() -> None:
    some = hung(mini_lathe(), 63, 127)
    trains = [some.train(row) for row in range(len(some))]
    assert len({train.layout for train in trains}) > 1
    assert some.ratios.tolist() == [float(train.ratio) for train in trains]


def test_rows_of_searches_over_other_gears_stand_one_under_the_other() -> None:
    one, other = hung(mini_lathe(), 63, 127), hung(mini_lathe(), 21, 37, 64)
    both = one.stack(other)
    every = [some.train(row) for some in (one, other) for row in range(len(some))]
    assert [both.train(row) for row in range(len(both))] == every
    apart = {tuple(row) for row in both.told_apart.tolist()}
    assert len(apart) == len(set(every))


def test_few_rows_bring_every_gear() -> None:
    some = hung(mini_lathe(), 63, 127)
    every = {gear for row in range(len(some)) for gear in some.train(row).gears}
    first = next(iter(every))
    seen = {first}
    rows = some.bringing(seen)
    assert seen == every == {first}.union(*(some.train(row).gears for row in rows))
    assert rows == sorted(rows)
    assert len(rows) < len(every)
    assert some.bringing(seen) == []
    assert some.take(np.array([], dtype=np.int64)).bringing(set()) == []


def test_ratios_have_lever_and_gearbox_in_them() -> None:
    """Neither one of which is 1: a lever of 1/2 and 3/4, a box of 2/3 and 5/7."""
    lathe = replace(
        mini_lathe(),
        first_driver_turns=(Fraction(1, 2), Fraction(3, 4)),
        gearbox=(("A", Fraction(2, 3)), ("B", Fraction(5, 7))),
    )
    some = hung(lathe, 63, 127)
    trains = [some.train(row) for row in range(len(some))]
    assert len({train.setting for train in trains}) > 1
    for train, ratio in zip(trains, some.ratios.tolist(), strict=True):
        by_hand = train.setting.first_driver_turns * train.setting.gearbox_ratio
        for driver, driven in zip(train.drivers, train.driven, strict=True):
            by_hand *= Fraction(driver.teeth, driven.teeth)
        assert ratio == float(by_hand)
