"""The document of `reach`."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from documents import TRAIN, VERDICTS, WANT, has, strict, trains

from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.wants import want_from
from gearchest.optimizer.search.reach import reach
from gearchest.reports.reach.document import reach_document

REACH = {
    **WANT,
    "verdict": str,
    "closest": (dict, type(None)),
    "easiest": (dict, type(None)),
    "trains": list,
    "additions": list,
}


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
