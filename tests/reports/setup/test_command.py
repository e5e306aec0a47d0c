"""The line that makes a setup sheet, typed again: the same thread is asked for."""

from __future__ import annotations

import re
import shlex
from dataclasses import replace
from html import unescape
from typing import Any

import pytest
import report_samples as samples

from gearchest.catalogs.lathes import example
from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.wants import load_wants, want_from
from gearchest.optimizer.domain.want import Use, Want
from gearchest.reports.page.shell import Facts
from gearchest.reports.plan.sheet import plan_sheet
from gearchest.reports.setup.command import setup_arguments
from gearchest.reports.words.wording import anchors

LATHE = load_lathe(example().lathe)
KEPT = ("pitch", "thread", "use", "diameter", "engaged", "left", "inside", "mating")


def typed(line: str) -> Want:
    """The want of a line of arguments, read as a shell and the command do."""
    size, *rest = shlex.split(line)
    given: dict[str, Any] = {}
    for word in rest:
        if word.startswith("--"):
            given[word[2:]] = True
        else:
            given[list(given)[-1]] = word
    return want_from(size, lathe=LATHE, **given)


def same(asked: Want, read: Want) -> bool:
    return (
        all(getattr(asked, name) == getattr(read, name) for name in KEPT)
        and asked.allowance.relative == read.allowance.relative
    )


@pytest.mark.parametrize("want", load_wants(example().wants, LATHE), ids=lambda want: want.name)
def test_every_thread_of_the_example_is_asked_for_again(want: Want) -> None:
    assert same(want, typed(setup_arguments(LATHE, want)))


@pytest.mark.parametrize(
    ("size", "said"),
    [
        ("Tr20x4", {"grade": "T5"}),
        ("9 mm", {"use": "wood", "diameter": "50 mm", "engaged": "30 mm", "mating": True}),
        ("M6", {"left": True, "inside": True}),
        ("5/16-18 UNC", {"tolerance": "0.25 %"}),
        ("4 tpi", {"use": "travel", "tolerance": "0.05 mm/300 mm", "diameter": "20 mm"}),
        ("1 module", {"use": "plain"}),
        ("3 starts of 2 mm", {"diameter": "1/2 in"}),
        ("1 mm", {"use": "feed"}),
    ],
)
def test_whatever_was_said_of_a_thread_is_said_again(size: str, said: dict[str, Any]) -> None:
    want = want_from(size, lathe=LATHE, **said)
    assert same(want, typed(setup_arguments(LATHE, replace(want, name="its name"))))


def test_the_page_carries_the_line_of_every_thread() -> None:
    """A size that is the thread's own name is left to the page."""
    plan = samples.plan()
    named = replace(
        plan.wants[0], use=Use.FASTENER, allowance=typed(f'"{plan.wants[0].name}"').allowance
    )
    plan = replace(plan, wants=(named, *plan.wants[1:]))
    page = samples.quoted(plan_sheet(plan, Facts(), charts=False))
    told = dict(re.findall(r'<article class="setup" id="([^"]+)" [^>]*data-size="([^"]+)"', page))
    for ident, want in zip(anchors(want.name for want in plan.wants), plan.wants, strict=True):
        wanted = setup_arguments(plan.lathe, want)
        assert unescape(told.get(ident, f'"{want.name}"')) == wanted
    assert len(told) == len(plan.wants) - 1
