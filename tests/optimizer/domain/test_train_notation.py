"""Trains read as people and reports write them."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from itertools import islice

import drawn
import oracle
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from gearchest.optimizer.domain.gear import Chest, Gear, PinnedPair, Place
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.layout import LAYOUTS
from gearchest.optimizer.domain.notation import NotationError
from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.domain.train import Setting, Train
from gearchest.optimizer.domain.train_notation import parse_train
from gearchest.reports.words.wording import gears_written

MAKING = drawn.MAKING
LATHE = Lathe("shop", mm(3), MAKING, Chest(drawn.loose(20, 40, 40, 45, 48, 50, 57, 60, 63, 80)))


def told(train: Train) -> tuple[tuple[int, ...], ...]:
    """Idlers by stage, then tooth counts in mesh order."""
    return train.layout.idlers, tuple(gear.teeth for gear in train.gears)


@pytest.mark.parametrize(
    ("text", "idlers", "teeth"),
    [
        ("40/80", (0,), (40, 80)),
        ("40/(48)/40", (1,), (40, 48, 40)),
        (" 40 / ( 48 ) / 40 ", (1,), (40, 48, 40)),
        ("40/(45)/(48)/80", (2,), (40, 45, 48, 80)),
        ("57/30 \u00d7 60/20", (0, 0), (57, 30, 60, 20)),
        ("57/30 x 60/20", (0, 0), (57, 30, 60, 20)),
        ("57/30X60/20", (0, 0), (57, 30, 60, 20)),
        ("40/80*63/50", (0, 0), (40, 80, 63, 50)),
        ("40/(45)/80 \u00d7 63/50", (1, 0), (40, 45, 80, 63, 50)),
        ("40/80 \u00d7 63/(45)/50", (0, 1), (40, 80, 63, 45, 50)),
        ("40/80 x 63/50 x 20/60", (0, 0, 0), (40, 80, 63, 50, 20, 60)),
    ],
)
def test_trains_as_people_write_them(
    text: str, idlers: tuple[int, ...], teeth: tuple[int, ...]
) -> None:
    train = parse_train(text, LATHE)
    assert told(train) == (idlers, teeth)
    assert all(gear == MAKING.gear(gear.teeth) for gear in train.gears)


@settings(deadline=None, max_examples=40, suppress_health_check=list(HealthCheck))
@given(st.data())
def test_what_reports_write_is_read_as_the_same_train(data: st.DataObject) -> None:
    """Whatever gears the lathe has: where one tooth count comes in several kinds, the gears
    read are owned and sit where they may, as the exhaustive search says."""
    lathe = data.draw(drawn.lathes())
    trains = list(islice(oracle.trains(lathe), 300))
    if not trains:
        return
    train = data.draw(st.sampled_from(trains))
    read = parse_train(gears_written(train), lathe, train.setting)
    assert gears_written(read) == gears_written(train)
    assert not oracle.missing(lathe, read)
    if len(trains) < 300:
        assert read in trains
    kinds = Counter(gear.teeth for gear in {*oracle.owned_gears(lathe), *read.gears})
    if all(kinds[gear.teeth] == 1 for gear in train.gears):
        assert read == train


@settings(deadline=None, max_examples=60)
@given(st.sampled_from(LAYOUTS), st.data())
def test_gears_nobody_owns_are_read_as_well(layout: object, data: st.DataObject) -> None:
    idlers = layout.idlers  # type: ignore[attr-defined]
    counts = data.draw(st.lists(st.integers(8, 500), min_size=2 * len(idlers) + sum(idlers),
                                max_size=2 * len(idlers) + sum(idlers)))  # fmt: skip
    stages, rest = [], [MAKING.gear(count) for count in counts]
    for count in idlers:
        stages.append(rest[: count + 2])
        rest = rest[count + 2 :]
    train = Train(layout, tuple(s[0] for s in stages), tuple(s[-1] for s in stages),  # type: ignore[arg-type]
                  tuple(tuple(s[1:-1]) for s in stages))  # fmt: skip
    assert parse_train(gears_written(train), LATHE) == train


def test_special_gears_stand_in_by_count_and_place() -> None:
    nylon = replace(MAKING.gear(40), material="nylon")
    idler = replace(MAKING.gear(127), places=frozenset({Place.IDLER}))
    lathe = replace(LATHE, chest=Chest(drawn.loose(40, nylon, idler, 60)))
    assert parse_train("40/60", lathe).gears == (MAKING.gear(40), MAKING.gear(60))
    assert parse_train("40/40", lathe).gears == (MAKING.gear(40), nylon)
    assert parse_train("40/(127)/60", lathe).gears[1] == idler
    # Where only an idler is owned, a driver of this tooth count is one to get.
    assert parse_train("127/60", lathe).missing(Counter(dict(lathe.chest.loose))) == (
        MAKING.gear(127),
    )


def test_a_pinned_pair_is_taken_as_a_pair_only() -> None:
    stud = frozenset({Place.STUD})
    one, other = (Gear(teeth, Fraction(4, 5), unit="127+120", places=stud) for teeth in (127, 120))
    small = [replace(MAKING.gear(z), module=Fraction(4, 5)) for z in (30, 50)]
    lathe = replace(LATHE, chest=Chest(drawn.loose(30, *small), (PinnedPair(one, other),)))
    assert parse_train("30/127 x 120/50", lathe).gears == (small[0], one, other, small[1])
    assert parse_train("30/127", lathe).gears == (MAKING.gear(30), MAKING.gear(127))


@pytest.mark.parametrize(
    ("text", "problem", "fix"),
    [
        ("40", "driver over a driven", "40/80"),
        ("", "missing", "40/80"),
        ("40/80 x", "missing", "40/80"),
        ("40/48/80", "driver over a driven", '"40/(48)/80"'),
        ("40/48/50/80", "driver over a driven", '"40/48 x 50/80"'),
        ("40/80 63/50", "driver over a driven", '"40/80 x 63/50"'),
        ("4 0/80", "driver over a driven", "40/80"),
        ("40/7", "no change gear has 7 teeth", "count"),
        ("40/501", "no change gear has 501 teeth", "count"),
        ("40/(30)/(45)/(48)/80", "no arrangement", "2 studs"),
        ("40/80 x 63/50 x 20/60 x 45/48", "no arrangement", "2 studs"),
        ("40/" + "9" * 5000, "cannot be read", "40/80"),
    ],
)
def test_what_cannot_be_read_says_what_may_be_written(text: str, problem: str, fix: str) -> None:
    with pytest.raises(NotationError) as caught:
        parse_train(text, LATHE)
    assert problem in caught.value.problem
    assert fix in caught.value.fix
    assert caught.value.allowed


def test_a_fixed_first_driver_comes_first() -> None:
    lathe = replace(LATHE, fixed_first_driver=MAKING.gear(40))
    assert parse_train("40/80", lathe).drivers[0] == MAKING.gear(40)
    with pytest.raises(NotationError, match="cannot be changed"):
        parse_train("45/80", lathe)


def test_gears_in_a_row_are_shown_with_brackets_as_far_as_one_could_mean_them() -> None:
    """Three to seven, all between the first and the last as idlers."""
    for count in range(3, 9):
        row = [str(teeth) for teeth in range(20, 20 + count)]
        with pytest.raises(NotationError) as caught:
            parse_train("/".join(row), LATHE)
        bracketed = "/".join([row[0], *(f"({gear})" for gear in row[1:-1]), row[-1]])
        assert (f'"{bracketed}"' in caught.value.fix) is (count < 8)


def test_what_is_owned_is_taken_before_what_would_have_to_be_got() -> None:
    """Of neither count is there an ordinary gear; a 60 of nylon is there."""
    nylon = replace(MAKING.gear(60), material="nylon")
    lathe = replace(LATHE, chest=Chest(drawn.loose(20, nylon)))
    assert parse_train("40/60", lathe).gears == (MAKING.gear(40), nylon)
    assert parse_train("60/40", lathe).gears == (nylon, MAKING.gear(40))
    assert parse_train("40/60 x 60/80", lathe).gears == (
        MAKING.gear(40), MAKING.gear(60), nylon, MAKING.gear(80),
    )  # fmt: skip


def test_half_a_pinned_pair_shares_its_stud_with_the_other_half_alone() -> None:
    """Both halves could sit anywhere, but never alone, nor with a gear that is loose."""
    one, other = (replace(MAKING.gear(z), unit="127+120") for z in (127, 120))
    lathe = replace(LATHE, chest=Chest(drawn.loose(30, 40, 50, 60), (PinnedPair(one, other),)))
    ordinary = [MAKING.gear(z) for z in (127, 120)]
    assert parse_train("30/127 x 120/50", lathe).gears[1:3] == (one, other)
    assert parse_train("30/120 x 127/50", lathe).gears[1:3] == (other, one)
    assert parse_train("30/127", lathe).gears[1] == ordinary[0]
    assert parse_train("127/30", lathe).gears[0] == ordinary[0]
    assert parse_train("30/(127)/40", lathe).gears[1] == ordinary[0]
    assert parse_train("30/127 x 60/50", lathe).gears[1] == ordinary[0]
    assert parse_train("30/60 x 120/50", lathe).gears[2] == ordinary[1]


@pytest.mark.parametrize("text", ["40/x/80", "40/4 8/80", "40//80", "a/b"])
def test_what_is_no_row_of_gears_is_not_put_in_brackets(text: str) -> None:
    with pytest.raises(NotationError) as caught:
        parse_train(text, LATHE)
    assert "(" not in caught.value.fix


def test_levers_stand_in_their_first_position_unless_said() -> None:
    lathe = replace(LATHE, first_driver_turns=(Fraction(1, 2), Fraction(1)))
    assert parse_train("40/80", lathe).setting == Setting(Fraction(1, 2))
    told = Setting(Fraction(1), "B", Fraction(2))
    assert parse_train("40/80", lathe, told).setting == told
