"""One chest for two lathes: only where each gear goes on both."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from gearchest.optimizer.domain.gear import Chest, Gear, PinnedPair
from gearchest.optimizer.domain.lathe import GearMaking, Lathe
from gearchest.optimizer.domain.pitch import mm, tpi
from gearchest.optimizer.domain.tooth import Keyway
from gearchest.optimizer.plan.served import UnlikeLathesError, share_chest

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
