"""What a train's figures say of the half-nuts."""

from __future__ import annotations

from dataclasses import replace

import pytest
import report_samples as samples

from gearchest.optimizer.domain.lathe import Bed, Drive, Lathe, ThreadDial
from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.domain.want import Allowance, Want
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
