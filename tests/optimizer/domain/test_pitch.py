"""Pitches and sizes as they are told, with the factor pi and with several starts; plates, hands."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from gearchest.catalogs.threads import find_size
from gearchest.optimizer.domain.gear import Chest, Gear
from gearchest.optimizer.domain.lathe import Banjo, Drive, GearMaking, Lathe, Policy, Slot
from gearchest.optimizer.domain.layout import LAYOUTS
from gearchest.optimizer.domain.pitch import (
    Pitch,
    format_pitch,
    lead_angle,
    magnitude,
    mm,
    relative_error,
    tpi,
)
from gearchest.optimizer.domain.plate import UnlikePitchError, box_ratio
from gearchest.optimizer.domain.thread import Thread, variant
from gearchest.optimizer.domain.train import Setting, Train
from gearchest.optimizer.domain.want import Allowance, Travel, Want

WORM = Pitch(Fraction(4, 5), pi=True)


def test_a_pitch_in_millimetres_with_and_without_pi() -> None:
    three = Pitch(Fraction(2), starts=3)
    assert (three.mm, three.lead_mm, three.lead) == (2, 6, mm(6))
    assert WORM.mm == pytest.approx(0.8 * math.pi)
    double = Pitch(Fraction(4, 5), pi=True, starts=2)
    assert double.lead == Pitch(Fraction(8, 5), pi=True)
    assert double.lead_mm == pytest.approx(1.6 * math.pi)
    assert tpi(8).rational == Fraction(127, 40)
    assert (tpi(8).inch, mm(3).inch) == (True, False)


def test_pitches_are_told_as_files_write_them_unless_written_otherwise() -> None:
    assert [format_pitch(p) for p in (mm("1.25"), WORM, Pitch(Fraction(2), starts=3))] == [
        "1.25 mm", "0.8 module", "3 starts of 2 mm",
    ]  # fmt: skip
    assert str(Pitch(Fraction(1, 3))) == "1/3 mm"
    assert str(tpi("11.5")) == "11.5 tpi"
    assert str(Pitch(Fraction(127, 40), written="8 tpi")) == "8 tpi"


def test_an_error_has_pi_where_one_of_screw_and_thread_has() -> None:
    """22/7 turns of a screw of 1 mm for a worm of module 1, and 7/22 of such a screw for 1 mm."""
    module = Pitch(Fraction(1), pi=True)
    assert relative_error(Fraction(22, 7), mm(1), module) == pytest.approx(22 / 7 / math.pi - 1)
    assert relative_error(Fraction(7, 22), module, mm(1)) == pytest.approx(7 / 22 * math.pi - 1)
    assert relative_error(Fraction(3, 2), mm(2), Pitch(Fraction(1), starts=3)) == 0
    assert relative_error(Fraction(1, 2), Pitch(Fraction(1), starts=4), mm(2)) == 0
    assert magnitude(Fraction(-1, 3)) == magnitude(Fraction(1, 3)) == Fraction(1, 3)
    assert magnitude(-0.5) == 0.5
    assert lead_angle(math.pi, 1.0) == 45


@pytest.mark.parametrize(
    ("size", "starts", "left", "name", "written"),
    [
        ("Tr40x7", 2, False, "Tr40x14 P7", "2 starts of 7 mm"),
        ("Tr40x7", 2, True, "Tr40x14 P7 LH", "2 starts of 7 mm"),
        ("Tr40x7", 1, True, "Tr40x7 LH", "7 mm"),
        ("Tr40x7", 1, False, "Tr40x7", "7 mm"),
        ("1/2-10 Acme", 3, True, "1/2-10 Acme 3 starts LH", "3 starts of 10 tpi"),
        ("M10", 2, False, "M10 2 starts", "2 starts of 1.5 mm"),
    ],
)
def test_sizes_of_more_starts_and_the_other_hand(
    size: str, starts: int, left: bool, name: str, written: str
) -> None:
    plain = find_size(size)
    found = variant(plain, starts=starts, left=left)
    assert (found.name, str(found.pitch), found.left) == (name, written, left)
    assert (found.pitch.starts, found.pitch.rational) == (starts, plain.pitch.rational)
    assert (found.major_mm, found.form, found.series) == (plain.major_mm, plain.form, plain.series)


def train(*teeth: int, setting: Setting) -> Train:
    driver, driven = (Gear(z, Fraction(1)) for z in teeth)
    return Train(LAYOUTS[0], (driver,), (driven,), ((),), setting)


def test_a_plate_s_pitch_tells_the_box_s_ratio() -> None:
    """The plate promises 1.5 mm with 40/80 and the first driver at twice the spindle's turns, on a
    screw of 3 mm: half a turn of it, so the box halves what the last gear turns."""
    usual = train(40, 80, setting=Setting(Fraction(2)))
    assert box_ratio(mm("1.5"), mm(3), usual) == Fraction(1, 2)
    assert box_ratio(Pitch(Fraction(3, 2), starts=2), mm(3), usual) == 1
    assert box_ratio(mm("1.5"), Pitch(Fraction(3), starts=2), usual) == Fraction(1, 4)
    assert box_ratio(WORM, Pitch(Fraction(2, 5), pi=True), usual) == 2
    for promised, screw in ((WORM, mm(3)), (mm(3), WORM)):
        with pytest.raises(UnlikePitchError):
            box_ratio(promised, screw, usual)


def lathe(**more: object) -> Lathe:
    return Lathe("l", mm(2), GearMaking(Fraction(1)), Chest(()), **more)  # type: ignore[arg-type]


@pytest.mark.parametrize("parity", [0, 1, None])
def test_without_a_reversing_lever_the_meshes_make_the_hand(parity: int | None) -> None:
    machine = lathe(right_hand_meshes=parity)
    for meshes in range(1, 5):
        right = parity is None or meshes % 2 == parity
        left = parity is None or meshes % 2 != parity
        assert machine.meshes_allowed(meshes) == right
        assert machine.meshes_allowed(meshes, left=True) == left


def test_studs_are_those_of_the_arm_where_it_is_measured() -> None:
    slot = (Slot(10, 100),)
    assert lathe().studs == 1
    assert lathe(unmeasured_studs=2).studs == 2
    assert lathe(unmeasured_studs=1, banjo=Banjo(100.0, slot, studs=2)).studs == 2
    assert lathe(unmeasured_studs=2, banjo=Banjo(100.0, slot)).studs == 1


def test_which_end_drives() -> None:
    three = Fraction(3)
    assert Policy().driven_from(three) is Drive.SPINDLE
    assert Policy().driven_from(three + Fraction(1, 100)) is Drive.SCREW
    for drive in Drive:
        assert Policy(drive=drive).driven_from(Fraction(1, 10)) is drive
        assert Policy(drive=drive).driven_from(Fraction(10)) is drive


def test_what_a_want_is_allowed_on_a_lathe() -> None:
    """A feed screw what the leadscrew leaves of it, all others their own."""
    screw = Fraction(1, 10_000)
    plain = Want("w", mm(1), Allowance(Fraction(1, 1000)))
    feed = Want("w", mm(1), Allowance(Fraction(1, 7), travel=Travel(Fraction(3, 10_000))))
    assert plain.allowed_on(lathe(screw_error=screw)) == Fraction(1, 1000)
    assert feed.allowed_on(lathe(screw_error=screw)) == Fraction(2, 10_000)
    assert feed.allowed_on(lathe()) == Fraction(3, 10_000)
    assert feed.allowed_on(lathe(screw_error=Fraction(1, 1000))) == Fraction(-7, 10_000)


def test_the_diameter_given_goes_before_the_size_s_own() -> None:
    ten = Thread("M10", mm("1.5"), Fraction(10))
    allowed = Allowance(Fraction(1, 100))
    assert Want("w", mm(1), allowed).major_mm is None
    assert Want("w", mm(1), allowed, thread=ten).major_mm == 10
    assert Want("w", mm(1), allowed, thread=ten, diameter=Fraction(9)).major_mm == 9
    assert Want("w", mm(1), allowed, diameter=Fraction(9)).major_mm == 9
