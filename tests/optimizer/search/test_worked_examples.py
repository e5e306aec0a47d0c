"""Trains worked out by others, found again.

Sources stand in the rows of tests/checks/*.csv; statuses there: SEEN was read in the source,
COMPUTED follows from the formula named, FROM MEMORY is a guide only and not used here.
"""

from __future__ import annotations

import csv
from fractions import Fraction
from itertools import combinations_with_replacement, permutations
from math import prod
from pathlib import Path

import oracle
import pytest
from drawn import MAKING, loose

from gearchest.optimizer.arm.placement import fit
from gearchest.optimizer.arm.result import Fits
from gearchest.optimizer.domain.gear import Chest
from gearchest.optimizer.domain.lathe import Banjo, Lathe, Slot
from gearchest.optimizer.domain.pitch import Pitch, mm, tpi
from gearchest.optimizer.domain.want import Allowance, Want
from gearchest.optimizer.search.reach import Bench
from gearchest.optimizer.search.result import Answer, Verdict

CHECKS = Path(__file__).parents[2] / "checks"
PPM = Fraction(1, 10**6)


def rows(name: str) -> list[dict[str, str]]:
    with (CHECKS / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def pitch_of(value: str, unit: str) -> Pitch:
    if unit == "tpi":
        return tpi(value)
    return Pitch(Fraction(value), pi=unit == "module")


def teeth_of(text: str) -> tuple[int, ...]:
    return tuple(int(z) for z in text.split())


def unmeasured(leadscrew: Pitch, *gears: int, studs: int = 1) -> Lathe:
    return Lathe("worked", leadscrew, MAKING, Chest(loose(*gears)), unmeasured_studs=studs)


def trains(lathe: Lathe, pitch: Pitch, allowed: Fraction) -> tuple[Answer, ...]:
    return Bench(lathe).reach(Want("worked", pitch, Allowance(allowed)), most=None).trains


def order_of(answer: Answer) -> tuple[tuple[int, ...], tuple[int, ...]]:
    train = answer.train
    return tuple(g.teeth for g in train.drivers), tuple(g.teeth for g in train.driven)


CHANGE_GEARS = rows("change_gears.csv")


def test_the_change_gear_table_is_whole() -> None:
    assert sum("SEEN" in row["status"] for row in CHANGE_GEARS) == 32
    assert all(len(teeth_of(row["drivers"])) <= 2 for row in CHANGE_GEARS)


@pytest.mark.parametrize("row", CHANGE_GEARS, ids=lambda row: f"row-{row['id']}")
def test_printed_change_gears(row: dict[str, str]) -> None:
    """Given exactly those gears and no measured arm: that train, that error; or the same gears
    in an order the shop rule allows (rows 6 and 76: 18 + 36 < 48 + 15, 50 + 60 < 113 + 15)."""
    drivers, driven = teeth_of(row["drivers"]), teeth_of(row["driven"])
    lathe = unmeasured(pitch_of(row["lead_screw"], row["lead_unit"]), *drivers, *driven)
    wanted = pitch_of(row["target"], row["target_unit"])
    printed = float(row["error_ppm"])
    allowed = Fraction(abs(printed)) * PPM + PPM / 100
    found = [
        answer
        for answer in trains(lathe, wanted, allowed)
        if tuple(map(sorted, order_of(answer))) == (sorted(drivers), sorted(driven))
    ]
    assert found
    kept = {order_of(answer) for answer in found}
    if row["id"] in ("6", "76"):
        assert (drivers, driven) not in kept
    else:
        assert (drivers, driven) in kept
    for answer in found:
        assert float(answer.error) * 1e6 == pytest.approx(printed, abs=6e-4)
        assert answer.fit.fits is Fits.UNCHECKED
        assert answer.verdict is (Verdict.EXACT if printed == 0 else Verdict.IN_TOLERANCE)
        actual = float(answer.train.ratio) * lathe.leadscrew.mm
        assert actual == pytest.approx(float(row["resulting_pitch_mm"]), abs=6e-7)


def test_the_four_gear_benchmark() -> None:
    """Ratio 1/6.931 from four gears of 12 to 60 teeth (Sandgren, J. Mech. Des. 112(2), 1990):
    the best three. A screw of 6.931 mm and a pitch of 1 mm ask for just that ratio."""
    benchmark = rows("gear_train_benchmark.csv")
    lathe = unmeasured(mm("6.931"), *[z for z in range(12, 61) for _ in range(2)])
    found = trains(lathe, mm(1), 40 * PPM)
    pairs: dict[tuple[int, int], list[tuple[tuple[int, ...], tuple[int, ...]]]] = {}
    for answer in found:
        drivers, driven = order_of(answer)
        if len(drivers) == 2:
            pairs.setdefault((prod(drivers), prod(driven)), []).append(order_of(answer))
    # Best first: the first of the list has the smallest error of all.
    assert abs(found[0].error) == abs(Fraction(304, 2107) * Fraction("6.931") - 1)
    for row in benchmark:
        top, bottom = int(row["numerator_product"]), int(row["denominator_product"])
        hung = pairs[top, bottom]
        assert {tuple(sorted(d)) for d, _ in hung} <= {
            tuple(map(int, pair.split("x"))) for pair in row["driver_pairs"].split(" | ")
        }
        assert {tuple(sorted(d)) for _, d in hung} == {
            tuple(map(int, row["driven_pairs"].split("x")))
        }
        error = Fraction(top, bottom) * Fraction("6.931") - 1
        assert float(error) * 1e6 == pytest.approx(float(row["error_ppm"]), abs=1e-3)
    # First to third and nothing between them: every four-gear ratio, counted out.
    products = sorted({a * b for a, b in combinations_with_replacement(range(12, 61), 2)})
    # |6.931 a/b - 1| <= 40 ppm, multiplied out to whole numbers.
    close = {(a, b) for a in products for b in products if abs(6931 * a - 1000 * b) * 25 <= b}
    assert {Fraction(*pair) for pair in pairs} <= {Fraction(*pair) for pair in close}
    ranked = sorted({abs(Fraction(*pair) * Fraction("6.931") - 1) for pair in close})
    printed = [Fraction(float(row["error_ppm"])) * PPM for row in benchmark]
    assert [float(e) for e in ranked[:2]] == pytest.approx(
        [float(printed[0]), float(printed[1])], rel=1e-4
    )


def test_the_benchmark_ratio_by_three_pairs_is_no_worse() -> None:
    """With two studs the same gears come closer, or as close."""
    gears = (16, 19, 43, 49, 20, 40)
    one, two = (unmeasured(mm("6.931"), *gears, studs=n) for n in (1, 2))
    assert abs(trains(two, mm(1), 40 * PPM)[0].error) <= abs(trains(one, mm(1), 40 * PPM)[0].error)


# ---------------------------------------------------------------- three pairs

SIXTY_THREE = [
    # An 8 tpi screw and a 63: 1 mm asks for 40/127 of a turn; 63/200 is 1/8000 too much, so
    # every pitch so derived errs by 125 ppm exactly. COMPUTED, exact fractions.
    ("0.7", (63, 40, 35), (80, 50, 100)),
    ("0.45", (63, 20, 45), (80, 50, 100)),
    ("1.75", (63, 70, 40), (80, 50, 80)),
    ("0.35", (63, 35, 20), (80, 50, 100)),
]


@pytest.mark.parametrize(("pitch", "drivers", "driven"), SIXTY_THREE)
def test_sixty_three_tooth_tables_with_three_pairs(
    pitch: str, drivers: tuple[int, ...], driven: tuple[int, ...]
) -> None:
    """160/63 stands for 2.54 (ratio_approximations.csv: -124.984 ppm the other way about)."""
    assert Fraction(prod(drivers), prod(driven)) == Fraction(63, 200) * Fraction(pitch)
    found = trains(unmeasured(tpi(8), *drivers, *driven, studs=2), mm(pitch), Fraction(1, 8000))
    assert {a.error for a in found if len(a.train.drivers) == 3} == {Fraction(1, 8000)}
    assert set(map(order_of, found)) >= allowed_orders(drivers, driven)


@pytest.mark.parametrize(
    ("value", "drivers", "driven"),
    [
        ("399/127 (pi)=19*21/127", (38, 42, 50), (127, 20, 25)),
        ("776/247 (pi)=8*97/(13*19)", (97, 40, 60), (65, 38, 30)),
        ("157/50 (pi)", (157, 30, 40), (50, 30, 40)),
        ("333/106 (pi)", (74, 45, 30), (53, 30, 20)),
        ("1447/49", (), ()),
    ],
)
def test_double_compound_trains_from_approximations(
    value: str, drivers: tuple[int, ...], driven: tuple[int, ...]
) -> None:
    """Approximations of pi spread over three pairs cut a worm with the error printed."""
    row = next(r for r in rows("ratio_approximations.csv") if r["name"].startswith(value[:8]))
    approximation = Fraction(value.split(" ")[0].split("(")[0])
    assert float(approximation) == pytest.approx(float(row["value"]), abs=6e-10)
    if not drivers:
        # 1447 is prime: no train of such gears can have it.
        assert all(1447 % z for z in range(2, 200))
        return
    ratio = Fraction(prod(drivers), prod(driven))
    screw = mm(approximation / ratio)
    lathe = unmeasured(screw, *drivers, *driven, studs=2)
    printed = float(row["error_ppm"])
    worm = Pitch(Fraction(1), pi=True)
    found = [
        answer
        for answer in trains(lathe, worm, Fraction(abs(printed) + 1) * PPM)
        if len(answer.train.drivers) == 3 and answer.train.ratio == ratio
    ]
    assert {order_of(a) for a in found} >= allowed_orders(drivers, driven)
    for answer in found:
        assert float(answer.error) * 1e6 == pytest.approx(printed, abs=6e-4)


def allowed_orders(
    drivers: tuple[int, ...], driven: tuple[int, ...]
) -> set[tuple[tuple[int, ...], tuple[int, ...]]]:
    """Every order of three pairs that keeps the shop rule: at least one."""
    kept = {
        (a, b)
        for a in permutations(drivers)
        for b in permutations(driven)
        if all(a[k] + b[k] >= a[k + 1] + 15 and a[k + 1] + b[k + 1] >= b[k] + 15 for k in range(2))
    }
    assert kept
    return kept


# ---------------------------------- 1 mm on a 16 tpi screw (common practice, no source)

ARM = Banjo(axis_distance=90.0, slots=(Slot(10.0, 110.0),), gap=0.5)
"""A module-1 arm of the mini class, its axes 90 mm apart."""


def on_arm(axis: float, *gears: int) -> Lathe:
    arm = Banjo(axis, ARM.slots, gap=ARM.gap, driver_hub=10.0, stud_hub=10.0, screw_hub=10.0)
    return Lathe("mini class", tpi(16), MAKING, Chest(loose(*gears)), banjo=arm)


MINI = (20, 20, 30, 35, 40, 45, 50, 55, 57, 60, 65, 80, 80)


def ppm(answer: Answer) -> float:
    return float(answer.error) * 1e6


def test_the_mini_class_reaches_a_millimetre() -> None:
    """45-55-50-65 gives 1 mm less 874 ppm, on the arm."""
    found = trains(on_arm(90.0, *MINI), mm(1), Fraction(1, 1000))
    known = [a for a in found if order_of(a) == ((45, 50), (55, 65))]
    assert [round(ppm(a)) for a in known] == [-874]
    assert known[0].fit.fits is Fits.YES
    assert known[0].missing == ()


def test_the_better_train_fails_the_shop_rule_as_printed() -> None:
    """21-30-45-50 computes to 125 ppm; 21 + 30 = 51 < 45 + 15."""
    lathe = unmeasured(tpi(16), 21, 30, 45, 50)
    assert 21 * 45 * Fraction(127, 80) / (30 * 50) - 1 == Fraction(1, 8000)
    found = trains(lathe, mm(1), Fraction(1, 8000))
    assert ((21, 45), (30, 50)) not in set(map(order_of, found))
    assert {a.error for a in found} == {Fraction(1, 8000)}


@pytest.mark.parametrize("axis", [73.01, 75.0, 90.0])
def test_in_no_order_does_it_span_more_than_seventy_three_millimetres(axis: float) -> None:
    """146 teeth of module 1 come to 73 mm, however hung."""
    lathe = on_arm(axis, 21, 30, 45, 50)
    every = [t for t in oracle.trains(lathe) if len(t.drivers) == 2]
    exact = [t for t in every if oracle.ratio(t) == Fraction(63, 100)]
    assert len(exact) == 4
    for train in exact:
        found = fit(lathe, train)
        assert found.fits is Fits.NO
        assert oracle.place(lathe, train).fits is False
        assert any("short" in misfit for misfit in found.misfits)
    assert (
        Bench(lathe).reach(Want("1 mm", mm(1), Allowance(Fraction(1, 8000)))).verdict
        is Verdict.DOES_NOT_FIT
    )


def test_it_spans_where_the_axes_are_nearer() -> None:
    found = trains(on_arm(66.0, 21, 30, 45, 50), mm(1), Fraction(1, 8000))
    assert found
    assert {a.error for a in found} == {Fraction(1, 8000)}


def test_the_same_ratio_in_larger_gears_spans() -> None:
    """A third more on every pair: 28-40 for 21-30, and 54-60 or 63-70 for 45-50, which times
    4/3 would be 60 and 66 2/3."""
    for second in ((54, 60), (63, 70)):
        found = trains(on_arm(90.0, 28, 40, *second), mm(1), Fraction(1, 8000))
        assert found
        assert {a.error for a in found} == {Fraction(1, 8000)}
        assert all(a.fit.fits is Fits.YES for a in found)
