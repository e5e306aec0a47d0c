"""One answer to "can this gear be had": plan, offers file and blank sheets say the same."""

from dataclasses import replace
from fractions import Fraction
from functools import cache
from pathlib import Path

import pytest

from gearchest.catalogs.lathes import example
from gearchest.catalogs.making import making_tables
from gearchest.cli.faults import FaultsError
from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.offers import default_offers, load_offers
from gearchest.cli.files.wants import load_wants
from gearchest.optimizer.domain.gear import Chest, Offer
from gearchest.optimizer.domain.lathe import DividingHead, Lathe
from gearchest.optimizer.domain.pitch import Pitch
from gearchest.optimizer.domain.want import Allowance, Want
from gearchest.optimizer.domain.workshop import Way, Workshop
from gearchest.optimizer.making.sheet import blank_sheet
from gearchest.optimizer.plan.formulate import ImpossibleError, Terms
from gearchest.optimizer.plan.planner import Question, make_plan
from gearchest.optimizer.plan.watch import Watch
from gearchest.optimizer.search.finder import Finder

TABLES = making_tables()
NAMES = ("instrument-repair", "mini-7-inch", "mini-7-metric", "american-12")
COUNTS = (8, 11, 12, 16, 17, 19, 20, 21, 24, 31, 53, 73, 97, 101, 127)


def bundled(name: str) -> Lathe:
    return load_lathe(Path(name))


def lathes() -> dict[str, Lathe]:
    """The bundled lathes, and shops that make fewer gears or more."""
    shop = bundled("instrument-repair")
    few = (DividingHead("plate of 15", 40, (15,)),)
    bare = replace(shop, chest=Chest(()))  # no change gears to divide by
    large = replace(shop.making, bore=None, keyway="")
    return {
        **{name: bundled(name) for name in NAMES},
        "a printer": replace(shop, workshop=Workshop(ways=(Way.PRINT,))),
        "a plate of 15": replace(shop, dividing=few),
        "a plate of 15, no change gears": replace(bare, dividing=few),
        "a plate of 15 and a printer": replace(
            bare, dividing=few, workshop=Workshop(ways=(Way.MILL, Way.PRINT))
        ),
        "a plate on the spindle": replace(bare, dividing=(DividingHead("direct", 1, (24, 60)),)),
        "hardly any backlash": replace(bare, workshop=Workshop(backlash=0.002)),
        "no bore": replace(shop, making=large),
        "no bore and a printer": replace(shop, making=large, workshop=Workshop(ways=(Way.PRINT,))),
    }


LATHES = lathes()


@cache
def made(name: str) -> frozenset[int]:
    """Tooth counts the blank sheets accept."""
    return frozenset(z for z in COUNTS if not blank_sheet(LATHES[name], z, TABLES).refusal)


class _SeenError(Exception):
    pass


class _Looking(Finder):
    """Notes the candidates it is to find options with, and finds none."""

    def __init__(self) -> None:
        self.seen: set[int] = set()

    def find(self, lathe, wants, candidates, most_missing, **how):
        self.seen.update(gear.teeth for gear, _ in candidates)
        raise _SeenError


def planned(lathe: Lathe, how: str) -> set[int]:
    """Tooth counts a plan takes for candidates."""
    looking = _Looking()
    offered = [Offer(lathe.making.gear(z), Fraction(1), how) for z in COUNTS]
    with pytest.raises(_SeenError):
        make_plan([lathe], wants_for(lathe), offered, Question(), Watch(), TABLES, looking)
    return looking.seen


def wants_for(lathe: Lathe) -> list[Want]:
    return [Want("any", lathe.leadscrew, Allowance(Fraction(1, 1000)))]


def offered_cut(folder: Path, lathe: Lathe, price: str) -> set[int]:
    """Tooth counts an offers file may hold as gears to cut."""
    path = folder / "offers.csv"
    lines = [f"{teeth},{price},cut" for teeth in COUNTS]
    path.write_text("teeth,price,how\n" + "\n".join(lines) + "\n")
    try:
        return {offer.gear.teeth for offer in load_offers(path, lathe)}
    except FaultsError as error:
        wrong = [fault for fault in error.faults if "cannot be cut here" in fault.problem]
        return set(COUNTS) - {int(fault.value) for fault in wrong}


@pytest.mark.parametrize("name", LATHES)
@pytest.mark.parametrize("price", ["", "5"])
def test_plan_offers_and_sheets_agree(tmp_path, name, price):
    lathe = LATHES[name]
    assert planned(lathe, "cut") == made(name)
    assert offered_cut(tmp_path, lathe, price) == made(name)


@pytest.mark.parametrize("name", LATHES)
def test_what_can_be_made_could_be_bought(name):
    lathe = LATHES[name]
    bought = planned(lathe, "buy")
    assert planned(lathe, "cut") <= bought
    for teeth in set(COUNTS) - bought:
        assert "keyway" in blank_sheet(lathe, teeth, TABLES).refusal


def test_the_shops_differ():
    """Or the agreement above would say little."""
    assert len({made(name) for name in LATHES}) >= 5


@pytest.mark.parametrize("ways", [(Way.MILL,), (Way.PRINT,)])
@pytest.mark.parametrize("teeth", [73, 97])
def test_a_gear_that_is_printed_or_divides_differentially_is_a_candidate(ways, teeth):
    lathe = replace(bundled("instrument-repair"), workshop=Workshop(ways=ways))
    screw = lathe.leadscrew.rational
    want = Want("needs it", Pitch(screw * 40 / teeth), Allowance(Fraction(0)))
    offer = Offer(lathe.making.gear(teeth), Fraction(14), "cut")
    plan = make_plan([lathe], [want], [offer], Question(most=1), Watch(), TABLES)
    assert [added.offer for added in plan.steps[1].gears] == [offer]
    assert plan.steps[1].covered == 1
    assert plan.steps[1].proven
    assert not plan.notes


def test_a_plan_recommends_only_gears_that_can_be_made():
    lathe = bundled("mini-7-inch")
    wants = load_wants(example().wants, lathe)
    question = Question(most=3)
    plan = make_plan([lathe], wants, default_offers(lathe), question, Watch(), TABLES)
    added = {gear.offer.gear.teeth for step in plan.steps for gear in step.gears}
    added |= {gear.teeth for step in plan.steps for gears in step.equally_good for gear in gears}
    assert added
    assert not [z for z in added if blank_sheet(lathe, z, TABLES).refusal]
    assert plan.notes == (
        "Not considered, as the keyway would leave too little metal under their teeth (20 teeth "
        "have enough): 16, 17, 18, 19.",
    )


def test_a_gear_that_must_be_in_and_cannot_be_had_says_why():
    lathe = bundled("mini-7-inch")
    terms = Terms(include=(lathe.making.gear(17),))
    offers = default_offers(lathe)
    with pytest.raises(ImpossibleError, match=r"gear 17 .* keyway reaches"):
        make_plan([lathe], wants_for(lathe), offers, Question(terms=terms), Watch(), TABLES)
