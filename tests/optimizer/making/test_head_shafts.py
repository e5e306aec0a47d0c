"""Whether change gears go on a dividing head: by bore, then by keyway, and never by a guess."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from gearchest.optimizer.domain.lathe import DividingHead, GearMaking
from gearchest.optimizer.making.head_shafts import ShaftFit, shaft_fit


@pytest.mark.parametrize(
    ("head", "gears", "keyways", "found"),
    [
        (None, None, ("", ""), ShaftFit.UNKNOWN),
        (14.0, None, ("", ""), ShaftFit.UNKNOWN),
        (None, 14.0, ("", ""), ShaftFit.UNKNOWN),
        (14.0, 14.0, ("", ""), ShaftFit.YES),
        (14.0, 14.0, ("3x1.4", "3 x 1.4"), ShaftFit.YES),
        (14.0, 14.0, ("3x1.4", "4x1.4"), ShaftFit.BUSHED),
        (14.0, 14.0, ("3x1.4", ""), ShaftFit.BUSHED),
        (14.0, 16.0, ("", ""), ShaftFit.BUSHED),
        (14.0, 13.9, ("", ""), ShaftFit.NO),
    ],
)
def test_gears_on_the_shafts_of_a_head(
    head: float | None, gears: float | None, keyways: tuple[str, str], found: ShaftFit
) -> None:
    of_head = DividingHead("head", 40, (20,), bore=head, keyway=keyways[0])
    making = replace(GearMaking(Fraction(1)), bore=gears, keyway=keyways[1])
    assert shaft_fit(of_head, making) is found
