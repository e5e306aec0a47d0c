"""A gear of module 2 and 30 teeth by all its numbers, and what its sheet leaves out when."""

import math
from collections import Counter
from dataclasses import replace
from fractions import Fraction
from types import SimpleNamespace

import pytest
from scipy.optimize import brentq

from gearchest.catalogs.making import making_tables
from gearchest.catalogs.materials import tooth_strength
from gearchest.optimizer.domain.gear import Chest, Gear, Offer
from gearchest.optimizer.domain.lathe import COMMON_HEAD, DividingHead, GearMaking, Lathe
from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.domain.tooth import Keyway, ToothDepth
from gearchest.optimizer.domain.workshop import Way, Workshop
from gearchest.optimizer.making.blank import Blank, cautions, design_blank
from gearchest.optimizer.making.divide import nearest
from gearchest.optimizer.making.head_shafts import ShaftFit
from gearchest.optimizer.making.involute import face_area
from gearchest.optimizer.making.job import Wish, job_for, loose_teeth
from gearchest.optimizer.making.material import stock_bar
from gearchest.optimizer.making.measuring import span
from gearchest.optimizer.making.offers import sift
from gearchest.optimizer.making.sheet import blank_sheet
from gearchest.optimizer.making.shift import shift_effects
from gearchest.optimizer.making.spacing import Spacing
from gearchest.optimizer.making.tooth_load import LoadCase, load_cases

TABLES = making_tables()
STRONG = replace(TABLES, strength=tooth_strength())
MAKING = GearMaking(Fraction(2), Fraction(20), Fraction(12), 14.0, "5x2.3")
TAN, COS = math.tan(math.radians(20)), math.cos(math.radians(20))


def lathe(owned=(20, 25, 40, 40, 63), making=MAKING, **more) -> Lathe:
    loose = tuple((making.gear(t), n) for t, n in sorted(Counter(owned).items()))
    return Lathe("bench", mm(3), making, Chest(loose), **more)


def test_the_blank_by_its_numbers():
    """60 mm on the pitch circle, 2.25 modules deep; each tooth 0.04 mm thin, so sunk 0.055 mm."""
    blank = design_blank(MAKING, 30)
    assert (blank.pitch_diameter, blank.tip_diameter) == (60, 64)
    assert (blank.whole_depth, blank.root_diameter) == (4.5, 55)
    assert (blank.face_width, blank.bore, blank.keyway) == (12, 14, Keyway(5, 2.3))
    assert (blank.shift, blank.thinning) == (0, pytest.approx(0.04))
    assert blank.base_diameter == pytest.approx(56.38156)
    assert blank.thickness == pytest.approx(math.pi - 0.04)
    assert blank.depth_of_cut == pytest.approx(4.5 + 0.02 / TAN)
    assert blank.cut_root_diameter == pytest.approx(55 - 0.04 / TAN)
    assert blank.rim == pytest.approx((55 - 0.04 / TAN) / 2 - math.hypot(9.3, 2.5))
    assert blank.rim_share == pytest.approx(blank.rim / 4.5)
    # the land at the tip: half a tooth on the pitch circle, less what the involute takes of it
    tip = math.acos(60 * COS / 64)
    narrower = (math.tan(tip) - tip) - (TAN - math.radians(20))
    assert blank.tip_thickness == pytest.approx(64 * ((math.pi - 0.04) / 60 - narrower))
    bare = design_blank(GearMaking(Fraction(2)), 30, thinning=0.0)
    assert (bare.bore, bare.keyway, bare.face_width) == (0, None, 16)


def test_the_sheet_by_its_numbers():
    """Steel at 7.85 g/cm3; the cutter of 26 to 34 teeth, of 30 to 34 in the set of fifteen; pins
    nearest 1.728 modules, 3.456 mm."""
    sheet = blank_sheet(lathe(), 30, STRONG)
    steel = STRONG.material("steel")
    assert (sheet.refusal, sheet.cautions, sheet.pair_backlash) == ("", (), pytest.approx(0.08))
    assert (sheet.bar.diameter, sheet.bar.length, sheet.bar.common) == (70, 14, True)  # over 66
    assert sheet.bar.weight == pytest.approx(math.pi * 35**2 * 14 * 7.85 / 1000)
    assert sheet.weight == pytest.approx(face_area(sheet.blank) * 12 * 7.85 / 1000, rel=1e-9)
    assert sheet.weight == pytest.approx(math.pi * (30**2 - 7**2) * 12 * 7.85 / 1000, rel=0.02)
    assert [(c.teeth_from, c.teeth_to) for c in sheet.cutters] == [(26, 34), (30, 34)]
    assert sheet.owned_cutter is None
    cutting = sheet.cutting
    rpm = 1000 * steel.surface_speed / (math.pi * 60)
    assert (cutting.surface_speed, cutting.cutter_diameter) == (steel.surface_speed, 60)
    assert rpm - 10 < cutting.rpm <= rpm
    assert cutting.feed == round(cutting.rpm * 12 * 0.03)
    measures = sheet.measures
    assert measures.division == 0.02
    assert measures.span == span(sheet.blank, 0.02)
    assert measures.pins.pin == pytest.approx(3.456)
    assert [found.pin for found in measures.at_hand] == [3.5, 3.4, 3.6]
    assert measures.chordal.ideal == pytest.approx(60 * math.sin(math.pi / 60))
    assert measures.chordal.height == pytest.approx(2 + 30 * (1 - math.cos((math.pi - 0.04) / 60)))
    assert [head.head for head in sheet.heads] == [COMMON_HEAD]
    assert [(way.index, way.step) for way in sheet.dividers] == []
    assert (sheet.wheel.teeth, sheet.wheel.reading) == (30, Fraction(1, 10))
    assert (sheet.standard_module, sheet.last_carries_most) == (True, False)
    assert [effect.mate for effect in sheet.shift_effects] == []
    (cost,) = sheet.costs
    assert (cost.way, cost.cutter, cost.hours) == (Way.MILL, 30, Fraction(3, 2))
    assert cost.labour == 15
    assert cost.material == Fraction(round(sheet.bar.weight)) / 1000 * steel.price
    # 1.5 N m on 30 mm, and on the 20 mm of the least gear owned
    loads = [(share.case.newtons, share.material) for share in sheet.load_shares]
    assert [load for load, name in loads if name == "steel"] == [pytest.approx(50), 75]
    assert [name for _, name in loads[:5]] == ["steel", "acetal", "nylon", "pla", "petg"]
    assert not any(share.case.idler for share in sheet.load_shares)
    assert all(share.share > 0 for share in sheet.load_shares)


def test_the_sheet_of_a_gear_that_is_refused_says_why_and_not_how():
    refused = blank_sheet(lathe(), 12, STRONG)
    assert refused.refusal
    assert (refused.cautions, refused.weight, refused.measures) == ((), None, None)
    assert (refused.costs, refused.load_shares) == ((), ())
    assert refused.bar is not None


def test_what_is_not_milled_is_not_told_a_cutter_s_speed():
    printed = blank_sheet(lathe(making=replace(MAKING, material="pla")), 30, TABLES)
    assert printed.material.surface_speed == 0
    assert printed.cutting is None
    assert blank_sheet(lathe(making=replace(MAKING, material="brass")), 30, TABLES).cutting


def test_where_the_preferred_pin_drops_below_the_tips_it_is_left_out():
    """Of a 12 with a shift of 0.6 pins from 3.505 mm on stand proud; 1.728 modules are 3.456."""
    making = replace(MAKING, bore=6.0, keyway="")
    sheet = blank_sheet(lathe(making=making), 12, TABLES, Wish(shift=0.6))
    assert sheet.measures.pin_range.least > 3.456
    assert sheet.measures.pins is None
    assert [found.pin for found in sheet.measures.at_hand] == [3.6, 3.7, 3.8]


def test_a_shift_moves_the_mate_by_what_the_involutes_say():
    """24 teeth shifted by 0.3 beside 40: inv a' = inv a + 2 tan a x / z, solved by halving."""
    blank = design_blank(MAKING, 24, shift=0.3)

    def inv(angle):
        return math.tan(angle) - angle

    alpha = math.radians(20)
    working = brentq(lambda a: inv(a) - inv(alpha) - 2 * TAN * 0.3 / 64, 0.1, 1.2)
    (effect,) = shift_effects(blank, (40,))
    assert (effect.mate, effect.centre_distance) == (
        40,
        pytest.approx(64 * COS / math.cos(working)),
    )
    assert effect.moved == pytest.approx(effect.centre_distance - 64)
    assert 0.5 < effect.moved < 0.6  # a little less than 0.3 modules
    # of a chest of many: the least, a middling and the largest
    sheet = blank_sheet(lathe(owned=(63, 20, 25, 40, 80)), 24, TABLES, Wish(shift=0.3))
    assert [effect.mate for effect in sheet.shift_effects] == [20, 40, 80]


def test_a_wish_goes_before_the_workshop_and_the_workshop_before_what_is_usual():
    shop = Workshop(backlash=0.1)
    for machine, wish, backlash in (
        (lathe(), Wish(), 0.08), (lathe(workshop=shop), Wish(), 0.1),
        (lathe(workshop=shop), Wish(backlash=0.2), 0.2), (lathe(), Wish(backlash=0.0), 0.0),
    ):  # fmt: skip
        job = job_for(machine, 30, wish)
        assert job.backlash == pytest.approx(backlash)
        assert job.blank.thinning == pytest.approx(backlash / 2)
    engraved = job_for(lathe(), 30, Wish(depth=Fraction(43, 10))).blank
    assert engraved.whole_depth == pytest.approx(4.3)
    assert job_for(lathe(), 12, Wish(cure=True)).blank.shift == pytest.approx(
        1 - 12 * math.sin(math.radians(20)) ** 2 / 2
    )
    assert job_for(lathe(), 12).blank.shift == 0


def test_gears_that_do_not_go_on_the_head_s_shafts_gear_no_plate():
    """63 by the differential on a head whose shafts are thicker than the lathe's bores, or not."""
    owned = (24, 48, 40, 40, 20, 28, 32, 56, 64)
    for bore, fit in ((13.0, ShaftFit.BUSHED), (14.5, ShaftFit.NO), (None, ShaftFit.UNKNOWN)):
        head = DividingHead("head", 40, (20, 37), ((20,), (37,)), bore=bore)
        (ways,) = job_for(lathe(owned, dividing=(head,)), 51).heads
        assert ways.shafts is fit
        assert ways.best is ways.ways[0]
        assert any(way.gears for way in ways.ways) == (fit is not ShaftFit.NO)
        assert ways.spacing.screw_pitch == 3


def test_only_gears_that_mesh_with_it_serve():
    finer = Gear(40, Fraction(1), Fraction(20))
    steeper = Gear(50, Fraction(2), Fraction(29, 2))
    chest = Chest(((MAKING.gear(20), 2), (finer, 1), (steeper, 1), (MAKING.gear(30), 1)))
    assert loose_teeth(chest, MAKING.gear(99)) == (20, 20, 30)
    machine = replace(lathe(), chest=chest)
    cases = load_cases(machine, MAKING.gear(60))
    assert [(case.use, case.newtons) for case in cases] == [
        ("on the screw", 25.0), ("driving 20 teeth on the screw", 75.0),
    ]  # fmt: skip
    assert [c.use for c in load_cases(replace(machine, chest=Chest(())), MAKING.gear(60))] == [
        "on the screw"
    ]
    assert LoadCase("a", 1.0) == LoadCase("a", 1.0, idler=False)


@pytest.mark.parametrize(
    ("module", "teeth", "single", "total"),
    # ISO 1328-1:2013, class 5 (formulas from memory), thousandths of a mm: at d 300, m 3
    # 0.3 + 1.2 + 5 and 0.6 + 0.55 x 17.3205 + 2.1 + 12; at d 20, m 1/2 the like
    [(3, 100, 6.5, 24.2263), ("1/2", 40, 0.02 + 0.2 + 5, 0.04 + 0.55 * 20**0.5 + 0.35 + 12)],
)
def test_the_spacing_grade_grows_with_diameter_and_module(module, teeth, single, total):
    blank = design_blank(GearMaking(Fraction(module)), teeth)
    for share, grade in ((0.4, 5), (0.999, 5), (1.001, 6), (1.41, 6), (1.42, 7), (11.3, 12),
                         (11.4, None)):  # fmt: skip
        for place, least in ((0, single), (1, total)):
            off = [Fraction(0), Fraction(0)]
            off[place] = Fraction(share * least / 1000 / (math.pi * blank.pitch_diameter))
            way = SimpleNamespace(largest_spacing_error=off[0], accumulated_error=off[1])
            assert Spacing(way, blank, 0.2, 3.0).grade == grade


def test_what_a_division_does_is_said_in_a_unit_that_suits():
    blank = design_blank(MAKING, 63)
    for share, said in ((Fraction(1, 100), "0.03"), (Fraction(1, 30), "0.10 mm")):
        way = SimpleNamespace(largest_spacing_error=Fraction(0), accumulated_error=share)
        told = Spacing(way, blank, 0.2, 3.0).verdict
        unit = "30 µm" if said == "0.03" else said
        assert f"The thread wanders by {unit} at most" in told
    small = SimpleNamespace(
        largest_spacing_error=Fraction(1, 10**5), accumulated_error=Fraction(1, 10**5)
    )
    assert Spacing(small, blank, 0.2, 3.0).verdict.endswith("For a change gear it does not matter.")
    coarse = SimpleNamespace(
        largest_spacing_error=Fraction(1, 3000), accumulated_error=Fraction(1, 3000)
    )
    assert "Coarse and noisy" in Spacing(coarse, blank, 0.2, 3.0).verdict


def test_a_rim_just_thick_enough_is_not_told():
    """Whole depth 2.5, root 27, bore 21: 3 mm are 1.2 of it."""
    depth = ToothDepth("deep", Fraction(3, 2))
    made = Blank(Gear(30, Fraction(1)), depth, 8.0, bore=21.0)
    assert made.rim_share == 1.2
    assert cautions(made) == ()
    (told,) = cautions(replace(made, bore=21.1))
    assert told.startswith("Rim over the bore 2.95 mm, 1.18 of the whole depth: below 1.2")


def test_a_bore_that_just_reaches_the_root_leaves_no_metal():
    """Root 55 mm: no more than 0.00 mm below 55, into the teeth above."""
    for bore, said in ((55.0, "Only 0.00 mm of metal"), (55.5, "reaches 0.25 mm into the teeth")):
        making = replace(MAKING, bore=bore, keyway="")
        assert said in blank_sheet(lathe(making=making), 30, TABLES, Wish(backlash=0.0)).refusal


def test_what_is_printed_needs_no_cutter_and_is_priced_where_the_metal_is_not():
    shop = Workshop(ways=(Way.MILL, Way.PRINT, Way.PLATE), cutter_price=Fraction(44))
    costs = {cost.way: cost for cost in blank_sheet(lathe(workshop=shop), 30, TABLES).costs}
    assert {way: cost.cutter for way, cost in costs.items()} == {
        Way.MILL: 44, Way.PRINT: 0, Way.PLATE: 0,
    }  # fmt: skip
    pla = TABLES.material("pla")
    weight = math.pi * (30**2 - 7**2) * 12 * pla.density / 1000
    assert costs[Way.PRINT].material == pytest.approx(weight / 1000 * float(pla.price), rel=0.03)
    totals = [cost.total for cost in blank_sheet(lathe(workshop=shop), 30, TABLES).costs]
    assert totals == sorted(totals)
    odd = lathe(workshop=shop, making=replace(MAKING, material="unobtainium"))
    assert [cost.way for cost in blank_sheet(odd, 30, TABLES).costs] == [Way.PRINT]


def test_bars_are_looked_for_in_any_order():
    steel = TABLES.material("steel")
    blank = design_blank(MAKING, 30)
    assert stock_bar(blank, steel, (80.0, 66.0, 65.0, 70.0)).diameter == 66
    assert stock_bar(blank, steel, (65.0,)).diameter == 66
    assert not stock_bar(blank, steel, (65.0,)).common


def test_one_gear_without_a_rim_among_others_left_out_calls_the_bore_in_question():
    """12 teeth have no rim over this bore and one is owned; 64 are not divided by this head."""
    machine = lathe((12, 40), dividing=(DividingHead("direct", 1, (24,)),))
    offers = [Offer(MAKING.gear(12), Fraction(1)), Offer(MAKING.gear(64), Fraction(1), "cut")]
    notes = sift(machine, offers, TABLES).notes
    assert len(notes) == 3
    assert notes[-1].startswith("Yet gears of 12 teeth are owned")
    assert not any("Yet" in note for note in sift(machine, offers[1:], TABLES).notes)


def test_of_circles_that_serve_alike_the_nearest_setting_takes_the_largest():
    assert nearest(COMMON_HEAD, 8).moves[0].circle == 49
    assert nearest(COMMON_HEAD, 8).turns == 5


def test_less_than_a_twentieth_of_a_micrometre_is_nothing():
    blank = design_blank(MAKING, 63)
    around = math.pi * blank.pitch_diameter
    for pitch, total, nothing in ((4.9e-5, 4.9e-5, True), (5.2e-5, 0, False), (0, 5.2e-5, False)):
        way = SimpleNamespace(
            largest_spacing_error=Fraction(pitch / around),
            accumulated_error=Fraction(total / around),
        )
        assert ("Exact" in Spacing(way, blank, 0.2, 3.0).verdict) is nothing
