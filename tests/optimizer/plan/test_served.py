"""One chest for two lathes: only where each gear goes on both."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction

import pytest

from gearchest.optimizer.domain.gear import Chest, Gear, PinnedPair
from gearchest.optimizer.domain.lathe import GearMaking, Lathe
from gearchest.optimizer.domain.pitch import mm, tpi
from gearchest.optimizer.domain.stock import owned_gears
from gearchest.optimizer.domain.tooth import Keyway
from gearchest.optimizer.domain.want import Allowance, Want
from gearchest.optimizer.plan.served import UnlikeLathesError, serve, share_chest
from gearchest.optimizer.search.search import find_options

MODULE = Fraction(4, 5)
MAKING = GearMaking(MODULE, bore=12.0)


def lathe(name: str, *teeth: int, making: GearMaking = MAKING) -> Lathe:
    chest = Chest(tuple((Gear(z, MODULE), 1) for z in teeth))
    return Lathe(name, mm(2), making, chest)


def test_the_chests_are_added_up() -> None:
    """A gear that both have counts twice, pinned pairs come along, leadscrews stay."""
    pair = PinnedPair(Gear(30, MODULE), Gear(60, MODULE))
    one, other = lathe("one", 20, 40), replace(lathe("other", 40, 90), leadscrew=tpi(8))
    other = replace(other, chest=replace(other.chest, pinned=(pair,)))
    both = share_chest([one, other])
    assert [shared.leadscrew for shared in both] == [mm(2), tpi(8)]
    for shared in both:
        assert [(g.teeth, n) for g, n in shared.chest.loose] == [(20, 1), (40, 2), (90, 1)]
        assert shared.chest.pinned == (pair,)


@pytest.mark.parametrize(
    ("name", "making"),
    [
        ("module", replace(MAKING, module=Fraction(1))),
        ("pressure angle", replace(MAKING, pressure_angle=Fraction(29, 2))),
        ("bore", replace(MAKING, bore=14.0)),
        ("keyway", replace(MAKING, keyway=Keyway(3.0, 1.0))),
    ],
)
def test_gears_that_go_on_one_lathe_alone_are_refused(name: str, making: GearMaking) -> None:
    with pytest.raises(UnlikeLathesError, match=f"{name} is .* on 'one' and .* on 'other'"):
        share_chest([lathe("one", 20), lathe("other", 20, making=making)])
    with pytest.raises(UnlikeLathesError, match=f"{name} is .* on 'one' and .* on 'third'"):
        share_chest([lathe("one", 20), lathe("other", 20), lathe("third", 20, making=making)])


def test_options_of_two_lathes_are_counted_one_after_the_other() -> None:
    """20/40 on a screw of 2 mm, 40/20 on one of 1/2 mm: each option keeps its own lathe."""
    one, other = lathe("one", 20, 40), replace(lathe("other", 20, 40), leadscrew=mm("0.5"))
    wants = [
        Want("1 mm", mm(1), Allowance(Fraction(0))),
        Want("4 mm", mm(4), Allowance(Fraction(0))),
    ]
    both = share_chest([one, other])
    served = serve(both, [find_options(each, wants, [], 0) for each in both])
    assert served.most_missing == 4
    found = served.table.wants[0]
    assert [sum(sizes) for sizes in served.sizes] == list(map(len, served.table.wants))
    told = {
        (served.lathe(0, n).name, tuple(g.teeth for g in found.train(n).gears))
        for n in range(len(found))
    }
    assert told == {("one", (20, 40)), ("other", (40, 20))}
    for ask in (lambda: served.lathe(0, len(found)), lambda: found.train(len(found))):
        with pytest.raises(IndexError):
            ask()


def test_gears_on_offer_are_counted_in_one_order_for_both() -> None:
    """Each option lacks what its train has beyond the chest they share, whichever lathe's it is;
    only one of them looked at trains that lack two."""
    one, other = lathe("one", 20, 40), replace(lathe("other", 20), leadscrew=mm("0.5"))
    both = share_chest([one, other])
    wants = [
        Want("1 mm", mm(1), Allowance(Fraction(0))),
        Want("none", mm(7), Allowance(Fraction(0))),
    ]
    had = [[(MAKING.gear(z), None) for z in some]
           for some in ((90, 25, 127, 50, 45, 30), (61, 50, 90, 35, 25, 80))]  # fmt: skip
    tables = [find_options(each, wants, some, n)
              for each, some, n in zip(both, had, (1, 2), strict=True)]  # fmt: skip
    served = serve(both, tables)
    gears = served.table.candidates
    assert [gear.teeth for gear in gears] == [25, 30, 35, 45, 50, 61, 80, 90, 127]
    assert served.table.most_missing == 1
    assert served.lathes == both
    owned = owned_gears(both[0])
    assert served.sizes == tuple(
        tuple(len(table.wants[n]) for table in tables) for n in range(len(wants))
    )
    names = []
    for n in range(len(served.table.wants[0])):
        found = served.table.wants[0]
        lacked = [gears[c] for c in found.missing[n].tolist() if c >= 0]
        assert Counter(lacked) == Counter(found.train(n).missing(owned))
        assert found.train(n).ratio * served.lathe(0, n).leadscrew.rational == 1
        names.append(served.lathe(0, n).name)
    assert names == sorted(names, key=["one", "other"].index)
    assert max(found.missing.shape[1] for found in served.table.wants) >= 2


def test_a_train_lacks_at_most_what_the_lathe_with_more_studs_takes() -> None:
    two = replace(lathe("two studs", 20), unmeasured_studs=2)
    for lathes, most in (([lathe("one", 20)], 4), ([lathe("one", 20), two], 6), ([two], 6)):
        assert serve(lathes, [find_options(one, [], [], 0) for one in lathes]).most_missing == most
