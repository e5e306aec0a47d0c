"""The plan page as text: complete without scripts, safe, the same bytes every time."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from collections import Counter
from dataclasses import replace
from fractions import Fraction

import pytest
import report_samples as samples

from gearchest.optimizer.pitch import Pitch, mm, tpi
from gearchest.reports import numbers, wording
from gearchest.reports.charts import charts
from gearchest.reports.page import Facts, json_block
from gearchest.reports.plan_page import render

FACTS = Facts("9.9", (("lathe.toml", "ab" * 32),), (("--most", "4"),))


@pytest.fixture(scope="module")
def page() -> str:
    return render(samples.plan(), facts=FACTS, charts=False)


def test_same_input_same_bytes(page: str) -> None:
    again = replace(samples.plan())
    assert render(again, facts=FACTS, charts=False) == page
    assert "2031-02-03" not in page
    assert "2031-02-03" in render(again, facts=FACTS, charts=False, date="2031-02-03")


def test_every_inline_script_is_allowed_by_its_hash_and_nothing_else() -> None:
    text = render(samples.plan(), facts=FACTS)
    policy = re.search(r'Content-Security-Policy" content="([^"]+)"', text)
    assert policy
    assert "connect-src &#39;none&#39;" in policy[1]
    scripts = re.findall(r"<script(?: type=\"text/plain\"[^>]*)?>(.*?)</script>", text, re.DOTALL)
    hashes = {base64.b64encode(hashlib.sha256(s.encode()).digest()).decode() for s in scripts}
    assert set(re.findall(r"sha256-([^&]+)&", policy[1])) == hashes
    assert not re.search(r"\son\w+=\"", text)


def test_plotly_comes_once_after_the_content_and_only_with_charts(page: str) -> None:
    text = render(samples.plan(), facts=FACTS)
    assert text.count("plotly.js v") == 1
    assert text.index("plotly.js v") > text.index("</footer>")
    assert "plotly" not in page
    assert len(text.encode()) < 6_500_000


def test_user_text_is_escaped(page: str) -> None:
    text = render(samples.plan("</script><b>x", measured=False), facts=FACTS, charts=False)
    assert "<b>x" not in text
    assert "&lt;/script&gt;&lt;b&gt;x" in text
    assert "<b>stand screw" not in page


def test_data_blocks_cannot_end_their_script() -> None:
    text = json_block({"name": "</script><!--\u2028"})
    assert "<" not in text
    assert json.loads(text) == {"name": "</script><!--\u2028"}


def test_every_want_and_step_has_its_verdict_in_words(page: str) -> None:
    plan = samples.plan()
    table = page[page.index('<table id="map">') : page.index("</table>")]
    told = re.findall(r'<td class="v [^"]+">.*?<span class="word">(.*?)</span>', table)
    wanted = [state.verdict.value for group in _grouped(plan) for state in group]
    assert told == wanted
    assert table.count('scope="row"') == len(plan.wants)
    assert table.count('scope="col"') == len(plan.steps) + 1


def _grouped(plan: samples.Plan) -> list[tuple[samples.WantStep, ...]]:
    """States in the order of the map: series as they first appear."""
    order: dict[str, list[tuple[samples.WantStep, ...]]] = {}
    for want, states in zip(plan.wants, plan.states, strict=True):
        order.setdefault(want.series, []).append(states)
    return [states for group in order.values() for states in group]


def test_links_lead_somewhere_and_ids_are_unique(page: str) -> None:
    ids = Counter(re.findall(r'\bid="([^"]+)"', page))
    assert max(ids.values()) == 1
    links = set(re.findall(r'href="#([^"]+)"', page))
    assert links <= set(ids)
    assert {"w-m3", "w-m10", "w-clamp-screw"} <= set(ids)


def test_ids_come_from_names_alone() -> None:
    taken: set[str] = set()
    first = wording.anchor("M6", taken)
    assert first == "w-m6"
    assert wording.anchor("m6", taken) not in ("w-m6", "")
    assert wording.anchor("1/4-20", set()) == wording.anchor("1/4-20", {"w-other"})
    assert wording.anchor("1/4 20", set()) != wording.anchor("1-4-20", set())


def test_every_distinct_train_has_its_drawing(page: str) -> None:
    plan = samples.plan()
    for want, states in zip(plan.wants, plan.states, strict=True):
        distinct = {state.answer for state in states if state.answer}
        ident = wording.anchor(want.name, set())
        sheet = page[page.index(f'<article class="setup" id="{ident}"') :]
        sheet = sheet[: sheet.index("</article>")]
        assert sheet.count('<div class="train-sheet') == len(distinct)
        for answer in distinct:
            assert wording.gears_written(answer.train) in sheet


def test_unproven_steps_say_so(page: str) -> None:
    assert "not proven (time limit): no set covers more than" in page
    assert page.count("proven best") >= 4


def test_an_unmeasured_arm_is_said() -> None:
    text = render(samples.plan("x", measured=False), facts=FACTS, charts=False)
    assert "Fit is unchecked" in text
    assert "the arm is unmeasured, so fit is unchecked" in text


def test_the_cautions_of_the_trade_are_there(page: str) -> None:
    for words in ("unplug", "Covers closed", "No gloves", "slowest speed", "come first"):
        assert words in page


def test_charts_have_fixed_places_and_words() -> None:
    drawn = charts(samples.plan())
    assert [chart.ident for chart in drawn] == [
        "chart-gears", "chart-money", "chart-errors", "chart-loads", "chart-turns",
    ]  # fmt: skip
    for chart in drawn:
        assert chart.summary
        assert "template" not in chart.figure["layout"]
    weights = [float(step.covered_weight) for step in samples.plan().steps]
    assert drawn[0].figure["data"][0]["y"] == weights


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (Fraction(0), "no error"),
        (Fraction(1, 8000), "+125 ppm"),
        (-0.000874, "−874 ppm"),
        (Fraction(-1, 100), "−1.00 %"),
        (1e-9, "+<1 ppm"),
    ],
)
def test_errors_are_written_in_ppm_or_per_cent(value: Fraction | float, text: str) -> None:
    assert numbers.error(value).replace("\u202f", " ") == text


@pytest.mark.parametrize(
    ("pitch", "inch", "first", "second"),
    [
        (mm(1), False, "1 mm", "25.4 tpi"),
        (tpi(8), True, "8 tpi", "3.175 mm"),
        (tpi(Fraction(23, 2)), True, "11.5 tpi", "2.2087 mm"),
        (mm("0.7"), True, "36.29 tpi", "0.7 mm"),
        (Pitch(Fraction(1), pi=True), False, "3.1416 mm", "8.085 tpi"),
    ],
)
def test_pitches_stand_in_the_lathes_unit_first(
    pitch: Pitch, inch: bool, first: str, second: str
) -> None:
    pair = numbers.pitch_pair(pitch, inch=inch)
    assert tuple(text.replace("\u202f", " ") for text in pair) == (first, second)
    lathe = samples.mini_lathe(leadscrew=tpi(8))
    assert numbers.inch_first(lathe)
    assert not numbers.inch_first(samples.mini_lathe(leadscrew=mm("1.5")))
