"""The page of a plan of very many threads: setups travel packed, and what stands for readers
without scripts tells and draws the same."""

from __future__ import annotations

import html
import re
from functools import cache
from xml.etree import ElementTree

import pytest
import report_samples as samples

from gearchest.reports.page.shell import Facts
from gearchest.reports.plan import bare_view, setups_view
from gearchest.reports.plan.setups_view import ThreadSheet, thread_sheets
from gearchest.reports.plan.sheet import plan_sheet
from gearchest.reports.words import wording


@cache
def whole() -> list[ThreadSheet]:
    """The sample's setups as they stand in its own page."""
    return thread_sheets(samples.plan())


def setup_of(text: str, want: str) -> str:
    ident = wording.anchors([want])[0]
    start = text.index(f'id="{ident}"', text.index('<section id="setups"'))
    return text[start : text.index("</article>", start)]


def written() -> str:
    return plan_sheet(samples.plan(), Facts(), charts=False)


@pytest.fixture(scope="module")
def text() -> str:
    """The sample's page."""
    return samples.quoted(written())


@pytest.fixture
def many(text: str, monkeypatch: pytest.MonkeyPatch) -> str:
    """The same as that of a great many threads is written."""
    whole()
    monkeypatch.setattr(setups_view, "MOST_WHOLE", 0)
    monkeypatch.setattr(bare_view, "SAID_OFTEN", 2)
    return written()


def test_of_very_many_threads_setups_travel_packed_as_they_would_stand(
    many: str, text: str
) -> None:
    held = samples.filled(many, "setup-panels")
    drawing = re.compile(r'<svg class="train".*?</svg>|<span class="unscripted">.*?</span>', re.S)
    for want in samples.plan().wants:
        ident = wording.anchors([want.name])[0]
        (panel,) = held[ident]
        opened = samples.quoted(panel)
        assert f'id="{ident}"' in opened
        assert not drawing.search(opened)
        plain = drawing.sub("", setup_of(text, want.name))
        for sheet in opened.split('<div class="train-sheet')[1:]:
            assert sheet.split('data-steps="')[1] in plain


def test_without_scripts_such_a_page_tells_every_figure_of_the_trains(many: str) -> None:
    """What stands, with what the style sheet and the line above add to it, word by word."""
    text = samples.quoted(many)
    said = {
        number: re.sub(r"\\([0-9a-f]+) ", lambda sign: chr(int(sign[1], 16)), words)
        for number, words in re.findall(r'\.bare \.(n\d+)::after \{ content: "(.*?)"', text)
    }
    assert said
    above = re.search(r">Of all trains: (.*?)<noscript>", text, re.DOTALL)
    told = 0
    for made in whole():
        markup = setup_of(text, made.name)
        plain = re.sub(r'<i class="(n\d+)"></i>', lambda of: said[of[1]], markup)
        words = html.unescape(re.sub(r"<[^>]*>", " ", plain)) + (above[1] if above else "")
        bare = " ".join(words.split())
        for sheet in made.sheets:
            if sheet.away:
                continue
            wanted = [sheet.title, sheet.mark.word, *sheet.reasons, *sheet.cures]
            for fact in sheet.mount + sheet.cut:
                wanted += [fact.label, fact.value, fact.note]
            for figure in wanted:
                assert " ".join(figure.split()) in bare, (made.name, figure)
                told += 1
        for row in made.rows:
            assert row.train in bare
            assert row.teeth in bare
            assert row.which in bare
    assert told > 50


def test_without_scripts_such_a_page_draws_each_train_where_it_hangs(many: str) -> None:
    """Each gear stands where the drawing with letters puts it, and on the same layer."""
    text = samples.quoted(many)
    compared = 0
    for made in whole():
        for sheet in made.sheets:
            if sheet.away:
                continue
            (drawn,) = re.findall(r'<svg class="train".*?</svg>', setup_of(text, made.name), re.S)
            assert gears_of(drawn) == gears_of(samples.quoted(str(sheet.drawing)))
            compared += 1
    assert compared


def gears_of(svg: str) -> list[tuple[str, float, float, int]]:
    """Each gear of a drawing of a train: its symbol, where it stands, and its plane."""
    found, root = [], ElementTree.fromstring(re.sub(r"&\w+;", "", svg))

    def walk(node: ElementTree.Element, x: float, y: float) -> None:
        moved = re.match(r"translate\((.*),(.*)\)", node.get("transform", ""))
        if moved:
            x, y = x + float(moved[1]), y + float(moved[2])
        kind = node.get("class") or "p0"
        if re.match(r"#g\d", node.get("href", "")) and kind != "hidden":
            at = float(node.get("x", 0)) + x, float(node.get("y", 0)) + y
            found.append((node.attrib["href"], *at, int(kind[1:])))
        for child in node:
            walk(child, x, y)

    walk(root, 0.0, 0.0)
    return sorted(found)
