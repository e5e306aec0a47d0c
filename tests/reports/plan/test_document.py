"""The document of a plan."""

from __future__ import annotations

import pytest
import report_samples as samples
from documents import NUMBER, TRAIN, VERDICTS, WANT, has, strict, trains

from gearchest.reports.plan.document import plan_document

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
