"""The setup sheet on the page is of the thread as it is wanted."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any, cast

import pytest
from typical_jobs import STEEP

from gearchest.cli.page.requests import SetupAsked
from gearchest.cli.page.setup_form import NAMES as NAMES_ASKED
from gearchest.cli.page.setup_form import setup_groups
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


def test_every_option_of_the_command_can_be_asked_for() -> None:
    """All but those that say what is wanted, which stand with the threads."""
    wanted = {"pitch", "left", "inside", "engaged", "tolerance", "grade", "mating", "aims"}
    asked = {field.alias or name for name, field in SetupAsked.model_fields.items()}
    assert set(NAMES_ASKED) == asked - wanted


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"load": "2 kN", "free_length": "200 mm"}, "Axial load2000 N"),
        ({"length": "40 mm"}, "Length40.0 mm"),
        ({"train": "40/(48)/80"}, "40/(48)/80"),
        ({"material": "brass"}, "brass"),
    ],
)
def test_what_is_asked_stands_on_the_sheet(
    tmp_path: Path, asked: dict[str, str], said: str
) -> None:
    assert said not in shown(tmp_path, thread="slide screw")
    assert said in shown(tmp_path, thread="slide screw", **asked)


def test_the_form_above_a_sheet_shows_what_was_asked() -> None:
    groups = setup_groups({"load": "2 kN", "thread": "M6"})
    assert [title for title, given, _ in groups if given] == ["The finished screw under a load"]
    assert {one.name: one.value for _, _, group in groups for one in group if one.value} == {
        "load": "2 kN"
    }
