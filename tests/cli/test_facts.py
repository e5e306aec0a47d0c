"""The footer of a page: what was typed, and nothing else."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from gearchest.catalogs.lathes import example
from gearchest.cli.facts import facts_of
from gearchest.cli.plan_options import PlanOptions

USUAL = PlanOptions()


def options(**typed: object) -> tuple[tuple[str, str], ...]:
    given = vars(replace(USUAL, **typed))  # type: ignore[arg-type]
    return facts_of("plan", [], given, vars(USUAL)).options


def test_options_nobody_typed_are_left_out() -> None:
    assert options() == (("plan", ""),)


def test_nothing_and_no_are_told() -> None:
    assert options(most=0)[1:] == (("--most", "0"),)
    assert options(charts=False, what_if=False)[1:] == (("--no-charts", ""), ("--no-what-if", ""))
    assert options(sell=True, time_limit=0.0)[1:] == (("--sell", ""), ("--time-limit", "0.0"))


def test_lists_and_files() -> None:
    typed = options(include=(63, 90), also=Path("far/away.toml"))
    assert typed[1:] == (("--include", "63, 90"), ("--also", "away.toml"))


def test_inputs_are_named_with_their_digest_bundled_ones_too() -> None:
    ((name, digest),) = facts_of("reach", [Path("instrument-repair")], {}).inputs
    assert name == example().lathe.name
    assert len(digest) == 64


def test_marks_in_options_are_spelt_out() -> None:
    assert options(cover=("a\x1b[0m",))[1:] == (("--cover", "a\\x1b[0m"),)
