"""What a sheet says of sizes: limits rounded to the safe side, inside and outside, taper pipe."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.wants import want_from
from gearchest.optimizer.search.reach import reach
from gearchest.optimizer.threads.tip import Tip
from gearchest.optimizer.turning.setup import Setup, Wishes, setup
from gearchest.reports.page.shell import Facts
from gearchest.reports.setup import size_view, thread_view
from gearchest.reports.setup.sheet import setup_sheet
from gearchest.reports.setup.text import setup_lines
from gearchest.reports.setup.view import Units
from gearchest.reports.words.line import Line

MINI = "mini-7-metric"


def made(pitch: str, *, lathe: str = MINI, inside: bool = False, **wishes: object) -> Setup:
    machine = load_lathe(Path(lathe))
    want = want_from(pitch, lathe=machine, inside=inside)
    asked = Wishes(**wishes)  # type: ignore[arg-type]
    return setup(machine, want, reach(machine, want), asked)


def said(lines: list[Line], label: str) -> str:
    """Value and note of a line, spaces plain."""
    (line,) = [line for line in lines if line.label == label]
    return f"{line.value} {line.note}".replace("\u202f", " ")


def labels(lines: list[Line]) -> set[str]:
    return {line.label for line in lines}


def test_m10_is_given_between_its_limits() -> None:
    """ISO 965-2, 6g: 9.732 to 9.968, 8.862 to 8.994; 1.5 mm without error on this lathe."""
    lines = size_view.size_lines(made("M10"))
    assert said(lines, "Class").startswith("6g")
    assert "9.732 to 9.968 mm" in said(lines, "Major diameter")
    assert "8.862 to 8.994 mm" in said(lines, "Pitch diameter")
    assert "10.163 to 10.294 mm" in said(lines, "Over three wires")
    turned = float(said(lines, "Turn to").split()[0])
    assert 9.732 < turned < 9.968
    text = " ".join(said(lines, label) for label in labels(lines))
    assert not re.search(r"\b(9\.026|10\.327|10\.00)\b", text)
    assert {"GO", "NO-GO"} <= labels(lines)


def test_what_the_lead_error_costs_is_told() -> None:
    """2 BA on 1.5 mm and changes: upper limit lowered outside, lower raised inside."""
    outside = said(size_view.size_lines(made("2 BA")), "Pitch diameter")
    inside = said(size_view.size_lines(made("2 BA", inside=True)), "Pitch diameter")
    assert "less" in outside
    assert "plus" in inside
    assert "for the lead error" in outside


def test_an_internal_thread_has_its_own_words() -> None:
    found = made("M10", inside=True, length=20.0)
    lines = size_view.size_lines(found)
    assert "8.376 to 8.676 mm" in said(lines, "Minor diameter")
    assert "at least 10.000 mm" in said(lines, "Major diameter")
    assert 8.376 < float(said(lines, "Bore to").split()[0]) < 8.676
    assert "Over three wires" not in labels(lines)
    assert "GO 10.327 mm" in said(lines, "No plug: two screws")
    boring = size_view.boring_lines(found)
    assert "spindle reversed" in said(boring, "Blind hole")
    assert float(said(boring, "Boring bar").split()[2]) < 8.376 - 0.812
    infeed = thread_view.infeed_lines(found)
    assert "handle towards the headstock" in said(infeed, "Top slide")
    assert "bored to the major diameter" in said(thread_view.work_lines(found), "Run-out")
    assert not size_view.boring_lines(made("M10"))
    assert any("stop" in str(caution) for caution in found.cautions)


def test_title_says_which_side() -> None:
    for inside, word in ((False, "external"), (True, "internal")):
        sheet = setup_sheet(made("M10", inside=inside), Facts())
        assert f"M10, {word} thread, " in re.findall(r"<title>(.*?)</title>", sheet)[0]
        assert f"M10, {word}" in sheet
    assert next(iter(setup_lines(made("M10", inside=True)))).startswith("M10, internal thread, on ")


def test_taper_pipe() -> None:
    """1/2-14 NPT: pitch diameter 0.77843 in at 0.320 in (ASME B1.20.1); 1:16 is 1 degree 47 min
    24 s a side; the lead may err 0.003 in an inch; no groove is turned at its end."""
    found = made("1/2 NPT", lathe="american-12")
    lines = size_view.size_lines(found)
    assert "1° 47′ 24″" in said(lines, "Taper")
    assert "1/32 of the work" in said(lines, "Taper")
    assert "0.3200 in" in said(lines, "Gauge plane")
    assert "0.7784 in" in said(lines, "Pitch diameter")
    assert "0.30 %, kept" in said(lines, "Lead by ASME B1.20.1")
    # (0.77843 - 0.86603/14 + 3.00049 W)/1.00049 with W = 0.57735/14 in.
    assert "0.8399 in" in said(lines, "Over three wires")
    end = said(thread_view.work_lines(found), "Run-out")
    assert "minor diameter" not in end
    assert "no groove" in end
    inside = size_view.size_lines(made("1/2 NPT", inside=True))
    assert "Over three wires" not in labels(inside)
    assert "face" in said(inside, "Gauge plane")
    assert "tailstock" not in said(inside, "Taper")


def test_no_limits_are_said_to_be_none() -> None:
    lines = size_view.size_lines(made("5/8-26 BSC"))
    assert said(lines, "Limits of size").startswith("none")
    assert "nominal" in said(lines, "Pitch diameter")


def test_the_tip_and_other_tips() -> None:
    assumed = said(size_view.tip_lines(made("M10")), "Tool tip")
    assert "sharp 0.22 mm deeper" in assumed
    assert "1.00 × radius or 0.87 × flat" in assumed
    given_tip = size_view.tip_lines(made("M10", tip=Tip(0.1)))
    assert said(given_tip, "Tool tip").startswith("radius 0.10 mm")
    assert "0.117 mm deeper" in said(given_tip, "Tool tip")
    assert "less deep" in said(size_view.tip_lines(made("M10", tip=Tip(0.3))), "Tool tip")
    sharp = said(size_view.tip_lines(made("M10", tip=Tip())), "Tool tip")
    assert "under the class's least" in sharp
    # ISO 965-1 wants a root radius of P/8 at least: 0.19 mm.
    enough = said(size_view.tip_lines(made("M10", tip=Tip(0.2))), "Tool tip")
    assert "under the class's least" not in enough


@given(st.floats(1.0, 300.0), st.floats(0.02, 1.0))
def test_printed_limits_never_lie_outside_the_true_ones(least: float, width: float) -> None:
    most = least + width
    text = size_view.between((least, most), Units(inch=False)).replace("\u202f", " ")
    numbers = [float(n) for n in re.findall(r"[\d.]+", text)]
    slack = 2e-6  # what is a whole number of steps but for the last bits stays that number
    assert least - slack <= numbers[0] <= numbers[1] <= most + slack
    assert least - 25.4 * slack <= numbers[2] * 25.4 <= numbers[3] * 25.4 <= most + 25.4 * slack


@pytest.mark.parametrize(
    ("limits", "words"),
    [
        ((10.0, None), "at least 10.000 mm (0.3938 in)"),
        ((None, 18.631), "at most 18.631 mm (0.7335 in)"),
    ],
)
def test_limits_of_one_side(limits: tuple[float | None, float | None], words: str) -> None:
    assert size_view.between(limits, Units(inch=False)).replace("\u202f", " ") == words
