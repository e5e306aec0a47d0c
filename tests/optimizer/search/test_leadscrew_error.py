"""Feed screws are judged with the leadscrew's own error, on each lathe with its own."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from drawn import MAKING, loose

from gearchest.optimizer.domain.gear import Chest
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.domain.want import Use, Want
from gearchest.optimizer.plan.whatif import what_if
from gearchest.optimizer.search.compare import compare
from gearchest.optimizer.search.own_choice import own_choice
from gearchest.optimizer.search.reach import Bench, reach
from gearchest.optimizer.search.result import Verdict
from gearchest.optimizer.search.search import find_options
from gearchest.optimizer.search.trains import settings
from gearchest.optimizer.threads.allowance import allowance

GEARS = tuple(MAKING.gear(teeth) for teeth in (40, 50, 80, 20))


def lathe(screw_error: str | None, teeth: tuple[int, ...] = (40, 50)) -> Lathe:
    gears = [MAKING.gear(z) for z in teeth]
    known = None if screw_error is None else Fraction(screw_error)
    return Lathe("screw of 2 mm", mm(2), MAKING, Chest(loose(*gears)), screw_error=known)


def want(machine: Lathe, millimetres: str, grade: str | None = None) -> Want:
    pitch = mm(millimetres)
    found = allowance(pitch, use=Use.TRAVEL, travel_grade=grade, screw_error=machine.screw_error)
    return Want("feed screw", pitch, found, use=Use.TRAVEL)


@pytest.mark.parametrize(
    ("screw_error", "train_error", "verdict"),
    [
        (None, "69/100000", Verdict.IN_TOLERANCE),  # 207 of 210 um over 300 mm
        ("0", "69/100000", Verdict.IN_TOLERANCE),
        ("1/100000", "69/100000", Verdict.IN_TOLERANCE),  # 3 more: just 210
        ("2/100000", "69/100000", Verdict.OFF),
        ("70/100000", "0", Verdict.EXACT),
        ("71/100000", "0", Verdict.OFF),  # not even a train without error
    ],
)
@pytest.mark.parametrize("sign", [1, -1])
def test_the_sum_is_judged(
    screw_error: str | None, train_error: str, verdict: Verdict, sign: int
) -> None:
    machine = lathe(screw_error)
    # 40/50 on 2 mm cuts 1.6 mm.
    wanted = want(machine, str(Fraction(8, 5) / (1 + sign * Fraction(train_error))))
    found = reach(machine, wanted)
    assert found.verdict is verdict
    assert (found.best is not None) == verdict.covered
    assert found.closest is not None
    assert found.closest.verdict is verdict
    assert Bench(machine).settle(wanted).verdict is verdict
    mine = own_choice(machine, wanted, found.closest.train, settings(machine))
    assert mine.verdict is verdict
    options = find_options(machine, [wanted], (), 0).wants[0]
    assert bool(len(options)) == verdict.covered
    ways = what_if(machine, [wanted], []).ways[0]
    assert bool(ways) == verdict.covered


def test_no_gears_make_up_for_a_leadscrew() -> None:
    machine = lathe("1/1000")
    found = reach(machine, want(machine, "1.6"), tuple((gear, None) for gear in GEARS))
    assert found.verdict is Verdict.OFF
    assert found.additions == ()


def test_each_lathe_is_judged_with_its_own_leadscrew() -> None:
    first, second = lathe(None), replace(lathe("1/1000"), name="worn")
    found = compare((first, second), [want(first, "1.6")])
    assert [one.name for one in found.only(0)] == ["feed screw"]
    turned = compare((second, first), [want(second, "1.6")])
    assert [one.name for one in turned.only(1)] == ["feed screw"]
