"""What is taken where nobody says: by every kind of thing that can be left out."""

from __future__ import annotations

from fractions import Fraction

from gearchest.optimizer.domain.gear import ANYWHERE, Chest, Gear, Offer, PinnedPair, Place
from gearchest.optimizer.domain.lathe import (
    Banjo,
    Bed,
    DividingHead,
    GearMaking,
    Lathe,
    Policy,
    Slot,
)
from gearchest.optimizer.domain.material import NOTHING_KNOWN
from gearchest.optimizer.domain.pitch import Pitch, mm
from gearchest.optimizer.domain.thread import Thread, variant
from gearchest.optimizer.domain.train import Setting
from gearchest.optimizer.domain.want import Allowance, Use, Want
from gearchest.optimizer.domain.workshop import Way, Workshop
from gearchest.optimizer.making.blank import Blank
from gearchest.optimizer.making.job import NO_WISH, Wish
from gearchest.optimizer.threads.measurement import Count, Measured
from gearchest.optimizer.turning.setup import Wishes
from gearchest.optimizer.turning.work import BedFit

MAKING = GearMaking(Fraction(1))


def test_a_lathe_of_name_screw_and_gears() -> None:
    """As the format of lathe files has it: one speed of the first driver, a reversing lever, half
    nuts, no gearbox, no arm and one stud."""
    silent = Lathe("l", mm(2), MAKING, Chest(()))
    assert silent == Lathe(
        "l", mm(2), MAKING, Chest((), ()), first_driver_turns=(Fraction(1),),
        fixed_first_driver=None, right_hand_meshes=None, lowest_rpm=None, run_down=1.0,
        spindle_nose=None, gearbox=(), banjo=None, unmeasured_studs=1, inch=None, half_nuts=True,
        screw_error=None, thread_dials=(), bed=Bed(None, None, None), policy=Policy(),
        dividing=(), workshop=Workshop(), usual_train=None,
    )  # fmt: skip
    assert silent.strength is NOTHING_KNOWN
    assert silent.studs == 1
    assert GearMaking(Fraction(1), Fraction(20), None, None, "", "steel") == MAKING
    assert MAKING.gear(30) == Gear(30, Fraction(1), Fraction(20), None, "steel", ANYWHERE, "")
    assert frozenset(Place) == ANYWHERE


def test_an_arm_of_distance_and_slots() -> None:
    """Half a millimetre of gap, no hubs, no cover, a whole turn of swing."""
    slot = Slot(10, 100)
    assert slot == Slot(10, 100, 0.0, 0.0)
    silent = Banjo(100.0, (slot,))
    assert silent == Banjo(100.0, (slot,), 1, (-180.0, 180.0), 0.5, 0.0, 0.0, 0.0, None, 90.0)
    assert silent.clears_cover(1e9)
    covered = Banjo(100.0, (slot,), largest_tip_diameter=60.0)
    assert [covered.clears_cover(radius) for radius in (29.9, 30.0, 30.1)] == [True, True, False]


def test_a_policy_nobody_wrote() -> None:
    """The figures of the format's description."""
    assert Policy() == Policy(
        1.5, 2.0, Fraction(3), None, 0.5, None, Fraction(1, 2), Fraction(1, 1000)
    )


def test_a_workshop_nobody_wrote() -> None:
    """Common practice, no source."""
    assert Workshop() == Workshop(
        Fraction(10), Fraction(1), Fraction(1), None, Fraction(30), (), None, 0.02, 0.0, (Way.MILL,)
    )
    assert DividingHead("h", 40, (20,)) == DividingHead("h", 40, (20,), (), None, "")
    assert Wish() == NO_WISH == Wish(0.0, False, None, None, Fraction(1, 10))


def test_a_want_an_offer_and_a_thread() -> None:
    gear = Gear(30, Fraction(1))
    assert Offer(gear, Fraction(5)) == Offer(gear, Fraction(5), "buy", None, "")
    assert PinnedPair(gear, gear).count == 1
    allowed = Allowance(Fraction(1, 100))
    assert allowed == Allowance(Fraction(1, 100), "", True, None, "")
    assert Want("w", mm(1), allowed) == Want(
        "w", mm(1), allowed, Fraction(1), Use.PLAIN, None, None, False, False, None, False, "", ""
    )
    thread = Thread("t", mm(1))
    assert thread == Thread("t", mm(1), None, "", "", "", False, "")
    assert variant(thread) == thread
    assert Pitch(Fraction(1)) == Pitch(Fraction(1), pi=False, starts=1)
    assert not Pitch(Fraction(1)).inch
    assert Setting() == Setting(Fraction(1), None, Fraction(1))


def test_what_is_made_and_measured() -> None:
    gear = Gear(30, Fraction(1))
    depth = None
    assert Blank(gear, depth, 8.0) == Blank(gear, depth, 8.0, 0.0, None, 0.0, 0.0)  # type: ignore[arg-type]
    count = Count(Fraction(1), Fraction(2), 0.1)
    assert count == Count(Fraction(1), Fraction(2), 0.1, False, 0, True)
    assert Measured(count) == Measured(count, None, 0.05, False, None, False)
    assert Wishes() == Wishes("", None, "", None, None, 50.0, None, None, False, None)
    assert BedFit(None, "") == BedFit(None, "", None, None, None, None, None, 1, 50.0, False)
