"""JSON documents: the fixed names, their types, and numbers that every reader understands."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import report_samples as samples

from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.wants import want_from
from gearchest.optimizer.search.reach import reach
from gearchest.reports.plan.document import plan_document, reach_document
from gearchest.reports.trains.document import train_document

NUMBER = (int, float)
TRAIN: dict[str, Any] = {
    "drivers": list,
    "driven": list,
    "idlers": list,
    "gearbox": (str, type(None)),
    "ratio": str,
    "pitch_mm": NUMBER,
    "lead_mm": NUMBER,
    "error": NUMBER,
    "verdict": str,
    "fits": str,
    "meshes": int,
    "studs": list,
    "arm_angle_deg": (*NUMBER, type(None)),
    "tightest": (dict, type(None)),
    "missing": list,
    "screw_turns": NUMBER,
    "tooth_load": NUMBER,
    "half_nut_step_mm": NUMBER,
}
WANT = {"name": str, "pitch_mm": NUMBER, "lead_mm": NUMBER, "allowed_error": NUMBER}
REACH = {
    **WANT,
    "verdict": str,
    "closest": (dict, type(None)),
    "easiest": (dict, type(None)),
    "trains": list,
    "additions": list,
}
STEP = {
    "added": int,
    "gears": list,
    "price": NUMBER,
    "covered": int,
    "covered_weight": NUMBER,
    "wanted": int,
    "wanted_weight": NUMBER,
    "proven": bool,
    "bound_weight": NUMBER,
    "proven_by": str,
    "order": list,
    "equally_good": list,
}
VERDICTS = {"exact", "in tolerance", "off", "does not fit", "no train"}

LAYOUTS = samples.every_layout()


def has(document: dict[str, Any], names: dict[str, Any]) -> None:
    """Every fixed name is there with its type. More names may be added freely."""
    for name, kind in names.items():
        assert name in document
        assert isinstance(document[name], kind), (name, document[name])


def strict(document: object) -> Any:
    """Through JSON and back: refuses NaN and infinities, which JSON does not have."""
    return json.loads(json.dumps(document, allow_nan=False))


def trains(value: object) -> Iterator[dict[str, Any]]:
    """Every train anywhere in a document."""
    if isinstance(value, dict):
        if "drivers" in value and "driven" in value:
            yield value
        for inner in value.values():
            yield from trains(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from trains(inner)


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


@pytest.mark.parametrize(
    "pitch", ["M6", "M10", "16 tpi", "0.8 module", "37 mm", "3 starts of 2 mm"]
)
def test_reach(pitch: str) -> None:
    """Pitches that lack a gear, that are covered, with pi, and very coarse, several starts."""
    lathe = load_lathe(Path("instrument-repair"))
    want = want_from(pitch, lathe=lathe, use=None, diameter=None, left=False)
    gears = [(lathe.making.gear(teeth), None) for teeth in range(16, 128)]
    told = strict(reach_document(lathe, [reach(lathe, want, gears)]))
    assert (told["kind"], told["version"], told["lathe"]) == ("reach", 1, lathe.name)
    (one,) = told["pitches"]
    has(one, REACH)
    assert (one["pitch_mm"], one["lead_mm"]) == (want.pitch.mm, want.pitch.mm * want.pitch.starts)
    assert one["verdict"] in VERDICTS
    assert len(one["trains"]) <= 20
    assert len(one["additions"]) <= 20
    for train in trains(one):
        has(train, TRAIN)
        for key in ("pitch_mm", "lead_mm"):
            assert train["error"] == pytest.approx(train[key] / one[key] - 1, abs=1e-9)
        assert train["lead_mm"] / train["pitch_mm"] == pytest.approx(one["starts"])
        assert re.fullmatch(r"[1-9]\d*/[1-9]\d*", train["ratio"])
    covered = one["verdict"] in ("exact", "in tolerance")
    assert (one["easiest"] is not None) == covered
    if covered:
        assert one["additions"] == []
        assert all(abs(t["error"]) <= one["allowed_error"] for t in one["trains"])
        assert one["easiest"]["tooth_load"] == min(t["tooth_load"] for t in one["trains"])
        assert one["closest"]["missing"] == []
    assert bool(one["additions"]) != covered
    for addition in one["additions"]:
        assert addition["gears"] == sorted(addition["gears"])
        assert addition["train"]["missing"] == addition["gears"]
        assert abs(addition["train"]["error"]) <= one["allowed_error"]


@pytest.mark.parametrize("measured", [True, False])
def test_plan(measured: bool) -> None:
    plan = samples.plan(measured=measured)
    told = strict(plan_document(plan))
    assert (told["kind"], told["version"], told["lathe"]) == ("plan", 1, plan.lathe.name)
    assert [step["added"] for step in told["steps"]] == list(range(len(told["steps"])))
    for k, step in enumerate(told["steps"]):
        has(step, STEP)
        verdicts = [want["steps"][k]["verdict"] for want in told["pitches"]]
        assert set(verdicts) <= VERDICTS
        assert step["covered"] == sum(v in ("exact", "in tolerance") for v in verdicts)
        assert step["covered_weight"] == sum(
            want["weight"]
            for want, verdict in zip(told["pitches"], verdicts, strict=True)
            if verdict in ("exact", "in tolerance")
        )
        for gear in step["gears"]:
            has(gear, {"teeth": int, "how": str, "price": NUMBER, "unlocks": list})
            assert gear["how"] in ("buy", "cut")
    for want in told["pitches"]:
        has(want, {**WANT, "weight": NUMBER, "steps": list})
        assert len(want["steps"]) == len(told["steps"])
    found = list(trains(told))
    assert found
    for train in found:
        has(train, TRAIN)
