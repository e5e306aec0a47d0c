"""Which gears of a plan get a sheet, and for which threads their load is worked out."""

from collections import Counter
from fractions import Fraction

from gearchest.catalogs.making import making_tables
from gearchest.optimizer.domain.gear import Chest, Offer
from gearchest.optimizer.domain.lathe import GearMaking, Lathe
from gearchest.optimizer.domain.pitch import mm, tpi
from gearchest.optimizer.domain.want import Allowance, Want
from gearchest.optimizer.plan.cut_gears import cut_sheets
from gearchest.optimizer.plan.result import AddedGear, Plan, Step
from gearchest.optimizer.search.reach import Bench

MAKING = GearMaking(Fraction(1), Fraction(20), Fraction(8), 12.0, "3x1.4")
OWNED = (20, 20, 30, 35, 40, 40, 45, 50, 60, 80)


def step(number: int, *added: AddedGear) -> Step:
    none = Fraction(0)
    return Step(number, added, none, 0, none, none, 1, Fraction(1), True, none, "by hand")


def test_cut_gears_get_a_sheet_with_the_loads_of_their_threads():
    loose = tuple((MAKING.gear(t), n) for t, n in sorted(Counter(OWNED).items()))
    lathe = Lathe("bench", tpi(8), MAKING, Chest(loose))
    cut, bought = MAKING.gear(127), MAKING.gear(63)
    wants = tuple(
        Want(name, pitch, Allowance(Fraction(1, 100_000)))
        for name, pitch in [("metric", mm("1.25")), ("inch", tpi(16))]
    )
    benches = Bench(lathe), Bench(lathe, (cut, bought))
    states = tuple(tuple(bench.settle(want) for bench in benches) for want in wants)
    added = (
        AddedGear(Offer(cut, Fraction(1), "cut"), ("metric",)),
        AddedGear(Offer(bought, Fraction(1), "buy"), ()),
    )
    plan = Plan(lathe, wants, (step(0), step(2, *added)), states)
    (sheet,) = cut_sheets(plan, making_tables())
    assert sheet.blank.teeth == 127
    assert {share.case.use for share in sheet.load_shares} == {"metric"}
