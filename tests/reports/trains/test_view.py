"""What a train's figures say of the half-nuts, and of gears that others are mistaken for."""

from __future__ import annotations

from dataclasses import replace

import pytest
import report_samples as samples

from gearchest.optimizer.domain.gear import Chest
from gearchest.optimizer.domain.lathe import Bed, Drive, Lathe, ThreadDial
from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.domain.want import Allowance, Want
from gearchest.reports.trains.view import mount_lines
from gearchest.reports.words import wording

PLAIN = samples.mini_lathe(leadscrew=mm("1.5"))


@pytest.mark.parametrize(
    ("lathe", "said", "note"),
    [
        (replace(PLAIN, bed=Bed(350.0)), "with the spindle at rest", "step 3.00 mm (0.1181 in)"),
        (replace(PLAIN, bed=Bed(2.9)), "keep them closed",
         "the step is longer than the travel: 3.00 mm (0.1181 in)"),
        (PLAIN, "keep them closed", "the lathe file gives no carriage travel to step along"),
        (replace(PLAIN, half_nuts=False), "keep them closed", "this lathe has none"),
        (replace(PLAIN, policy=replace(PLAIN.policy, drive=Drive.SCREW)), "keep them closed",
         "the screw drives the spindle"),
        (replace(PLAIN, thread_dials=(ThreadDial(14, 7),)), "by the dial", ""),
    ],
    ids=["within", "beyond", "unknown", "none", "cranked", "dial"],
)  # fmt: skip
def test_a_step_is_told_as_one_to_take_only_where_the_carriage_can_go_it(
    lathe: Lathe, said: str, note: str
) -> None:
    """40/60 on a 1.5 mm screw cuts 1 mm: the lowest common multiple is 3 mm (by hand)."""
    want = Want("1 mm", mm("1"), Allowance(samples.Fraction(0)))
    train = samples.train("simple, one idler", 40, 50, 60)
    told = wording.half_nuts_words(lathe, train, want)
    assert tuple(text.replace("\u202f", " ") for text in told) == (said, note)


def test_which_of_two_like_gears_is_meant_is_told_by_its_material() -> None:
    """A 60 of nylon and one of steel; there is but one 40 and one 50."""
    made = samples.train("simple, one idler", 40, 50, 60)
    alone = samples.answer(PLAIN, made)
    assert "Of" not in [line.label for line in mount_lines(PLAIN, alone)]
    steel = made.driven[0]
    nylon = replace(steel, material="nylon")
    mixed = replace(PLAIN, chest=Chest((*PLAIN.chest.loose, (nylon, 1))))
    told = {line.label: line.value for line in mount_lines(mixed, samples.answer(mixed, made))}
    assert told["Of"] == f"60 {steel.material}"
    other = replace(made, driven=(nylon,))
    told = {line.label: line.value for line in mount_lines(mixed, samples.answer(mixed, other))}
    assert told["Of"] == "60 nylon"
