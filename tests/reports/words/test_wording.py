"""Phrases used on more than one sheet."""

from __future__ import annotations

from gearchest.reports.words import wording


def test_ids_come_from_names_alone() -> None:
    first, same, inch = wording.anchors(["M6", "m6", "1/4-20"])
    assert first == "w-m6"
    assert same not in ("w-m6", "")
    assert wording.anchors(["other", "1/4-20"]) == ["w-other", inch]
    spaced, dashed = wording.anchors(["1/4 20", "1-4-20"])
    assert spaced != dashed
