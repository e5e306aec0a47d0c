"""Which gears of a plan get a sheet, and for which threads their load is worked out."""

from collections import Counter
from dataclasses import replace
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


def test_a_sheet_tells_the_trains_of_the_last_step_that_has_the_gear():
    """127 stands in two steps, 63 in the second alone, and 70 is of another module; in the third
    nothing is cut. Sheets by tooth count, each with the threads it cuts then."""
    loose = tuple((MAKING.gear(t), n) for t, n in sorted(Counter(OWNED).items()))
    lathe = Lathe("bench", tpi(8), MAKING, Chest(loose))
    large, small = MAKING.gear(127), MAKING.gear(63)
    other = replace(MAKING.gear(70), module=Fraction(5, 4))
    wants = tuple(
        Want(name, pitch, Allowance(Fraction(1, allowed)))
        for name, pitch, allowed in [
            ("metric", mm("1.25"), 100_000), ("coarse", mm("1.5"), 2000), ("inch", tpi(16), 10**6),
        ]
    )  # fmt: skip
    benches = [Bench(lathe), Bench(lathe, (large,)), Bench(lathe, (large, small)), Bench(lathe)]
    states = tuple(tuple(bench.settle(want) for bench in benches) for want in wants)
    cut = [AddedGear(Offer(gear, Fraction(1), "cut"), ()) for gear in (large, small, other)]
    steps = (step(0), step(1, cut[0]), step(3, *cut), step(4))
    sheets = cut_sheets(Plan(lathe, wants, steps, states), making_tables())
    assert [sheet.blank.teeth for sheet in sheets] == [63, 127]
    used = {
        teeth: {
            want.name for want, row in zip(wants, states, strict=True)
            if row[2].answer and teeth in [gear.teeth for gear in row[2].answer.train.gears]
        }
        for teeth in (63, 127)
    }  # fmt: skip
    assert used[127]
    names = {want.name for want in wants}
    for sheet in sheets:
        assert {share.case.use for share in sheet.load_shares} & names == used[sheet.blank.teeth]
