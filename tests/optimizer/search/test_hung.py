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
