"""A train as JSON."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
import report_samples as samples
from documents import TRAIN, VERDICTS, has, strict

from gearchest.reports.trains.document import train_document

LAYOUTS = samples.every_layout()


@pytest.mark.parametrize(("lathe", "answer"), LAYOUTS)
def test_a_train_says_what_was_built(lathe: Any, answer: Any) -> None:
    """Pitch and ratio worked out again from the tooth counts; studs against the circles."""
    told = strict(train_document(lathe, answer))
    has(told, TRAIN)
    ratio = Fraction(1)
    for driver, driven in zip(told["drivers"], told["driven"], strict=True):
        ratio *= Fraction(driver, driven)
    assert told["ratio"] == f"{ratio.numerator}/{ratio.denominator}"
    assert told["screw_turns"] == pytest.approx(float(ratio), rel=1e-12)
    assert told["lead_mm"] == pytest.approx(float(ratio) * lathe.leadscrew.mm, rel=1e-12)
    assert told["pitch_mm"] == told["lead_mm"]
    assert train_document(lathe, answer, 4)["pitch_mm"] == told["lead_mm"] / 4
    assert told["meshes"] == len(told["drivers"]) + len(told["idlers"])
    assert all(1 <= idler["stage"] <= len(told["drivers"]) for idler in told["idlers"])
    assert told["verdict"] in VERDICTS
    if lathe.banjo is None:
        assert told["fits"] == "unchecked"
        assert told["studs"] == []
        assert told["arm_angle_deg"] is None
        assert told["tightest"] is None


def test_studs_are_where_their_gears_mesh() -> None:
    """A/B x C/D of module 1 on one stud: (A + B) / 2 mm from the first driver's shaft, which
    stands at (axis_distance, 0), and (C + D) / 2 mm from the screw shaft at the origin."""
    checked = 0
    for lathe, answer in LAYOUTS:
        told = train_document(lathe, answer)
        studs: Any = told["studs"]
        if answer.train.layout.name != "compound" or not studs:
            continue
        (a, c), (b, d) = told["drivers"], told["driven"]  # type: ignore[misc]
        x, y = studs[0]["x"], studs[0]["y"]
        assert studs[0]["gears"] == [b, c]
        assert (x**2 + y**2) ** 0.5 == pytest.approx((c + d) / 2, abs=1e-5)
        away = ((x - lathe.banjo.axis_distance) ** 2 + y**2) ** 0.5
        assert away == pytest.approx((a + b) / 2, abs=1e-5)
        checked += 1
    assert checked
