"""Which offers can be had, what is said of the others, and what a gear costs that is cut here."""

from collections import Counter
from dataclasses import replace
from fractions import Fraction

import pytest

from gearchest.catalogs.making import making_tables
from gearchest.optimizer.domain.gear import Chest, Offer
from gearchest.optimizer.domain.lathe import DividingHead, GearMaking, Lathe
from gearchest.optimizer.domain.pitch import tpi
from gearchest.optimizer.making.job import job_for_gear
from gearchest.optimizer.making.offers import cheapest, sift
from gearchest.optimizer.making.sheet import blank_sheet

MAKING = GearMaking(Fraction(1), Fraction(20), Fraction(8), 12.0, "3x1.4")
TABLES = making_tables()


def lathe(owned=(20, 40, 60), **more) -> Lathe:
    loose = tuple((MAKING.gear(t), n) for t, n in sorted(Counter(owned).items()))
    return Lathe("bench", tpi(8), MAKING, Chest(loose), **more)


def offers(*teeth, how="buy"):
    return [Offer(MAKING.gear(z), Fraction(1), how) for z in teeth]


@pytest.mark.parametrize("teeth", [20, 36, 63, 101, 127])
def test_a_gear_costs_what_its_sheet_says(teeth):
    machine = lathe()
    cost = cheapest(job_for_gear(machine, MAKING.gear(teeth)), TABLES)
    assert cost == blank_sheet(machine, teeth, TABLES).costs[0]


def test_no_price_is_made_up_for_a_material_nobody_listed():
    odd = replace(lathe(), making=replace(MAKING, material="unobtainium"))
    assert cheapest(job_for_gear(odd, odd.making.gear(40)), TABLES) is None
    assert not sift(odd, [Offer(odd.making.gear(40), Fraction(1), "cut")], TABLES).left_out


def test_gears_without_a_rim_are_left_out_bought_or_cut_with_one_reason_for_all():
    found = sift(lathe(), offers(16, 19, 20, 63), TABLES)
    assert [offer.gear.teeth for offer in found.kept] == [20, 63]
    assert found.notes == (
        "Not considered, as the keyway would leave too little metal under their teeth (20 teeth "
        "have enough): 16, 19.",
    )
    assert [gear.teeth for gear, _ in found.candidates] == [20, 63]
    cut = sift(lathe(), offers(16, 20, how="cut"), TABLES)
    assert [offer.gear.teeth for offer in cut.kept] == [20]
    assert cut.notes[0].startswith("Not considered for cutting, as the keyway")
    assert "keyway" in found.why_not(MAKING.gear(16)).why
    assert found.why_not(MAKING.gear(20)) is None
    assert found.why_not(MAKING.gear(99)) is None  # nobody offers it


def test_a_gear_that_can_be_bought_may_be_one_that_cannot_be_cut():
    coarse = lathe(owned=(), dividing=(DividingHead("direct", 1, (24,)),))
    mixed = [*offers(63), *offers(24, 63, how="cut")]
    found = sift(coarse, mixed, TABLES)
    assert [(o.gear.teeth, o.how) for o in found.kept] == [(63, "buy"), (24, "cut")]
    assert found.notes == (
        "Not considered for cutting, as direct would leave teeth that bind: 63.",
    )
    assert found.why_not(MAKING.gear(63)) is None


def test_a_gear_owned_that_could_not_be_is_pointed_at():
    assert not any("Yet" in note for note in sift(lathe(), offers(16), TABLES).notes)
    *_, doubt = sift(lathe(owned=(16, 40)), offers(17), TABLES).notes
    assert doubt.startswith("Yet gears of 16 teeth are owned")


def test_another_module_is_judged_by_this_lathe_s_bore():
    coarser = replace(MAKING.gear(14), module=Fraction(2))
    finer = replace(MAKING.gear(20), module=Fraction(1, 2))
    found = sift(lathe(), [Offer(coarser, Fraction(1)), Offer(finer, Fraction(1))], TABLES)
    assert [offer.gear for offer in found.kept] == [coarser]
