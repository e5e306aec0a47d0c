"""What turns the spindle is judged once: cards, lists, sheets and charts say the same."""

from __future__ import annotations

from dataclasses import replace

import pytest

from gearchest.catalogs.lathes import lathe_file
from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.setup_command import worked_out
from gearchest.cli.setup_options import SetupOptions
from gearchest.optimizer.domain.lathe import Drive, Lathe
from gearchest.optimizer.turning.working import TurnedBy
from gearchest.reports.plan.spread import _by_hand
from gearchest.reports.words.wording import by_hand, turns_advice

PITCHES = ("M6", "M10", "M20", "9 tpi", "8 tpi", "7 tpi", "5 mm", "0.1 mm", "3 starts of 2 mm")


def mini() -> Lathe:
    file = lathe_file("mini-7-metric")
    assert file is not None
    return load_lathe(file)


def changed(lathe: Lathe, change: str) -> Lathe:
    policy = lathe.policy
    match change:
        case "slow tool":
            return replace(lathe, policy=replace(policy, cutting_speed=1.0))
        case "screw" | "spindle":
            return replace(lathe, policy=replace(policy, drive=Drive(change)))
        case "no speeds":
            return replace(lathe, lowest_rpm=None)
    return lathe


@pytest.mark.parametrize("change", ["", "slow tool", "screw", "spindle", "no speeds"])
@pytest.mark.parametrize("use", [None, "wood", "feed"])
def test_every_place_goes_by_the_sheets_way_of_working(change: str, use: str | None) -> None:
    lathe = changed(mini(), change)
    for pitch in PITCHES:
        options: SetupOptions = {"use": use} if use and not pitch.startswith("M") else {}
        found = worked_out(lathe, pitch, options)
        if found.answer is None:
            continue
        want, turns = found.want, found.answer.train.ratio
        way = found.working.turned
        advice = turns_advice(lathe, want, turns)
        assert advice.startswith("turn the spindle by hand") is (way is TurnedBy.HAND)
        assert advice.startswith("crank from the screw end") is (way is TurnedBy.SCREW)
        assert bool(by_hand(lathe, want, turns)) is (way is TurnedBy.HAND)
        assert (want.name in _by_hand(lathe, [(want, found.answer)])) is (
            way is not TurnedBy.POWERED
        )


def test_the_reason_is_the_run_on_and_the_room() -> None:
    """8 tpi at 100 rpm: 3.175 mm a turn, 0.5 s to react and half of 1 s running down are 1.67
    turns, 5.3 mm; two pitches of room are cut off at 5 mm."""
    found = worked_out(mini(), "8 tpi", {})
    assert found.answer is not None
    assert turns_advice(found.lathe, found.want, found.answer.train.ratio).replace(
        "\u202f", " "
    ) == ("turn the spindle by hand: at 100 rpm the carriage runs on 5.3 mm, the room is 5.0 mm")
    assert _by_hand(found.lathe, [(found.want, found.answer)]) == (
        "With the spindle turned by hand: 8 tpi."
    )
