"""What selling gears costs: threads cut without error before, and with one after."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest
from stopping import StopsAt

from gearchest.catalogs.making import making_tables
from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.offers import load_offers
from gearchest.cli.files.wants import load_wants
from gearchest.optimizer.domain.gear import Chest, Gear, PinnedPair
from gearchest.optimizer.domain.lathe import GearMaking, Lathe
from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.domain.want import Allowance, Want
from gearchest.optimizer.plan.demand import SolverLimits
from gearchest.optimizer.plan.planner import Question, make_plan
from gearchest.optimizer.plan.result import Spare
from gearchest.optimizer.plan.spare import spare_gears
from gearchest.optimizer.plan.watch import Watch
from gearchest.optimizer.search.reach import reach
from gearchest.optimizer.search.result import Verdict

SMALL = Path(__file__).parents[2] / "bench" / "small"


def test_threads_no_longer_without_error_are_named() -> None:
    lathe = load_lathe(SMALL / "lathe.toml")
    wants = load_wants(SMALL / "wants.csv", lathe)
    offers = load_offers(SMALL / "offers.csv", lathe)
    question = Question(most=0, spare=True)
    spare = make_plan([lathe], wants, offers, question, Watch(), making_tables()).spare
    assert spare is not None
    assert spare.together
    kept = Counter(dict(lathe.chest.loose)) - Counter(spare.together)
    poorer = replace(lathe, chest=Chest(tuple(kept.items()), lathe.chest.pinned))
    lost = []
    for want in wants:
        before, after = reach(lathe, want).verdict, reach(poorer, want).verdict
        assert after.covered or not before.covered
        if before is Verdict.EXACT and after is not Verdict.EXACT:
            lost.append(want.name)
    assert list(spare.inexact) == lost


def test_a_thread_that_loses_its_exact_train_is_named_and_no_other() -> None:
    """41 has to stay for the second; then 20/41 does for the first, 2.4 % short, and 40 can go."""
    making = GearMaking(Fraction(1))
    chest = Chest(tuple((making.gear(z), 1) for z in (20, 40, 41)))
    lathe = Lathe("bench", mm(2), making, chest)
    wants = [
        Want(name, mm(pitch), Allowance(Fraction(allowed, 100)))
        for name, pitch, allowed in (
            ("loses it", Fraction(1), 5),
            ("keeps it", Fraction(40, 41), 0),
            ("never had it", Fraction(99, 100), 5),
        )
    ]
    plan = make_plan([lathe], wants, [], Question(most=0, spare=True), Watch(), making_tables())
    assert plan.spare is not None
    assert [gear.teeth for gear in plan.spare.together] == [40]
    assert plan.spare.inexact == ("loses it",)


def test_each_gear_that_can_go_alone_is_named_and_no_other() -> None:
    """By taking each away and asking for every thread again."""
    whole = load_lathe(SMALL / "lathe.toml")
    lathe = replace(whole, banjo=None, chest=Chest(whole.chest.loose[:9]))
    names = "0.5 mm", "1 mm", "1.75 mm", "14 tpi", "1 module"
    wants = [want for want in load_wants(SMALL / "wants.csv", lathe) if want.name in names]
    plan = make_plan([lathe], wants, [], Question(most=0, spare=True), Watch(), making_tables())
    assert plan.spare is not None

    def cut(chest: Chest) -> set[str]:
        machine = replace(lathe, chest=chest)
        return {want.name for want in wants if reach(machine, want).verdict.covered}

    needed = cut(lathe.chest)
    owned = Counter(dict(lathe.chest.loose))
    alone = [
        gear for gear in owned if cut(Chest(tuple((owned - Counter([gear])).items()))) >= needed
    ]
    assert needed == set(names)
    assert 0 < len(alone) < len(owned)
    assert set(plan.spare.each) == set(alone)


@pytest.mark.parametrize("drawn", range(6))
def test_no_more_gears_can_go_together(drawn: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """By asking for every thread with every set of gears that could be kept; gears owned twice
    among them. The solver, asked where there are too many sets to look at, says the same."""
    rng = random.Random(drawn)
    whole = load_lathe(SMALL / "lathe.toml")
    teeth = rng.sample([gear for gear, _ in whole.chest.loose], 5)
    chest = Chest(tuple((gear, 1 + (gear in teeth[:2])) for gear in teeth))
    lathe = replace(whole, banjo=None, chest=chest)
    every = load_wants(SMALL / "wants.csv", lathe)
    now = [(want, reach(lathe, want)) for want in every]
    wants = [want for want, found in now if found.verdict.covered][:4]
    copies = [gear for gear, count in chest.loose for _ in range(count)]

    def all_cut(kept: Sequence[Gear]) -> bool:
        machine = replace(lathe, chest=Chest(tuple(Counter(kept).items())))
        return all(reach(machine, want).verdict.covered for want in wants)

    sizes = range(len(copies) + 1)
    fewest = next(n for n in sizes if any(map(all_cut, combinations(copies, n))))

    def told() -> Spare:
        question = Question(most=0, spare=True)
        spare = make_plan([lathe], wants, [], question, Watch(), making_tables()).spare
        assert spare is not None
        return spare

    looked = told()
    assert looked.proven
    assert len(looked.together) == len(copies) - fewest
    assert all_cut(list((Counter(copies) - Counter(looked.together)).elements()))
    monkeypatch.setattr("gearchest.optimizer.plan.spare.MOST_LOOKED_AT", 0)
    assert told() == looked


def test_pinned_gears_stay_and_cannot_be_sold() -> None:
    """20/60 x 30/50 through a pair of 60 and 30 cuts 0.4 mm on a 2 mm screw; only the 45 can go."""
    making = GearMaking(Fraction(1))
    pair = PinnedPair(replace(making.gear(30), unit="pair"), replace(making.gear(60), unit="pair"))
    chest = Chest(tuple((making.gear(z), 1) for z in (20, 45, 50)), (pair,))
    lathe = Lathe("bench", mm(2), making, chest)
    want = Want("wanted", mm("0.4"), Allowance(Fraction(0)))
    question = Question(most=0, spare=True)
    spare = make_plan([lathe], [want], [], question, Watch(), making_tables()).spare
    assert spare is not None
    assert [gear.teeth for gear in spare.together] == [45]


def spared(*teeth: int, wants: Sequence[str], seconds: float | None = None) -> Spare | None:
    """Of a bench with a leadscrew of 2 mm and these gears."""
    making = GearMaking(Fraction(1))
    counts = sorted(Counter(map(making.gear, teeth)).items(), key=lambda one: one[0].order)
    lathe = Lathe("bench", mm(2), making, Chest(tuple(counts)))
    wanted = [Want(pitch, mm(pitch), Allowance(Fraction(0))) for pitch in wants]
    return spare_gears([lathe], wanted, Watch(seconds), SolverLimits(1))


@pytest.mark.parametrize("looked_at", [22, 0])
@pytest.mark.parametrize(
    ("teeth", "wants", "together", "each"),
    [
        # 20/40 cuts 1 mm, and nothing else does
        ((20, 40, 40, 50, 60), ["1"], [40, 50, 60], [40, 50, 60]),
        # 20/40 or 30/60: either pair can go, and so each gear by itself
        ((20, 30, 40, 60), ["1"], [30, 60], [20, 30, 40, 60]),
        # 40/20 beside it takes the same gears; 0.5 mm two pairs of them
        ((20, 20, 40, 40), ["1", "4"], [20, 40], [20, 40]),
        ((20, 20, 40, 40), ["1", "0.5"], [], []),
        # 20/80 does for 0.5 mm as well, 40/80 for 1: of five gears three are kept
        ((20, 20, 40, 40, 80), ["1", "0.5"], [20, 40], [20, 40, 80]),
        # what is not cut now needs nothing
        ((20, 40, 73), ["1", "7"], [73], [73]),
        ((20, 40), [], [20, 40], [20, 40]),
    ],
)
def test_gears_that_can_go_together_and_each_alone(
    teeth: tuple[int, ...], wants: list[str], together: list[int], each: list[int],
    looked_at: int, monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    """By looking at every set that could be kept, and by the solver."""
    monkeypatch.setattr("gearchest.optimizer.plan.spare.MOST_LOOKED_AT", looked_at)
    spare = spared(*teeth, wants=wants)
    assert spare
    assert [gear.teeth for gear in spare.together] == together
    assert [gear.teeth for gear in spare.each] == each
    assert (spare.proven, spare.inexact) == (True, ())


@pytest.mark.parametrize("count", [63, 64, 65, 130])
def test_more_threads_than_a_word_has_bits(count: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each asked for twice and thrice is one no more gears are kept for; the last of them, and it
    alone, takes the 60."""
    making = GearMaking(Fraction(1))
    lathe = Lathe("bench", mm(2), making, Chest(tuple((making.gear(z), 1) for z in (20, 40, 60))))
    pitches = ["1", "4"] * count
    wanted = [Want(f"{n}", mm(pitch), Allowance(Fraction(0)))
              for n, pitch in enumerate([*pitches[: count - 1], "3"])]  # fmt: skip
    spare = spare_gears([lathe], wanted, Watch(), SolverLimits(1))
    assert spare
    assert spare.together == ()
    spare = spare_gears([lathe], wanted[:-1], Watch(), SolverLimits(1))
    assert spare
    assert [gear.teeth for gear in spare.together] == [60]


def test_without_time_nothing_is_said_of_gears_to_sell() -> None:
    assert spared(20, 40, wants=["1"], seconds=0.0) is None


def test_the_watch_is_looked_at_for_each_gear_and_each_set_judged() -> None:
    """Of eight gears, of which two are kept, 20/40 or 30/60 or 35/70; whichever look it is, nothing
    is said then."""
    making = GearMaking(Fraction(1))
    gears = tuple((making.gear(z), 1) for z in (20, 30, 35, 40, 60, 70, 71, 73))
    lathe = Lathe("bench", mm(2), making, Chest(gears))
    want = Want("1", mm(1), Allowance(Fraction(0)))
    watch = StopsAt(10**6)
    spare = spare_gears([lathe], [want], watch, SolverLimits(1))
    assert spare
    assert len(spare.together) == 6
    assert watch.looks >= 1 + 8 + 3
    for look in range(1, watch.looks + 1):
        assert spare_gears([lathe], [want], StopsAt(look), SolverLimits(1)) is None


def test_the_search_for_trains_is_stopped_with_the_watch(monkeypatch: pytest.MonkeyPatch) -> None:
    """It is asked with which gears trains lack of an empty chest, and by nobody else's watch."""
    asked: list[tuple[int, int]] = []

    def endless(
        lathe: Lathe, wants: object, candidates: list[object], seats: int, **how: Any
    ) -> None:
        asked.append((len(candidates), seats))
        assert lathe.chest.loose == ()
        assert how["workers"] == 3
        while True:
            how["ask"]()

    monkeypatch.setattr("gearchest.optimizer.plan.spare.find_options", endless)
    making = GearMaking(Fraction(1))
    chest = Chest(tuple((making.gear(z), 2) for z in (20, 40, 60)))
    lathe = Lathe("bench", mm(2), making, chest)
    want = Want("1", mm(1), Allowance(Fraction(0)))
    assert spare_gears([lathe], [want], StopsAt(5), SolverLimits(3)) is None
    two = replace(lathe, unmeasured_studs=2)
    assert spare_gears([lathe, two], [want], StopsAt(5), SolverLimits(3)) is None
    assert asked == [(3, 4), (3, 6)]
