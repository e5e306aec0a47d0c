"""The train to set up on the lathes that come along, against every train there is."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import oracle
import pytest

from gearchest.catalogs.lathes import example
from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.wants import load_wants
from gearchest.optimizer.domain.lathe import Drive, Lathe
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.search.reach import Bench
from gearchest.optimizer.search.result import Verdict

SOME = 7
"""Of the wants one in so many: a numerical placement takes its time."""

LATHES = {
    "example": lambda: load_lathe(example().lathe),
    "mini-7-inch": lambda: load_lathe(Path("mini-7-inch")),
    "driven from the screw": lambda: cranked(load_lathe(example().lathe)),
    "nylon": lambda: in_nylon(load_lathe(example().lathe)),
}


def cranked(lathe: Lathe) -> Lathe:
    return replace(lathe, policy=replace(lathe.policy, drive=Drive.SCREW, cutting_torque=6.0))


def in_nylon(lathe: Lathe) -> Lathe:
    """The smaller gears of the chest in nylon, and a torque that some of them do not bear."""
    loose = tuple(
        (replace(gear, material="nylon") if gear.teeth < 41 else gear, count)
        for gear, count in lathe.chest.loose
    )
    chest = replace(lathe.chest, loose=loose)
    return replace(lathe, chest=chest, policy=replace(lathe.policy, screw_torque=3.0))


def by_ratio(lathe: Lathe) -> dict[Fraction, list[Train]]:
    found: dict[Fraction, list[Train]] = defaultdict(list)
    for train in oracle.trains(lathe):
        found[oracle.ratio(train)].append(train)
    return found


@pytest.mark.parametrize("name", LATHES)
def test_no_train_that_fits_is_to_be_set_up_before_the_one_shown(name: str) -> None:
    """Wants of the example. Of all trains within the allowance those with fewer demerits,
    or that come first of equals, do not go on the arm: a numerical search says so."""
    lathe = LATHES[name]()
    wants = load_wants(example().wants, lathe)[::SOME]
    trains, bench, covered = by_ratio(lathe), Bench(lathe), 0
    for want in wants:
        within = [
            train
            for ratio, some in trains.items()
            if abs(oracle.error(lathe, some[0], want.pitch)) <= want.allowance.relative
            for train in some
        ]
        shown = bench.settle(want)
        if not shown.verdict.covered:
            assert not any(oracle.place(lathe, train).fits for train in within[:60])
            continue
        covered += 1
        assert shown.answer is not None
        try:
            due = oracle.choice(lathe, want, shown.answer.train)
            before = [t for t in within if oracle.choice(lathe, want, t) < due]
        except ValueError:
            continue
        assert due[0] == shown.answer.merit.demerits
        assert oracle.place(lathe, shown.answer.train).fits is not False
        assert [oracle.place(lathe, train).fits for train in before].count(True) == 0
        assert (shown.verdict is Verdict.EXACT) == (
            oracle.error(lathe, shown.answer.train, want.pitch) == 0
        )
    assert covered >= 3
