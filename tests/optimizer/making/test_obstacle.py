"""Whether a gear can be had: every reason against it, and that its cure cures."""

from collections import Counter
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearchest.catalogs.making import making_tables
from gearchest.optimizer.domain.gear import Chest, Gear
from gearchest.optimizer.domain.lathe import DividingHead, GearMaking, Lathe
from gearchest.optimizer.domain.pitch import tpi
from gearchest.optimizer.domain.tooth import ToothDepth
from gearchest.optimizer.domain.workshop import Way, Workshop
from gearchest.optimizer.making.blank import Blank, design_blank
from gearchest.optimizer.making.job import Wish, job_for
from gearchest.optimizer.making.obstacle import blank_obstacle, obstacle, ways_here
from gearchest.optimizer.making.sheet import blank_sheet

MAKING = GearMaking(Fraction(1), Fraction(20), Fraction(8), 12.0, "3x1.4")
TABLES = making_tables()


def lathe(owned=(), making=MAKING, **more) -> Lathe:
    loose = tuple((making.gear(t), n) for t, n in sorted(Counter(owned).items()))
    return Lathe("bench", tpi(8), making, Chest(loose), **more)


def refusal(blank: Blank) -> str:
    against = blank_obstacle(blank)
    return against.why if against else ""


def why_not(machine: Lathe, teeth: int, **wish) -> str:
    against = obstacle(job_for(machine, teeth, Wish(**wish)), TABLES)
    return against.why if against else ""


def test_a_small_gear_on_a_large_bore_is_refused_with_the_reason_and_the_cure():
    reason = refusal(design_blank(MAKING, 16))
    assert "keyway" in reason
    assert "From 20 teeth up" in reason
    assert "7.5 mm or less" in reason
    assert not refusal(design_blank(MAKING, 20))
    assert not refusal(design_blank(replace(MAKING, bore=7.5), 16))


@given(st.integers(8, 60), st.floats(4, 30), st.booleans())
@settings(max_examples=80)
def test_the_cure_offered_for_a_refusal_does_cure_it(teeth, bore, keyed):
    making = replace(MAKING, bore=bore, keyway="3x1.4" if keyed else "")
    reason = refusal(design_blank(making, teeth))
    if "From" in reason:
        cured = int(reason.split("From ")[1].split(" ")[0])
        assert not refusal(design_blank(making, cured))
        assert refusal(design_blank(making, cured - 1))
        if "bore it" in reason:
            smaller = float(reason.split("bore it ")[1].split(" ")[0])
            assert not refusal(design_blank(replace(making, bore=smaller), teeth))


def test_too_few_teeth_and_pointed_teeth_are_refused():
    assert "too few" in refusal(design_blank(replace(MAKING, bore=2.0), 6))
    pointed = design_blank(replace(MAKING, bore=2.0, keyway=""), 10, shift=0.9)
    assert "pointed" in refusal(pointed)


def test_a_tenth_of_a_module_is_the_least_land_at_the_tip():
    """Common practice, no source; of a 10 of module 1, by halving the shift's range."""
    bare = replace(MAKING, bore=2.0, keyway="")
    low, high = 0.0, 0.9
    for _ in range(40):
        middle = (low + high) / 2
        wide = design_blank(bare, 10, shift=middle).tip_thickness > 0.1
        low, high = (middle, high) if wide else (low, middle)
    assert 0.1 < low < 0.8
    assert not refusal(design_blank(bare, 10, shift=low - 1e-6))
    assert "pointed" in refusal(design_blank(bare, 10, shift=high + 1e-6))


def test_a_shift_that_leaves_no_flank_is_refused():
    bare = replace(MAKING, bore=None, keyway="")
    assert "undercut takes the flanks" in refusal(design_blank(bare, 8, shift=-1.0))
    assert not refusal(design_blank(bare, 8))


COARSE = DividingHead("direct", 1, (24,))
FEW_HOLES = DividingHead("plate", 40, (15,))


def test_a_milled_gear_needs_a_head_that_divides_it():
    shop = lathe(dividing=(COARSE,))
    assert why_not(shop, 24) == ""
    assert "direct cannot divide by 63 at all" in why_not(shop, 63)
    few = lathe(dividing=(FEW_HOLES,))
    assert "0.040 mm of backlash: it would bind" in why_not(few, 127)
    # what it says of the tooth that comes out thick, by the sheet's own spacing
    spacing = job_for(few, 127).heads[0].spacing
    assert f"come out {spacing.pitch_error:.3f} mm too thick" in why_not(few, 127)
    assert not why_not(few, 127, backlash=spacing.pitch_error + 0.001)


def test_either_head_will_do():
    assert not why_not(lathe(dividing=(COARSE, FEW_HOLES)), 24)
    assert not why_not(lathe(dividing=(FEW_HOLES, COARSE)), 24)
    alone = {
        t: [not why_not(lathe(dividing=(head,)), t) for head in (COARSE, FEW_HOLES)]
        for t in range(20, 40)
    }
    by_one = [t for t, found in alone.items() if found.count(True) == 1]
    assert by_one
    for t in by_one:
        both = lathe(dividing=(COARSE, FEW_HOLES))
        assert job_for(both, t).divides
        assert not why_not(both, t)
    neither = next(t for t, found in alone.items() if not any(found))
    assert not job_for(lathe(dividing=(COARSE, FEW_HOLES)), neither).divides


def test_change_gears_divide_where_no_head_does():
    # an 81 on the spindle, a detent falling in every third tooth
    assert why_not(lathe(dividing=(COARSE,)), 27)
    assert not why_not(lathe(owned=(81,), dividing=(COARSE,)), 27)


@pytest.mark.parametrize("teeth", [9, 11])
def test_a_milled_gear_needs_a_cutter(teeth):
    bare = replace(MAKING, bore=4.0, keyway="")
    assert "Form cutters begin at 12 teeth" in why_not(lathe(making=bare), teeth)
    assert not why_not(lathe(making=bare), 12)
    printer = Workshop(ways=(Way.MILL, Way.PRINT))
    assert not why_not(lathe(making=bare, workshop=printer), teeth)


def test_only_ways_that_make_the_gear_are_priced():
    shop = lathe(dividing=(COARSE,), workshop=Workshop(ways=(Way.MILL, Way.PLATE)))
    assert set(ways_here(job_for(shop, 24), TABLES)) == {Way.MILL, Way.PLATE}
    assert ways_here(job_for(shop, 63), TABLES) == (Way.PLATE,)
    assert [cost.way for cost in blank_sheet(shop, 63, TABLES).costs] == [Way.PLATE]


def test_of_heads_that_do_not_divide_the_nearest_is_named():
    """24 holes and 360: 63 teeth come out nearer on the finer, whichever is listed first."""
    heads = (DividingHead("coarse", 1, (24,)), DividingHead("fine", 1, (360,)))
    for order in (heads, heads[::-1]):
        assert why_not(lathe(dividing=order), 63).startswith("Divided with fine ")


@given(
    st.integers(6, 140),
    st.floats(-1, 1),
    st.sampled_from(["20", "14.5"]),
    st.sampled_from([None, 6.0, 12.0]),
)
@settings(max_examples=30, deadline=None)
def test_every_gear_has_a_sheet_or_a_reason(teeth, shift, angle, bore):
    making = replace(MAKING, pressure_angle=Fraction(angle), bore=bore, keyway="")
    sheet = blank_sheet(lathe(making=making), teeth, TABLES, Wish(shift=shift))
    assert bool(sheet.refusal) == (sheet.measures is None)
    if sheet.measures:
        assert sheet.measures.span.with_backlash < sheet.blank.tip_diameter
        assert sheet.blank.rim > 0


def test_half_of_the_whole_depth_is_rim_enough_and_three_millimetres_a_bore():
    """Root 27 mm over a bore of 24.5: 1.25 mm are half of 2.5. An 8 of module 1: 5.5 mm less the
    whole depth of 2.25 leave 3.25 for a bore, by halves 3; of a 7.9 of that module too little."""
    deep = Blank(Gear(30, Fraction(1)), ToothDepth("deep", Fraction(3, 2)), 8.0, bore=24.5)
    assert deep.rim_share == 0.5
    assert not refusal(deep)
    assert refusal(replace(deep, bore=24.6)).startswith(
        "Only 1.20 mm of metal between the bore and the root of the teeth; at least 1.25 mm is "
        "needed. From 31 teeth up"
    )
    small = design_blank(replace(MAKING, bore=4.0, keyway=""), 8, thinning=0.0)
    assert "bore it 3 mm or less" in refusal(small)
    thinned = replace(small, thinning=0.2)  # sunk 0.27 mm
    assert "bore it" not in refusal(thinned)
