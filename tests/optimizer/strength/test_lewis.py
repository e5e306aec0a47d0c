"""What one tooth bears, figure by figure, and why it cannot be told where it cannot."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest

from gearchest.optimizer.domain.gear import Chest, Gear
from gearchest.optimizer.domain.lathe import GearMaking, Lathe
from gearchest.optimizer.domain.layout import LAYOUTS
from gearchest.optimizer.domain.material import GearMaterial, ToothStrength
from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.strength.lewis import LewisTable, ToothLimit, lewis_14_5, tooth_limit
from gearchest.optimizer.strength.loads import Mesh, meshes, overloaded, weakest
from gearchest.optimizer.strength.rim import rim_factor, rim_share

TABLE = LewisTable(((12, 0.24), (15, 0.30), (20, 0.32), (100, 0.44)))
STEEL = GearMaterial("steel", 90.0, "")
STRENGTH = ToothStrength({Fraction(20): TABLE}, {"steel": STEEL})
GEAR = Gear(20, Fraction(3, 2))


@pytest.mark.parametrize(
    ("teeth", "y"),
    [(8, None), (11, None), (12, 0.24), (13, 0.26), (14, 0.28), (15, 0.30), (18, 0.312),
     (20, 0.32), (60, 0.38), (99, 0.4385), (100, 0.44), (101, 0.44), (500, 0.44)],
)  # fmt: skip
def test_factors_between_the_rows_of_a_table_and_beyond_them(teeth: int, y: float | None) -> None:
    assert TABLE(teeth) == (None if y is None else pytest.approx(y, abs=1e-12))


def test_factors_of_14_and_a_half_degrees() -> None:
    """pi (0.124 - 0.684 / z): 0.0670 pi at 12, 0.1004 pi at 29, near 0.124 pi in the end."""
    assert lewis_14_5(12) == pytest.approx(0.067 * math.pi)
    assert lewis_14_5(38) == pytest.approx(0.106 * math.pi)
    assert lewis_14_5(500) == pytest.approx(0.122632 * math.pi)
    assert lewis_14_5(11) is None


def test_what_a_tooth_bears() -> None:
    """90 MPa, 5 mm, module 1.5, Y 0.32: 216 N; 7 tenths of that as an idler; eight modules of face
    where none is told: 518.4 N; half where the rim doubles the stress."""
    five = Fraction(5)
    assert tooth_limit(GEAR, five, STRENGTH) == ToothLimit(GEAR, pytest.approx(216.0), "", STEEL)
    assert tooth_limit(GEAR, five, STRENGTH).material is STEEL
    assert tooth_limit(GEAR, five, STRENGTH, idler=True).newtons == pytest.approx(151.2)
    assumed = tooth_limit(GEAR, None, STRENGTH)
    assert (assumed.newtons, assumed.assumed_face) == (pytest.approx(518.4), True)
    twice = 2.242 / math.exp(2 / 1.6)
    assert tooth_limit(GEAR, five, STRENGTH, rim=twice).newtons == pytest.approx(108.0)
    assert tooth_limit(GEAR, five, STRENGTH, rim=1.2).newtons == pytest.approx(216.0)
    assert tooth_limit(GEAR, five, STRENGTH, idler=True, rim=twice).newtons == pytest.approx(75.6)
    assert tooth_limit(GEAR, five, STRENGTH, rim=1e-9).newtons is not None


@pytest.mark.parametrize(
    ("gear", "rim", "why"),
    [
        (replace(GEAR, material="putty"), None, 'no stress known for material "putty"'),
        (replace(GEAR, pressure_angle=Fraction(29, 2)), None, "no Lewis factors for 14.5 degrees"),
        (replace(GEAR, teeth=9), None, "no Lewis factor for 9 teeth"),
        (GEAR, 0.0, "bore and keyway as the lathe file gives them would reach its teeth"),
        (GEAR, -0.5, "bore and keyway as the lathe file gives them would reach its teeth"),
    ],
)
def test_why_it_cannot_be_told_what_a_tooth_bears(gear: Gear, rim: float | None, why: str) -> None:
    known = None if gear.material == "putty" else STEEL
    found = tooth_limit(gear, None, STRENGTH, rim=rim)
    assert found == ToothLimit(gear, None, why)
    assert (found.material, found.assumed_face) == (known, False)


def test_rims_over_bores_by_hand() -> None:
    """Module 2, no keyway, bore 20: teeth 4.5 deep and cut 0.04 mm thin. A 20, 22 mm over its
    tips: root at 17.5 less 0.04 / (2 tan 20) = 0.0549, 7.4451 mm over the bore. At 14 1/2 degrees
    2.157 modules, 4.314 mm: root at 17.686 less 0.0773."""
    making = GearMaking(Fraction(2), bore=20.0)
    share = (17.5 - 0.02 / math.tan(math.radians(20)) - 10) / 4.5
    assert rim_share(making, Gear(20, Fraction(2))) == pytest.approx(share, rel=1e-12)
    steep = Gear(20, Fraction(2), Fraction(29, 2))
    share = (22 - 4.314 - 0.02 / math.tan(math.radians(14.5)) - 10) / 4.314
    assert rim_share(making, steep) == pytest.approx(share, rel=1e-12)
    assert rim_share(GearMaking(Fraction(2)), Gear(20, Fraction(2))) is None
    # 24 DP: 2.2 modules and 0.002 inches more
    fine = Gear(60, Fraction(254, 240))
    module = 25.4 / 24
    whole = 2.2 * module + 0.0508
    root = 31 * module - whole - 0.01 * module / math.tan(math.radians(20))
    assert rim_share(making, fine) == pytest.approx((root - 10) / whole, rel=1e-12)


def test_thinner_rims_bear_less_and_less() -> None:
    """1.6 ln(2.242 / share) below 1.2 (AGMA 2001-D04, from memory): 1.6 ln 2.242 = 1.2918 at 1."""
    assert rim_factor(1.0) == pytest.approx(1.2918, abs=1e-4)
    assert rim_factor(0.5) == pytest.approx(1.6 * math.log(4.484))
    shares = [0.05 * k for k in range(1, 40)]
    assert all(rim_factor(a) >= rim_factor(b) >= 1.0 for a, b in pairwise(shares))


def test_idlers_mesh_with_both_neighbours_by_the_narrower_face() -> None:
    """Faces of 4, 9, 6 and 7 mm: 4, 6 and 6 in mesh; a face that is not told counts as eight
    modules. Both idlers bear 7 tenths."""
    faces = [4, 9, 6, 7]
    one, two, three, four = (Gear(20, Fraction(1), face_width=Fraction(f)) for f in faces)
    layout = next(layout for layout in LAYOUTS if layout.idlers == (2,))
    lathe = Lathe("x", mm(2), GearMaking(Fraction(1)), Chest(()), strength=STRENGTH)

    def limits(*gears: Gear) -> list[float | None]:
        train = Train(layout, gears[:1], gears[-1:], (gears[1:-1],))
        chain = meshes(lathe, train, (10.0,))
        assert [(m.driver, m.driven) for m in chain] == list(pairwise(gears))
        assert {m.load for m in chain} == {10.0}
        return [m.limit.newtons for m in chain]

    bears = 90 * 0.32 * 0.7
    assert limits(one, two, three, four) == pytest.approx([4 * bears, 6 * bears, 6 * bears])
    none, wide = replace(two, face_width=None), replace(one, face_width=Fraction(30))
    assert limits(wide, wide, none, wide) == pytest.approx([30 * bears, 8 * bears, 8 * bears])
    assert limits(none, none, none, one) == pytest.approx([8 * bears, 8 * bears, 4 * bears])


def test_what_cannot_be_checked_hides_the_feeblest_mate() -> None:
    feeble = ToothStrength(STRENGTH.factors, {"steel": replace(STEEL, stress=1e-6)})
    train = Train(LAYOUTS[0], (GEAR,), (replace(GEAR, material="putty"),), ((),))
    lathe = Lathe("x", mm(2), GearMaking(Fraction(1)), Chest(()), strength=feeble)
    (mesh,) = meshes(lathe, train, (10.0,))
    assert (mesh.share, mesh.limit.gear.material) == (None, "putty")


def test_the_hardest_used_mesh_and_whether_it_is_overloaded() -> None:
    """It is from above what it bears on; one that nobody can check hides the hardest, and not that
    another is overloaded."""

    def mesh(load: float, bears: float | None) -> Mesh:
        return Mesh(GEAR, GEAR, load, ToothLimit(GEAR, bears))

    half, just, over, unknown = mesh(5, 10), mesh(10, 10), mesh(11, 10), mesh(99, None)
    assert (half.share, just.share, over.share, unknown.share) == (0.5, 1.0, 1.1, None)
    assert weakest((half, over, just)) is over
    assert weakest((half, unknown)) is None
    assert not overloaded((half, just, unknown))
    assert overloaded((half, over, unknown))
