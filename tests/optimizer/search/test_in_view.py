"""Options over all gears in view: what is left of them for any gears owned and to be had."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import product

import numpy as np
import pytest
from drawn import MAKING, STRENGTH, loose

from gearchest.optimizer.domain.gear import Chest, Gear
from gearchest.optimizer.domain.lathe import Banjo, Lathe, Policy, Slot
from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.domain.want import Allowance, Want
from gearchest.optimizer.search import in_view
from gearchest.optimizer.search.asking import go_on
from gearchest.optimizer.search.costs import PLANNED, to_set_up
from gearchest.optimizer.search.in_view import AT_ONCE, InView, in_view_of, without_error
from gearchest.optimizer.search.options import OptionTable, WantOptions
from gearchest.optimizer.search.search import find_options, search_key

LATHE = Lathe(
    "bench", mm(2), MAKING, Chest(loose(20, 30, 45, 60)), banjo=Banjo(56.0, (Slot(5.0, 90.0),)),
    policy=Policy(screw_torque=3.0), strength=STRENGTH,
)  # fmt: skip
GEARS = tuple(MAKING.gear(z) for z in (20, 30, 36, 45, 50, 60))
WANTS = [
    Want("exact", mm(3), Allowance(Fraction(1, 50))),
    Want("near", mm("2.3"), Allowance(Fraction(1, 40))),
    Want("the same nearer", mm("2.3"), Allowance(Fraction(1, 100))),
    Want("the same once more", mm("2.3"), Allowance(Fraction(1, 40))),
    Want("never", mm(90), Allowance(Fraction(1, 50))),
    Want("one to one", mm(2), Allowance(Fraction(1, 200))),
]


OFFERS = [((30, 36, 50), 4), ((20, 45), 2), ((60, 20, 36), 1), ((), 2), ((36,), 0)]
"""Gears on offer, and how many may lack."""


def told(table: OptionTable) -> list[list[tuple[object, ...]]]:
    return [
        [
            (*(table.candidates[c] for c in lacks if c >= 0), costs, options.train(row))
            for row, (lacks, *costs) in enumerate(
                zip(options.missing.tolist(), options.costs.tolist(), strict=True)
            )
        ]
        for options in table.wants
    ]


def chests() -> list[tuple[int, ...]]:
    """The smallest gear owned and not, one twice and four times, none at all."""
    return [(), (20,), (45, 45, 45, 45), (20, 30, 45, 60), (20, 20, 36, 45), (30, 36, 45, 50, 60)]


@pytest.mark.parametrize("order", [to_set_up(), ("tooth load",), PLANNED])
def test_what_is_left_is_what_a_search_finds(order: tuple[str, ...]) -> None:
    view = InView(replace(LATHE, chest=Chest(())), GEARS, order)
    view.look(WANTS, go_on, find_options, 1)
    for teeth, copies in product(chests(), (None, 1)):
        lathe = replace(LATHE, chest=Chest(loose(*teeth)))
        owned = Counter(dict(lathe.chest.loose))
        for offered, most in OFFERS:
            candidates = [(MAKING.gear(z), copies) for z in offered]
            found = view.table(owned, WANTS, candidates, most)
            afresh = find_options(lathe, WANTS, candidates, most, order=order)
            assert (found.candidates, found.most_missing) == (afresh.candidates, most)
            assert all(one.missing.shape[1] <= most for one in found.wants)
            mine, due = told(found), told(afresh)
            for one in found.wants:
                assert one.hung is not None
                hung = [one.hung.train(row) for row in range(len(one.hung))]
                assert hung == [one.train(row) for row in range(len(one))]
            if order != to_set_up():  # which of the trains that cost the same is either's choice
                count = [0, 2] if order == PLANNED else [1]
                mine, due = (
                    [[(*row[:-2], [row[-2][0][k] for k in count]) for row in want] for want in some]  # type: ignore[index]
                    for some in (mine, due)
                )
                assert [sorted(map(str, want)) for want in mine] == [
                    sorted(map(str, want)) for want in due
                ]
            else:
                assert mine == due


def test_whoever_asks_may_stop_it() -> None:
    view = InView(LATHE, GEARS, PLANNED, {search_key(LATHE, WANTS[0]): options(3)})

    def ask() -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        view.table(Counter(), WANTS[:1], [], 0, ask)


def test_a_gear_offered_twice_counts_twice() -> None:
    view = InView(replace(LATHE, chest=Chest(())), GEARS, PLANNED)
    view.look(WANTS[:1], go_on, find_options, 1)
    gear, other = MAKING.gear(30), MAKING.gear(20)
    twice = [(gear, 1), (other, 1), (gear, 1)]
    assert told(view.table(Counter(), WANTS[:1], twice, 4)) == told(
        view.table(Counter(), WANTS[:1], [(gear, 2), (other, 1)], 4)
    )


def test_the_first_train_of_the_gears_owned() -> None:
    view = InView(replace(LATHE, chest=Chest(())), GEARS, to_set_up())
    view.look(WANTS, go_on, find_options, 1)
    covered = 0
    for teeth in chests():
        lathe = replace(LATHE, chest=Chest(loose(*teeth)))
        for want in WANTS:
            afresh = find_options(lathe, [want], [], 0, order=to_set_up()).wants[0]
            due = afresh.train(0) if len(afresh) else None
            covered += due is not None
            assert view.first(want, Counter(dict(lathe.chest.loose))) == due
    assert 3 < covered < len(chests()) * len(WANTS) - 8


def options(count: int) -> WantOptions:
    return WantOptions(
        np.zeros((count, 0), np.int16), np.zeros((count, 3), np.int64), lambda _: None
    )  # type: ignore[arg-type,return-value]


def threads(count: int) -> list[Want]:
    return [Want("x", mm(str(1 + k / 10)), Allowance(Fraction(1, 50))) for k in range(count)]


def test_pitches_are_looked_for_so_many_at_a_time_and_none_twice() -> None:
    """Allowances of one pitch together; what was found is kept though the next is called back."""
    asked: list[list[Want]] = []
    given: list[object] = []

    def find(
        lathe: Lathe, wants: Sequence[Want], every: object, most: int, **how: object
    ) -> OptionTable:
        if len(asked) == 2:
            raise KeyboardInterrupt
        asked.append(list(wants))
        given[:] = [lathe, every, most, how]
        return OptionTable(GEARS[1:], tuple(options(2) for _ in wants), most)

    view = InView(LATHE, GEARS, PLANNED)
    every = [*threads(AT_ONCE + 2), *threads(1)]
    narrow = replace(every[0], allowance=Allowance(Fraction(1, 90)))
    view.look([every[3]], go_on, find, 7)
    assert asked == [[every[3]]]
    assert given == [
        LATHE, [(gear, None) for gear in GEARS], 4, {"order": PLANNED, "workers": 7, "ask": go_on}
    ]  # fmt: skip
    assert view.gears == GEARS[1:]
    assert view.knows([every[3]])
    assert not view.knows([every[3], every[4]])
    with pytest.raises(KeyboardInterrupt):
        view.look([*every, narrow], go_on, find, 1)
    assert len(asked[1]) == AT_ONCE + 1
    assert view.knows([narrow, *every[:AT_ONCE], every[AT_ONCE]])
    assert not view.knows([every[AT_ONCE + 1]])


@pytest.mark.parametrize(("most", "left"), [(60, 6), (59, 5), (31, 3), (30, 3), (29, 2), (1, 1)])
def test_what_was_asked_longest_ago_is_forgotten_first(
    monkeypatch: pytest.MonkeyPatch, most: int, left: int
) -> None:
    """Six pitches of ten options, the first of them asked again last; one is kept in any case."""
    monkeypatch.setattr(in_view, "MOST_OPTIONS", most)
    wants = threads(6)
    keys = [search_key(LATHE, want) for want in wants]
    view = InView(LATHE, GEARS, to_set_up(), {key: options(10) for key in keys})
    view.table(Counter(), wants[:1], [], 0)
    view.forget()
    assert list(view.known) == [*keys[1:], keys[0]][-left:]


def test_when_there_is_a_view_and_what_it_holds() -> None:
    """All loose gears and all on offer, none of them there; what cannot lack stays in the lathe."""
    offered = [(MAKING.gear(36), 1), (MAKING.gear(20), None)]
    known = in_view_of(LATHE, offered, to_set_up())
    assert known is not None
    view, owned = known
    assert view.gears == tuple(MAKING.gear(z) for z in (20, 30, 36, 45, 60))
    assert (view.bare, view.order, view.known) == (
        replace(LATHE, chest=Chest(())), to_set_up(), {})  # fmt: skip
    assert owned == Counter(dict(LATHE.chest.loose))
    fixed = MAKING.gear(30)
    known = in_view_of(replace(LATHE, fixed_first_driver=fixed), offered, PLANNED)
    assert known is not None
    assert known[0].bare.chest == Chest(((fixed, 1),))
    assert known[0].gears == tuple(MAKING.gear(z) for z in (20, 36, 45, 60))
    assert fixed not in known[1]
    known = in_view_of(replace(LATHE, fixed_first_driver=MAKING.gear(99)), [], PLANNED)
    assert known is not None
    assert known[0].bare.chest == Chest(())


def test_when_there_is_none() -> None:
    """Over two studs, with three levers, with more than two of each common gear, and for costs that
    options do not tell."""
    many: list[tuple[Gear, int | None]] = [(MAKING.gear(z), None) for z in range(20, 150)]
    none = replace(LATHE, chest=Chest(()))
    assert len(many) == 130
    assert in_view_of(none, many, PLANNED) is not None
    assert in_view_of(none, [*many, (MAKING.gear(150), 1)], PLANNED) is None
    levers = (Fraction(1), Fraction(1, 2), Fraction(2))
    assert in_view_of(replace(LATHE, first_driver_turns=levers[:2]), [], PLANNED) is not None
    assert in_view_of(replace(LATHE, first_driver_turns=levers), [], PLANNED) is None
    boxed = replace(
        LATHE, first_driver_turns=levers[:2], gearbox=(("A", levers[0]), ("B", levers[1]))
    )
    assert in_view_of(boxed, [], PLANNED) is None
    assert LATHE.banjo is not None
    assert in_view_of(replace(LATHE, banjo=replace(LATHE.banjo, studs=2)), [], PLANNED) is None
    assert in_view_of(LATHE, [], ("tooth load", "error")) is not None
    assert in_view_of(LATHE, [], ("demerits", "gears")) is None


def test_a_want_that_only_trains_without_error_cover() -> None:
    want = WANTS[0]
    assert without_error(LATHE, want) == replace(want, allowance=Allowance(Fraction(0)))
    never = replace(want, allowance=Allowance(Fraction(-1, 1000)))
    assert without_error(LATHE, never) is never
    exact = replace(want, allowance=Allowance(Fraction(0)))
    assert without_error(LATHE, exact) == exact
