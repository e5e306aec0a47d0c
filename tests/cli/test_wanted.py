"""Threads asked for by the names they have in a wants file."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from program import run

WANTS = """
[[want]]
name = "Cider press"
pitch = "9 mm"
diameter = "50 mm"
use = "wood"
mating = true

[[want]]
name = "M10"
pitch = "1 mm"
tolerance = "0.3 %"
"""
"""The second bears the name of another thread."""


@pytest.fixture
def wants(tmp_path: Path) -> Path:
    path = tmp_path / "wants.toml"
    path.write_text(WANTS, encoding="utf-8")
    return path


def answer(*arguments: object) -> dict[str, Any]:
    done = run(*arguments, "--json", "-")
    assert done.returncode in (0, 4), done.stderr
    document: dict[str, Any] = json.loads(done.stdout)
    return document


def test_a_thread_of_the_file_is_set_up_as_it_is_wanted(wants: Path) -> None:
    """The same sheet as with all that the file says typed, but for the name."""
    typed = answer("setup", "mini-7-metric", "9 mm", "--diameter", "50 mm", "--use", "wood",
                   "--mating")  # fmt: skip
    named = answer("setup", "mini-7-metric", "cider  press", "--wants", wants)
    assert named["thread"].pop("name") == "Cider press"
    assert typed["thread"].pop("name") == "9 mm"
    assert named == typed


def test_a_name_of_the_file_counts_before_a_size(wants: Path) -> None:
    named, size = answer("reach", "mini-7-metric", "M10", "M8", "--wants", wants)["pitches"]
    assert (named["pitch_mm"], named["allowed_error"]) == (1.0, 0.003)
    assert size["pitch_mm"] == 1.25


def test_the_nearest_name_is_the_cure(wants: Path) -> None:
    done = run("setup", "mini-7-metric", "cidr pres", "--wants", wants)
    assert done.returncode == 3
    assert '"Cider press" may be meant' in done.stderr


def test_what_the_file_says_is_not_said_otherwise(wants: Path) -> None:
    for option in (("--diameter", "40 mm"), ("--left",), ("--inside",), ("--tolerance", "1 %")):
        done = run("setup", "mini-7-metric", "Cider press", "--wants", wants, *option)
        assert done.returncode == 3
        assert option[0] in done.stderr
        assert "as it stands in the wants file" in done.stderr


def test_the_file_is_not_written_over_and_stands_in_the_footer(wants: Path) -> None:
    done = run("setup", "mini-7-metric", "Cider press", "--wants", wants, "--out", wants)
    assert done.returncode in (2, 3)
    assert wants.read_text(encoding="utf-8") == WANTS
    sheet = wants.with_name("sheet.html")
    run("setup", "mini-7-metric", "Cider press", "--wants", wants, "--out", sheet)
    assert "wants.toml" in sheet.read_text(encoding="utf-8")
