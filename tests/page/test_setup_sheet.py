"""The setup sheet on the page is of the thread as it is wanted."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any, cast

import pytest
from typical_jobs import STEEP

from gearchest.cli.page.sheets import sheet
from gearchest.cli.page.shelf import LATHE, NAMES, OFFERS, WANTS

CLAMP = """
[[want]]
name = "clamp screw"
pitch = "8 mm"
use = "wood"
diameter = "40 mm"
mating = true
[[want]]
name = "slide screw"
pitch = "2 mm"
use = "travel"
grade = "T7"
diameter = "14 mm"
"""


def shown(folder: Path, **query: str) -> str:
    texts = {LATHE: STEEP, WANTS: CLAMP, OFFERS: None}
    for name, text in texts.items():
        if text is not None:
            (folder / NAMES[name]).write_text(text, encoding="utf-8")
    words = {"sheet": "setup", "texts": texts, "folder": str(folder), "query": query}
    found = sheet(words, cast(Any, None), cast(Any, None))
    return re.sub(r"<[^>]+>", "", found["html"]).replace("\u202f", " ")


@pytest.mark.parametrize(
    ("thread", "said"),
    [
        ("clamp screw", ("external thread in wood", "0.8 mm a wooden nut", "Must match")),
        ("slide screw", ("Grade T7, of the train alone", "14 mm")),
    ],
)
def test_a_sheet_is_of_the_thread_as_it_is_wanted(
    tmp_path: Path, thread: str, said: tuple[str, ...]
) -> None:
    text = shown(tmp_path, thread=thread)
    for part in said:
        assert part in text
    assert "internal thread" in shown(tmp_path, thread=thread, inside="1")
