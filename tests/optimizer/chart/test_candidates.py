"""Which trains a thread of a chart may take, against every train there is."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import chart_checker
import pytest
from drawn import MAKING, STRENGTH, loose

from gearchest.optimizer.chart import candidates as module
from gearchest.optimizer.chart.candidates import candidates
from gearchest.optimizer.chart.share import share
from gearchest.optimizer.domain.gear import Chest, Gear, PinnedPair, Place
from gearchest.optimizer.domain.lathe import Banjo, Lathe, Policy, Slot
from gearchest.optimizer.domain.layout import LAYOUTS
from gearchest.optimizer.domain.pitch import mm, tpi
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.domain.want import Allowance, Travel, Want
from gearchest.optimizer.plan.watch import Watch
from gearchest.optimizer.search.trains import TrainSearch

ARM = Banjo(
    axis_distance=70.0137,
    slots=(Slot(15.0137, 90.0137), Slot(15.0137, 90.0137, 40.0)),
    gap=0.2537,
    driver_hub=12.0137,
    stud_hub=12.0137,
    screw_hub=12.0137,
)

PLAIN = Lathe(
    "plain", tpi(8), MAKING, Chest(loose(20, 30, 35, 40, 40, 45, 50, 60, 63)), banjo=ARM,
    strength=STRENGTH, policy=Policy(screw_torque=1.5),
)  # fmt: skip

PAIR = PinnedPair(*(replace(MAKING.gear(z), unit="pair") for z in (44, 55)))

IDLER = Gear(70, Fraction(1), places=frozenset({Place.IDLER}))

LATHES = {
    "one stud": PLAIN,
    "two studs": replace(
        PLAIN, chest=Chest(loose(20, 30, 40, 45, 60, 63)), banjo=replace(ARM, studs=2)
    ),
    "gearbox": replace(
        PLAIN,
        chest=Chest(loose(24, 30, 40, 44, 48, 60)),
        gearbox=(("A", Fraction(1)), ("B", Fraction(1, 2)), ("C", Fraction(4, 5))),
    ),
    "pinned pair": replace(PLAIN, chest=Chest(loose(20, 30, 35, 40, 50, 60, 65), (PAIR,))),
    "an idler of its own": replace(
        PLAIN, chest=Chest(loose(20, 30, 35, 40, 45, 50, 60, 63, IDLER))
    ),
    "unmeasured": replace(PLAIN, banjo=None),
}  # fmt: skip

PITCHES = [mm("1.25"), tpi(20), mm("1.13"), mm("0.77")]


@pytest.mark.parametrize("name", LATHES)
def test_within_four_demerits_and_exact_where_the_best_is(name: str) -> None:
    """The bands of demerits are filled: some trains lie just inside, some just outside."""
    lathe = LATHES[name]
    beyond = 0
    for pitch in PITCHES:
        for allowed in (Fraction(1, 100), Fraction(1, 20)):
            want = Want("a thread", pitch, Allowance(allowed))
            every = chart_checker.choices(lathe, want, most=40)
            assert every is not None
            due = {hung: cost for hung, cost in every.items() if cost <= min(every.values()) + 4}
            beyond += len(every) - len(due)
            found = candidates(lathe, [want])
            if not due:
                assert found.uncovered == (0,)
                continue
            (thread,) = found.question.threads
            got = {
                chart_checker.hung(found.train(0, setup)): cost
                for setup, cost in zip(
                    thread.setups.tolist(), thread.demerits.tolist(), strict=True
                )
            }
            assert got == due
            for setup in thread.setups.tolist():
                train = found.train(0, setup)
                assert chart_checker.demerits(lathe, want, train) == got[chart_checker.hung(train)]
    assert beyond


def test_where_there_are_too_many_each_has_its_first(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two threads with four trains and more each; nothing is said of charts with the others."""
    wants = [Want(str(pitch), pitch, Allowance(Fraction(1, 20))) for pitch in PITCHES[:2]]
    every = candidates(PLAIN, wants)
    assert every.question.whole
    monkeypatch.setattr(module, "PLENTY", 0)
    monkeypatch.setattr(module, "_MOST_TRAINS", 3)
    first = candidates(PLAIN, wants)
    assert not first.question.whole
    assert [len(trains) for trains in first.trains] == [3, 3]
    for some, trains in zip(first.trains, every.trains, strict=True):
        assert len(trains) > len(some)
        assert [some.train(k) for k in range(3)] == [trains.train(k) for k in range(3)]
    shared = share(first.question, Watch())
    assert first.question.serves[list(shared.order)].any(axis=0).all()
    assert (shared.bound, shared.weighed) == (0, False)


def test_as_many_trains_each_as_a_table_of_all_threads_holds(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Of three threads, whose setups, three times as many as each has trains, times three are to
    be at most eighteen, two each; one each where not even that is left."""
    wants = [Want(str(pitch), pitch, Allowance(Fraction(1, 20))) for pitch in PITCHES[:3]]
    monkeypatch.setattr(module, "PLENTY", 0)
    for table, each in ((18, 2), (26, 2), (27, 3), (5, 1)):
        monkeypatch.setattr(module, "MOST_SERVED", table)
        found = candidates(PLAIN, wants)
        assert [len(trains) for trains in found.trains] == [each] * 3
        assert not found.question.whole


def test_how_many_trains_there_are_is_guessed_from_what_all_threads_allow(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Of a pitch asked for twice, with another allowance, both; nothing of one that allows less
    than nothing. Too many are made of none where a train more than these would be one too many."""
    graded = Allowance(Fraction(1, 1000), ruled=True, travel=Travel(Fraction(1, 1000), "T5"))
    wants = [
        Want("one", PITCHES[0], Allowance(Fraction(1, 20))),
        Want("same", PITCHES[0], Allowance(Fraction(1, 20))),
        Want("nearer", PITCHES[0], Allowance(Fraction(1, 50))),
        Want("feed", tpi(8), graded),
    ]
    lathe = replace(PLAIN, screw_error=Fraction(1, 500))
    guessed: list[tuple[Fraction, int]] = []

    def about(self: TrainSearch, width: Fraction, stages: int) -> float:
        guessed.append((width, stages))
        return 5.0

    monkeypatch.setattr(TrainSearch, "about", about)
    for most, whole in ((5 * 2 * 3, True), (5 * 2 * 3 - 1, False)):
        guessed.clear()
        monkeypatch.setattr(module, "PLENTY", most)
        monkeypatch.setattr(module, "_MOST_TRAINS", 1)
        found = candidates(lathe, wants)
        assert found.question.whole == whole
        width = Fraction(1, 20) + Fraction(1, 50)
        assert sorted(guessed[:2]) == [(width, 1), (width, 2)]  # before any is made
        assert found.uncovered == (3,)


def test_places_are_numbered_from_the_first_drivers_shaft() -> None:
    """One stud has the first driver, two on the stud, and the screw in either plane; the usual
    train may hang on more studs than that."""
    two = next(layout for layout in LAYOUTS if layout.idlers == (0, 0, 0))
    usual = Train(two, *([tuple(MAKING.gear(z) for z in (20, 30, 40))] * 2), ((),) * 3)
    for lathe in (PLAIN, replace(PLAIN, usual_train=usual)):
        places = module._places(lathe)
        layouts = [one for one in LAYOUTS if one.studs <= 1]
        layouts += [usual.layout] if lathe.usual_train else []
        due = {place for layout in layouts for place in layout.places}
        assert list(places) == sorted(due)
        assert list(places.values()) == list(range(len(due)))


def test_threads_alike_are_one_kind_whatever_their_names() -> None:
    one = Want("one", mm("1.25"), Allowance(Fraction(1, 100)))
    other = replace(one, name="other")
    strict = replace(one, name="strict", allowance=Allowance(Fraction(1, 10**6)))
    found = candidates(PLAIN, [one, strict, other])
    assert (0, 2) in found.kinds
    assert found.question.threads[found.kinds.index((0, 2))].count == 2


def test_gears_added_are_at_hand() -> None:
    want = Want("a thread", mm("1.27"), Allowance(Fraction(0)))
    poor = replace(PLAIN, chest=Chest(loose(20, 30, 50)))
    assert candidates(poor, [want]).uncovered == (0,)
    assert candidates(poor, [want], [MAKING.gear(z) for z in (40, 60)]).uncovered == ()


def test_an_idler_of_unknown_strength_leaves_a_train_unchecked() -> None:
    """What its other gears carry is then no bound: nothing speaks against the train."""
    strange = replace(MAKING.gear(19), material="unheard of")
    arm = replace(ARM, axis_distance=19.0137, slots=(Slot(0.0137, 20.0137),), gap=0.0137)
    arm = replace(arm, driver_hub=0.0137, stud_hub=0.0137, screw_hub=0.0137)
    weak = replace(PLAIN, leadscrew=mm("1.5"), chest=Chest(((MAKING.gear(16), 4), (strange, 1))))
    want = Want("a thread", mm("1.5"), Allowance(Fraction(0)))
    found = candidates(replace(weak, banjo=arm), [want])
    trains = [found.train(0, setup) for setup in found.question.threads[0].setups.tolist()]
    assert [[gear.teeth for gear in train.gears] for train in trains] == [[16, 19, 16]]


def test_what_the_leadscrew_errs_is_taken_from_what_a_feed_screw_allows() -> None:
    """40/(60)/40 is exact on 8 tpi, but this leadscrew itself is further off than the grade."""
    graded = Allowance(Fraction(1, 1000), ruled=True, travel=Travel(Fraction(1, 1000), "T5"))
    wanted = [Want("feed", tpi(8), graded)]
    assert candidates(PLAIN, wanted).kinds == ((0,),)
    assert candidates(replace(PLAIN, screw_error=Fraction(1, 500)), wanted).uncovered == (0,)
