"""Screws under load: flanks against printed examples, holding over a range of friction."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction

import pytest

from gearchest.catalogs.materials import nut_materials, screw_materials
from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.domain.want import Allowance, Use, Want
from gearchest.optimizer.turning.pressing import Hand, JammedError, Load, Pressing, pressing
from gearchest.optimizer.turning.screw_force import EngagedThread, NutMaterial
from gearchest.optimizer.turning.sizes import sizes
from gearchest.optimizer.turning.strut import Ends

STEEL, BEECH = screw_materials()["mild steel"], screw_materials()["beech"]


def pressed(
    pitch: str, diameter: int, load: Load, form: str = "square", *, wood: bool = False,
    starts: int = 1,
) -> Pressing:  # fmt: skip
    use = Use.WOOD if wood else Use.TRAVEL
    want = Want(
        "a screw",
        replace(mm(pitch), starts=starts),
        Allowance(Fraction(1)),
        use=use,
        diameter=Fraction(diameter),
    )
    found = pressing(sizes(want, form), load, BEECH if wood else STEEL)
    assert found is not None
    return found


def square(major: float, minor: float, pitch: float, length: float) -> EngagedThread:
    return EngagedThread(major, (major + minor) / 2, minor, pitch, 0, length)


def test_threads_in_the_nut_of_a_ten_ton_jack() -> None:
    """A worked example of a course on machine design (seen): 2 3/4 in with a root of 2.313 in, two
    threads an inch, 20,000 lb, 2,500 psi on the flanks: 4.6 threads."""
    one_thread = square(2.75, 2.313, 0.5, 0.5)
    assert 20_000 / 2500 / one_thread.bearing_area(0) == pytest.approx(4.6, abs=0.01)


def test_flanks_of_a_hundred_kilonewton_jack() -> None:
    """A worked example of a screw jack (seen): 70 mm with a root of 60, pitch 10, 100 kN; at 15
    MPa on bronze 6.52 threads, with eight 12.24 MPa."""
    assert 100_000 / square(70, 60, 10, 80).bearing_area(0) == pytest.approx(12.24, abs=0.01)
    assert 100_000 / 15 / square(70, 60, 10, 10).bearing_area(0) == pytest.approx(6.52, abs=0.015)
    found = pressed("10", 70, Load(axial=100_000, nut=80))
    assert found.pressure == pytest.approx(12.24, abs=0.01)  # the screw itself is such a one


def test_bronze_bears_what_worked_examples_take() -> None:
    """10, 15 MPa and 2,500 psi on bronze (seen), jacks turned by hand."""
    bronze = nut_materials()["bronze"]
    for taken in (15.0, 2500 * 0.00689476):
        assert bronze.surely * 0.85 <= taken <= bronze.most
    assert all(nut.surely < nut.most for nut in nut_materials().values())
    for wood in (name for name, kind in screw_materials().items() if kind.wood):
        assert nut_materials()[wood].most < screw_materials()[wood].compression / 5


def test_more_starts_share_the_flanks_of_the_same_ridges() -> None:
    """As many ridges cross a line along the nut, whatever the starts."""
    one, two = (pressed("7", 40, Load(axial=5000), starts=starts) for starts in (1, 2))
    assert one.pressure == pytest.approx(two.pressure)
    assert one.pressure == pytest.approx(5000 / (40 / 7 * math.pi / 4 * (40**2 - 33**2)))


def test_the_play_of_a_wooden_nut_is_no_flank() -> None:
    """50 mm by 9 mm, V of 90 degrees with an eighth of flat: 0.375 x 9 deep; bored a quarter of
    the pitch above the root and let out by 1 mm."""
    found = pressed("9", 50, Load(axial=3000), "wood-90", wood=True)
    bore = 50 - 2 * 0.375 * 9 + 9 / 4 + 1
    assert found.pressure == pytest.approx(3000 / (math.pi / 4 * (50**2 - bore**2) * 50 / 9))
    assert found.engaged == 50


@pytest.mark.parametrize(
    ("starts", "surely", "back"), [(1, True, False), (3, False, False), (6, False, True)]
)
def test_holding_is_judged_over_all_frictions_from_a_tenth_to_a_fifth(
    starts: int, surely: bool, back: bool
) -> None:
    """By the torque that lets go: turned for every friction between, it is never negative where
    the screw surely holds, always where it runs back."""
    found = pressed("5", 40, Load(axial=1000), starts=starts)
    assert found.frictions == (0.1, 0.2)
    torques = [
        found.screw.rubbing(friction / 1000).lowering_torque(1000) for friction in range(100, 201)
    ]
    assert (found.holds_surely, found.runs_back) == (surely, back)
    assert all(torque >= 0 for torque in torques) == surely
    assert all(torque < 0 for torque in torques) == back


def test_at_the_friction_that_just_holds_it_holds() -> None:
    found = pressed("5", 40, Load(axial=1000), starts=3)
    least = found.screw.least_holding_friction
    assert replace(found, frictions=(least, 1.0)).holds_surely
    assert not replace(found, frictions=(least * (1 - 1e-9), 1.0)).holds_surely
    assert not replace(found, frictions=(0.0, least)).runs_back
    assert replace(found, frictions=(0.0, least * (1 - 1e-9))).runs_back


def test_a_screw_that_jams_is_said_to_and_told_from_which_friction() -> None:
    """40 by 5 mm with 30 starts: 150 mm a turn on 37.5 in the middle jams from pi 37.5 / 150."""
    jams = math.pi * 37.5 / 150
    with pytest.raises(JammedError, match=r"friction 0\.8 this screw jams") as caught:
        pressed("5", 40, Load(axial=1000, friction=0.8), starts=30)
    assert caught.value.limit == pytest.approx(jams)
    assert pressed("5", 40, Load(axial=1000, friction=0.78), starts=30).torque > 0


def test_a_friction_given_widens_the_range() -> None:
    slick = pressed("5", 40, Load(axial=1000, friction=0.03))
    assert slick.frictions == (0.03, 0.2)
    assert not slick.holds_surely
    assert pressed("5", 40, Load(axial=1000, friction=0.25)).frictions == (0.1, 0.25)


def test_a_load_and_the_hand_that_presses_with_it_say_the_same() -> None:
    hand = pressed("6", 30, Load(Hand(200, 150)))
    load = pressed("6", 30, Load(axial=hand.force))
    assert load.torque == pytest.approx(30)
    assert load.stress.root == pytest.approx(hand.stress.root)
    low, high = hand.range_of_force
    assert low < hand.force < high
    assert hand.screw.rubbing(0.1).raising_torque(high) == pytest.approx(30)
    least, most = load.range_of_torque
    assert least < load.torque < most


def test_strong_enough_counts_buckling_but_not_what_the_nut_bears() -> None:
    short = pressed("5", 24, Load(axial=8000, free=200, ends=Ends.FIXED_PINNED), "trapezoidal")
    assert short.strong_enough
    long = pressed("5", 24, Load(axial=8000, free=900, ends=Ends.FIXED_PINNED), "trapezoidal")
    assert long.stress_kept
    assert not long.strong_enough
    assert pressed("5", 24, Load(axial=8000)).strut is None
    soft = NutMaterial("cheese", 0.1, 0.2, "")
    crushed = replace(short, load=replace(short.load, nut_material=soft))
    assert crushed.nut_crushed
    assert not short.nut_crushed  # nobody said what it is of
    assert not short.nut_sure


def test_what_is_just_enough_is_enough() -> None:
    """Factors of safety and pressures a hair to either side of what is asked."""
    found = pressed("5", 24, Load(axial=8000, free=900, ends=Ends.FIXED_PINNED), "trapezoidal")
    assert found.strut is not None

    def asked(safety: float) -> Pressing:
        return replace(found, material=replace(found.material, safety=safety))

    def bears(surely: float, most: float) -> Pressing:
        nut = NutMaterial("test", surely, most, "")
        return replace(found, load=replace(found.load, nut_material=nut))

    stress = min(found.stress.root_safety, found.stress.thread_safety)
    over, under = 1 + 1e-9, 1 - 1e-9
    assert (asked(stress * under).stress_kept, asked(stress * over).stress_kept) == (True, False)
    bent = found.strut.safety
    assert bent < stress
    assert (asked(bent * under).strong_enough, asked(bent * over).strong_enough) == (True, False)
    p = found.pressure
    assert (bears(p * over, 2 * p).nut_sure, bears(p * under, 2 * p).nut_sure) == (True, False)
    assert (bears(0, p * over).nut_crushed, bears(0, p * under).nut_crushed) == (False, True)


def test_flanks_of_less_than_a_square_millimetre_bear_as_any() -> None:
    """1 mm by 0.25 mm over 0.2 mm: from 1 mm to the bore of 0.729 mm, less than a turn of it."""
    found = pressed("0.25", 1, Load(axial=10, nut=0.2), "iso")
    bore = 1 - 1.25 * math.sqrt(3) / 2 * 0.25
    assert found.pressure == pytest.approx(10 / (math.pi / 4 * (1 - bore**2) * 0.2 / 0.25))
