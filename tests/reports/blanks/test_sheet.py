"""The blank sheet: what it says, and that what it prints measures right in a real browser."""

import math
import re
from collections import Counter
from dataclasses import replace
from fractions import Fraction
from html import unescape
from io import BytesIO

import pytest

from gearchest.catalogs.index_plates import with_plates
from gearchest.catalogs.making import making_tables
from gearchest.optimizer.domain.gear import Chest
from gearchest.optimizer.domain.lathe import COMMON_HEAD, DividingHead, GearMaking, Lathe
from gearchest.optimizer.domain.pitch import tpi
from gearchest.optimizer.making.job import Wish
from gearchest.optimizer.making.sheet import blank_sheet
from gearchest.reports.blanks import measuring_view
from gearchest.reports.blanks.document import blanks_document
from gearchest.reports.blanks.gear_files import file_stem, gear_files
from gearchest.reports.blanks.sheet import blanks_sheet, cut_gears_context
from gearchest.reports.blanks.text import blank_lines
from gearchest.reports.page.shell import Facts, _environment

OWNED = (20, 20, 30, 35, 40, 40, 45, 50, 55, 57, 60, 65, 80)
MAKING = GearMaking(Fraction(1), Fraction(20), Fraction(8), 12.0, "3x1.4")


def lathe(making=MAKING, owned=OWNED, **more) -> Lathe:
    loose = tuple((making.gear(t), n) for t, n in sorted(Counter(owned).items()))
    return Lathe("Bench <lathe>", tpi(8), making, Chest(loose), **more)


def sheet(teeth, machine=None, **wish):
    return blank_sheet(machine or lathe(), teeth, making_tables(), Wish(**wish))


def page(*sheets, files=()):
    return blanks_sheet(sheets, Facts(version="0"), files)


def test_the_sheet_says_what_to_turn_cut_divide_and_measure():
    html = page(sheet(63))
    for said in (
        "65.00\u202fmm",  # tip: m (z + 2)
        "for 55 to 134 teeth",
        "No. 2 as DP cutters are numbered, No. 7 as module cutters are",
        "4 holes on 21, then plate 12 holes on 27",
        "63 × 40/63 = 40 turns of the crank: it closes.",
        "65.416",  # over 1.728 mm pins, tests/checks/gear_geometry.csv
        "Over 7 teeth",
    ):
        assert said in html, said
    assert "Bench &lt;lathe&gt;" in html
    assert "<lathe>" not in html


def test_every_move_is_listed_and_the_last_ends_on_zero():
    html = page(sheet(63))
    stops = re.search(r'<ol class="stops" start="0">(.*?)</ol>', html, re.S)[1]
    rows = re.findall(r"<b>(\w+)</b> (\d+) / (\d+)", stops)
    assert len(rows) == 64
    assert rows[0] == ("0", "0", "0")
    assert rows[-1] == ("end", "0", "0")
    turn = [Fraction(int(a), 21) + Fraction(int(b), 27) for _, a, b in rows]
    for k, place in enumerate(turn):  # whole turns drop out of hole numbers
        assert (place - Fraction(40 * k, 63)).denominator == 1


def test_a_refused_gear_says_why_and_nothing_else():
    refused = sheet(16)
    html = page(refused)
    assert "Not to be made" in html
    assert "keyway reaches" in html
    assert '<section class="true-size-page">' not in html
    assert any("not to be made" in line for line in blank_lines(refused))


def test_the_first_line_says_which_gears_can_be_made_then_a_row_for_each():
    html = page(sheet(63), sheet(16), sheet(127))
    first = unescape(re.search(r'<h2 id="verdict"[^>]*>(.*?)</h2>', html)[1])
    assert first.startswith("63 and 127 teeth can be made; 16 teeth not to be made: ")
    assert sheet(16).refusal.rstrip(".") in first
    table = html[html.index('<table id="gears"') : html.index("</table>")]
    assert re.findall(r'<a href="#gear-(\d+)">', table) == ["63", "127"]
    assert "65.00\u202fmm" in table
    assert html.index("</table>") < html.index('<article class="blank"')
    assert '<table id="gears"' not in page(sheet(63))


def test_a_division_that_is_not_exact_says_what_it_does():
    bare = lathe(owned=())
    html = page(sheet(127, bare))
    assert "Compound indexing, not exact" in html
    assert "For a change gear it does not matter" in html
    coarse = lathe(owned=(), dividing=(DividingHead("plate", 40, (15,)),))
    binding = "\n".join(blank_lines(sheet(127, coarse)))
    assert "not to be made" in binding
    assert "would bind" in binding
    text = "\n".join(blank_lines(sheet(127, coarse, backlash=0.5)))
    assert "Nearest holes" in text
    assert "Coarse and noisy" in text
    assert "holes moved add up to 600 = 40 × 15" in text


def test_differential_gears_and_their_proof():
    found = sheet(127)
    text = "\n".join(blank_lines(found))
    gears = found.heads[0].best.gears
    assert f"{gears.drivers[0]} drives {gears.driven[0]}" in text
    assert "one turn of the work. It closes." in text


def fifteens(**shafts) -> DividingHead:
    return DividingHead("head", 40, (15, 16), **shafts)


@pytest.mark.parametrize(
    ("shafts", "said", "fit"),
    [
        ({}, "go on the head's shafts (bore not known) is not known", "unknown"),
        ({"bore": 12.0, "keyway": "3x1.4"}, "gears go on the head's shafts: bore 12", "yes"),
        ({"bore": 12.0}, "need a bush or another key", "bushed"),
        ({"bore": 10.0, "keyway": "3x1.4"}, "need a bush or another key", "bushed"),
    ],
)
def test_differential_gears_say_whether_they_go_on_the_head(shafts, said, fit):
    found = sheet(61, lathe(dividing=(fifteens(**shafts),)))
    assert found.heads[0].best.method == "differential"
    assert said in "\n".join(blank_lines(found))
    assert said in html_text(page(found))
    ways = blanks_document([found])["gears"][0]["indexing"]
    assert {way["change_gears"]["fit_shafts"] for way in ways} == {fit}


def html_text(html: str) -> str:
    return unescape(re.sub(r"\s+", " ", html))


def test_gears_too_small_for_the_head_do_not_divide_on_it():
    found = sheet(61, lathe(dividing=(fifteens(bore=16.0),)), backlash=0.5)
    assert {way.method for way in found.heads[0].ways} == {"compound", "none"}
    assert "do not go on the head's shafts: bore 12" in "\n".join(blank_lines(found))


def test_a_depth_engraved_on_the_cutter_goes_first():
    usual, engraved = sheet(63), sheet(63, depth=Fraction("2.2"))
    assert "depth engraved on the cutter goes before this one" in "\n".join(blank_lines(usual))
    assert "depth engraved on the cutter goes before this one" in page(usual)
    assert engraved.blank.whole_depth == pytest.approx(2.2)
    assert engraved.blank.root_diameter == pytest.approx(65 - 2 * 2.2)
    assert "goes before this one" not in page(engraved)
    assert "the depth engraved and 0.027" in page(engraved)


def test_change_gears_that_divide_where_the_head_does_not_come_first():
    shop = lathe(owned=(81,), dividing=(DividingHead("direct", 1, (24,)),))
    text = "\n".join(blank_lines(sheet(27, shop)))
    assert "a 81 on the work's own spindle, a detent falling in every 3 teeth" in text
    assert "every 3 teeth" in page(sheet(27, shop)).split('class="parts"')[0]


def test_inch_sizes_come_first_for_a_dp_gear():
    dp = GearMaking(Fraction(127, 80), Fraction(29, 2), Fraction(19, 2), 15.875)
    html = page(sheet(45, lathe(dp, owned=())))
    assert "16\u202fDP, 14.5°" in html
    assert "2.9375\u202fin" in html  # 47/16 in across
    assert "2.157 m" in html


def test_a_shifted_gear_says_what_it_does_to_the_centre_distance():
    small = lathe(replace(MAKING, bore=4.0, keyway=""))
    html = page(sheet(12, small))
    assert "without undercut" in html
    assert "beside 20 teeth" in html
    cured = sheet(12, small, cure=True)
    assert cured.blank.shift == pytest.approx(1 - 12 * math.sin(math.radians(20)) ** 2 / 2)
    assert not cured.blank.undercut


def test_files_are_linked_and_pages_make_no_request():
    html = page(sheet(63), files=[("gear-63-m1.dxf",)])
    assert '<a href="gear-63-m1.dxf">' in html
    assert not re.findall(r'(?:src|href)="(?!#|data:|gear-)', html)


def test_the_document_keeps_the_contract():
    """Keys and forms as fixed for other programs that read this JSON."""
    document = blanks_document([sheet(63), sheet(127), sheet(16)], [("a.dxf",), (), ()])
    assert (document["kind"], document["version"]) == ("blanks", 1)
    first, second, refused = document["gears"]
    assert first["teeth"] == 63
    assert first["module"] == 1
    assert first["pressure_angle_deg"] == 20
    assert (first["tip_diameter_mm"], first["pitch_diameter_mm"]) == (65, 63)
    assert (first["root_diameter_mm"], first["depth_mm"]) == (60.5, 2.25)
    assert first["undercut"] is False
    assert first["span"]["teeth"] == 7
    assert first["over_pins"]["pin_mm"] == 1.728
    assert first["over_pins"]["mm"] == pytest.approx(65.41591, abs=1e-5)
    assert first["files"] == ["a.dxf"]
    for way in first["indexing"] + second["indexing"]:
        assert way["method"] in ("plain", "compound", "differential", "none")
        turns = way["turns"] + sum(Fraction(m["holes"], m["circle"]) for m in way["moves"])
        gears = way["change_gears"]
        plate = Fraction(0)
        if gears:
            plate = Fraction(math.prod(gears["drivers"]), math.prod(gears["driven"]))
            meshes = len(gears["drivers"]) + len(gears["idlers"])
            plate = -plate if meshes % 2 else plate
        teeth = 63 if way in first["indexing"] else 127
        assert turns * teeth + plate == 40
        assert way["spacing_error_deg"] == 0
    assert refused["refused"]
    assert refused["span"] is None


def test_plates_in_common_use_are_recognised():
    head = with_plates(DividingHead("mine", 40, COMMON_HEAD.circles))
    assert set(head.plates) == set(COMMON_HEAD.plates)
    odd = with_plates(DividingHead("odd", 90, (15, 16, 17, 18, 19, 20, 51, 77)))
    assert odd.plates == ((15, 16, 17, 18, 19, 20), (51, 77))
    assert with_plates(DividingHead("own", 90, (22, 38))).plates == ()


@pytest.mark.browser
def test_the_svg_measures_right_in_a_browser(browser, tmp_path):
    """A CSS millimetre is 96/25.4 pixels: the lines and the gear measured as laid out."""
    blank = sheet(63).blank
    path = tmp_path / "gear.svg"
    path.write_bytes(gear_files(blank)[f"{file_stem(blank)}.svg"])
    tab = browser.new_page()
    tab.goto(path.as_uri())
    widths = dict(
        tab.evaluate(
            "[...document.querySelectorAll('.check, .outline')]"
            ".map(e => [e.dataset.mm ?? 'gear', e.getBoundingClientRect().width * 25.4 / 96])"
        )
    )
    assert widths["100"] == pytest.approx(100, abs=0.2)
    assert widths["101.6"] == pytest.approx(101.6, abs=0.2)
    assert widths["gear"] == pytest.approx(65, abs=0.2)


def horizontal_lines(pdf: bytes) -> list[float]:
    """Lengths in mm of the level strokes on every page, by the PDF's own coordinates."""
    from pypdf import PdfReader
    from pypdf.generic import ContentStream

    lengths = []
    for sheet_page in PdfReader(BytesIO(pdf)).pages:
        matrix, stack, at = (1, 0, 0, 1, 0, 0), [], (0.0, 0.0)
        for operands, operator in ContentStream(sheet_page["/Contents"], None).operations:
            numbers = [float(n) for n in operands] if operator in (b"cm", b"m", b"l") else []
            if operator == b"q":
                stack.append(matrix)
            elif operator == b"Q":
                matrix = stack.pop()
            elif operator == b"cm":
                a, b, c, d, e, f = numbers
                p, q, r, s, t, u = matrix
                matrix = (
                    a * p + b * r, a * q + b * s, c * p + d * r, c * q + d * s,
                    e * p + f * r + t, e * q + f * s + u,
                )  # fmt: skip
            elif operator in (b"m", b"l"):
                x, y = numbers
                here = (
                    x * matrix[0] + y * matrix[2] + matrix[4],
                    x * matrix[1] + y * matrix[3] + matrix[5],
                )
                if operator == b"l" and abs(here[1] - at[1]) < 1e-3:
                    lengths.append(abs(here[0] - at[0]) * 25.4 / 72)
                at = here
    return lengths


@pytest.mark.browser
def test_the_printed_check_lines_measure_right(browser):
    """Printed to PDF on A4 and on Letter, read back in the PDF's points of 1/72 in."""
    tab = browser.new_page()
    tab.set_content(page(sheet(63), sheet(127)))
    for paper in ("A4", "Letter"):
        lines = horizontal_lines(tab.pdf(format=paper, prefer_css_page_size=False))
        for length in (100, 101.6):
            right = [line for line in lines if abs(line - length) < 0.2]
            assert len(right) >= 2, (paper, length)  # one for each gear


@pytest.mark.browser
def test_nothing_runs_past_the_edge_at_phone_and_laptop_width(browser):
    tab = browser.new_page()
    tab.set_content(page(sheet(63), sheet(16)))
    for width in (360, 1366):
        tab.set_viewport_size({"width": width, "height": 800})
        assert tab.evaluate("document.documentElement.scrollWidth") <= width


def test_a_plan_can_take_the_sections_without_the_drawings_at_true_size():
    html = (
        _environment()
        .get_template("blanks/cut_gears.html.j2")
        .render(lathe=lathe(), **cut_gears_context([sheet(63), sheet(16)]))
    )
    assert "Making the gears to cut" in html
    assert "65.416" in html
    assert "Not to be made" in html
    assert "true-size" not in html
    empty = _environment().get_template("blanks/cut_gears.html.j2").render(**cut_gears_context([]))
    assert not empty.strip()


def test_pins_stand_in_the_gears_own_unit():
    """16 DP: 1.728/16 = 0.108 in, 2.743 mm, before the mm that rods come in; a module gear's in mm
    alone (by hand)."""

    def told(making):
        found = sheet(40, lathe(making, (40,)))
        rows = [row.how for row in measuring_view.measure_rows(found)]
        return " ".join([*rows, measuring_view.pins_note(found)]).replace("\u202f", " ")

    inches = told(replace(MAKING, module=Fraction(254, 160), face_width=Fraction(10)))
    assert "Over two pins of 0.1080 in (2.743 mm) (preferred)" in inches
    assert re.search(r"Pins from 0\.\d{4} to 0\.\d{4} in \(\d", inches)
    metric = told(MAKING)
    assert "Over two pins of 1.728 mm (preferred)" in metric
    assert " in (" not in metric
