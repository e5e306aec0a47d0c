"""Fewer bytes, the same document."""

from __future__ import annotations

from html.parser import HTMLParser

import pytest
from markupsafe import escape

from gearchest.reports.page.lean import lean, lean_script


@pytest.mark.parametrize(
    ("full", "short"),
    [
        ('<ul class="a b">\n  <li id="x">one</li>\n  <li>two</li>\n</ul>',
         '<ul class="a b"><li id=x>one<li>two</ul>'),
        ("<dl>\n<dt>Cuts</dt><dd>8 tpi</dd>\n<dt>Error</dt><dd>none</dd></dl>",
         "<dl><dt>Cuts<dd>8 tpi<dt>Error<dd>none</dl>"),
        ('<use href="#g4" y="-92"/><path d="M0 0"/>', '<use href=#g4 y=-92 /><path d="M0 0"/>'),
        ('<a href="#x">in tolerance\n+125 ppm</a>', "<a href=#x>in tolerance\n+125 ppm</a>"),
        ('<p hidden="">a\n  <b>b</b></p>', '<p hidden="">a\n<b>b</b></p>'),
    ],
)  # fmt: skip
def test_what_can_be_left_out_is(full: str, short: str) -> None:
    assert lean(full) == short


def test_what_a_person_typed_stays_as_it_is() -> None:
    name = 'M6 class="x" </li> <td id="y">'
    assert str(escape(name)) in lean(f'<td title="{escape(name)}">{escape(name)}</td>')


class Heard(HTMLParser):
    """Tags opened, with their attributes, and texts."""

    def __init__(self, markup: str) -> None:
        super().__init__()
        self.parts: list[object] = []
        self.feed(markup)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.parts.append((tag, attrs))

    def handle_data(self, data: str) -> None:
        self.parts += data.split()


def test_sheets_keep_their_elements_attributes_and_words() -> None:
    import report_samples as samples

    from gearchest.reports.page.shell import part
    from gearchest.reports.plan.setups_view import thread_sheets

    for one in thread_sheets(samples.plan()):
        for sheet in (*one.sheets, *one.more):
            full = part("trains/sheet.html.j2", sheet=sheet)
            assert Heard(lean(full)).parts == Heard(full).parts


def test_a_script_keeps_its_text_and_loses_its_comments() -> None:
    full = '\n  // Alone.\n  const SLICE = 16; // milliseconds\n  at("a; // b", "//c"); // it\'s\n'
    assert lean_script(full) == '\nconst SLICE = 16;\nat("a; // b", "//c"); // it\'s\n'
