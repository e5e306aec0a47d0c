"""Wants and offers: TOML, and tables as spreadsheets leave them."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction
from importlib.resources import files
from pathlib import Path

import pytest
from file_samples import LEAST, write

from gearchest.catalogs.lathes import example
from gearchest.catalogs.threads import all_series
from gearchest.cli.check_command import check
from gearchest.cli.faults import Fault, FaultsError
from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.offers import default_offers, load_offers, read_offers
from gearchest.cli.files.wants import load_wants, want_from
from gearchest.optimizer.domain.gear import Offer
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.want import Use, Want
from gearchest.optimizer.domain.workshop import Workshop
from gearchest.optimizer.turning.sizes import sizes


@pytest.fixture
def lathe(tmp_path: Path) -> Lathe:
    return load_lathe(write(tmp_path, "small.toml", LEAST))


def wants(folder: Path, lathe: Lathe, text: str, name: str = "wants.toml") -> tuple[Want, ...]:
    return load_wants(write(folder, name, text), lathe)


def offers(folder: Path, lathe: Lathe, text: str) -> tuple[Offer, ...]:
    return load_offers(write(folder, "offers.csv", text), lathe)


def want_faults(
    folder: Path, lathe: Lathe, text: str, name: str = "wants.toml"
) -> tuple[Fault, ...]:
    with pytest.raises(FaultsError) as caught:
        wants(folder, lathe, text, name)
    return caught.value.faults


def offer_faults(folder: Path, lathe: Lathe, text: str) -> tuple[Fault, ...]:
    with pytest.raises(FaultsError) as caught:
        offers(folder, lathe, text)
    return caught.value.faults


def test_a_range_of_a_series_and_a_single_pitch(tmp_path: Path, lathe: Lathe) -> None:
    text = """
[[want]]
series = "iso-metric-coarse"
from = "M3"
to = "M6"
weight = 2
[[want]]
pitch = "9 mm"
name = "clamp screw"
use = "wood"
diameter = "50 mm"
tolerance = "0.4 %"
weight = 5
"""
    found = wants(tmp_path, lathe, text)
    # ISO 261: M3 0.5, M3.5 0.6, M4 0.7, M4.5 0.75, M5 0.8, M6 1
    assert [w.pitch.rational for w in found[:-1]] == [
        Fraction(n, 100) for n in (50, 60, 70, 75, 80, 100)
    ]
    assert {(w.weight, w.series) for w in found[:-1]} == {(Fraction(2), "iso-metric-coarse")}
    clamp = found[-1]
    assert (clamp.name, clamp.use, clamp.weight) == ("clamp screw", Use.WOOD, 5)
    assert clamp.allowance.relative == Fraction(4, 1000)
    assert clamp.allowance.why == "as asked: 0.4 %"


def test_the_allowance_is_the_threads_own(tmp_path: Path, lathe: Lathe) -> None:
    (m3, m6) = wants(tmp_path, lathe, '[[want]]\npitch = "M3"\n[[want]]\npitch = "M6"\n')
    assert float(m3.allowance.relative) == pytest.approx(0.0055, abs=5e-5)  # ISO 965-1, grade 6
    assert float(m6.allowance.relative) == pytest.approx(0.0034, abs=5e-5)


def test_equal_names_get_a_suffix_and_no_name_stands_twice(tmp_path: Path, lathe: Lathe) -> None:
    names = ("M6", "M6 (2)", "M6", "M6 (2)")
    text = "".join(f'[[want]]\npitch = "M6"\nname = "{name}"\n' for name in names)
    found = [w.name for w in wants(tmp_path, lathe, text)]
    assert len(set(found)) == 4
    assert found[0] == "M6"


WRONG_WANTS = """[[want]]
series = "iso-metric-curse"
[[want]]
series = "iso-metric-coarse"
from = "M20"
to = "M3"
[[want]]
pitch = "M6"
series = "ba"
[[want]]
pitch = "M11.5"
use = "wod"
wieght = 2
[[want]]
pitch = 8
tolerance = 0.4
weight = 0
[[want]]
name = "x"
[[want]]
pitch = "M10"
diameter = "12 mm"
[[want]]
pitch = "11-1/2"
"""


def test_all_faults_of_a_wants_file_come_at_once(tmp_path: Path, lathe: Lathe) -> None:
    faults = want_faults(tmp_path, lathe, WRONG_WANTS)
    lines = [fault.line for fault in faults]
    assert lines == [2, 6, 8, 11, 12, 13, 15, 16, 17, 18, 22, 24]
    by_line = {fault.line: fault for fault in faults}
    assert "iso-metric-coarse" in by_line[2].fix
    assert by_line[6].also[0][0] == 5
    assert by_line[8].also[0][0] == 9
    assert by_line[22].also[0][0] == 21
    assert '"weight"' in by_line[13].fix
    assert "tpi" in by_line[24].fix


def test_a_table_with_a_mark_semicolons_and_decimal_commas(tmp_path: Path, lathe: Lathe) -> None:
    text = (
        "\ufeffPitch;Name;Weight;Left;Tolerance;;\r\n1,25 mm;a;2,5;yes;0,4 %;;\r\n;;;;;;\r\n"
        "M10;;;;;;\r\n;;;;;;\r\n;;;;;;\r\n"
    )
    one, ten = wants(tmp_path, lathe, text, "wants.csv")
    assert (one.pitch.rational, one.name, one.weight, one.left) == (
        Fraction(5, 4),
        "a",
        Fraction(5, 2),
        True,
    )
    assert one.allowance.relative == Fraction(4, 1000)
    assert (ten.name, ten.left) == ("M10", False)


@pytest.mark.parametrize(
    "heading",
    ["Name;Pitch;Diameter;Weight", "Bezeichnung;Gewinde;Durchmesser [mm];Gewichtung",
     "Désignation;Filetage;Diamètre (mm);Poids", "Denominación;Rosca;Diámetro;Peso",
     "Nome;Filettatura;Diametro;Peso", "Naam;Draad;Buitendiameter;Belang"],
)  # fmt: skip
def test_headings_in_six_languages_mean_the_same(
    tmp_path: Path, lathe: Lathe, heading: str
) -> None:
    rows = "a;M10;;2\nb;1,25 mm;20,5 mm;1,5\n"
    ten, fine = wants(tmp_path, lathe, f"{heading}\n{rows}", "wants.csv")
    assert (ten.name, ten.pitch.rational, ten.weight) == ("a", Fraction(3, 2), 2)
    assert (fine.name, fine.pitch.rational) == ("b", Fraction(5, 4))
    assert (fine.diameter, fine.weight) == (Fraction(41, 2), Fraction(3, 2))


def test_a_unit_in_a_heading_is_that_of_the_bare_numbers_below_it(
    tmp_path: Path, lathe: Lathe
) -> None:
    text = "Steigung [mm];Durchmesser [Zoll];Toleranz (%)\n1,5;1/2;0,2\n2 mm;20 mm;\n"
    one, two = wants(tmp_path, lathe, text, "wants.csv")
    assert (one.pitch.rational, one.diameter) == (Fraction(3, 2), Fraction(127, 10))
    assert one.allowance.relative == Fraction(2, 1000)
    assert (two.pitch.rational, two.diameter) == (2, 20)
    (fault,) = want_faults(tmp_path, lathe, "pitch;diameter [furlong]\nM6;\n", "wants.csv")
    assert (fault.line, fault.value) == (1, "diameter [furlong]")


@pytest.mark.parametrize("beside", ["", "Series;", "Pitch;"])
def test_a_heading_that_is_none_is_one_fault(tmp_path: Path, lathe: Lathe, beside: str) -> None:
    """Not one for each row that lacks what stands below it."""
    text = f"Name;{beside}Gwnd;Weight\n" + f"a;{';' if beside else ''}M6;1\n" * 9
    (fault,) = want_faults(tmp_path, lathe, text, "wants.csv")
    assert (fault.line, fault.value) == (1, "Gwnd")
    assert '"Gwnd"' in fault.problem
    assert "pitch" in fault.allowed.split(", ")
    assert "inside" not in fault.fix


def test_what_else_is_wrong_below_a_bad_heading_is_told_too(tmp_path: Path, lathe: Lathe) -> None:
    found = want_faults(tmp_path, lathe, "pitch;colour\nM6;red\nM6.1;red\n", "wants.csv")
    assert [fault.line for fault in found] == [1, 3]


def test_a_table_without_a_pitch_is_one_fault(tmp_path: Path, lathe: Lathe) -> None:
    (fault,) = want_faults(tmp_path, lathe, "name;weight\na;1\nb;2\n", "wants.csv")
    assert fault.line == 1
    assert '"pitch" or "series"' in fault.problem
    (row,) = want_faults(tmp_path, lathe, "name;pitch\na;M6\nb;\n", "wants.csv")
    assert (row.line, "=" in row.fix) == (3, False)


@pytest.mark.parametrize(
    "cell",
    ["2-Jan", "02. Jan", "Jan-20", "2024-02-01", "01.04.2020", "1/4/20", "01/04/2020 00:00",
     "3. M\u00e4rz 2024"],
)  # fmt: skip
def test_a_cell_that_became_a_date_is_refused_by_row(
    tmp_path: Path, lathe: Lathe, cell: str
) -> None:
    text = f"pitch,name\nM6,3-May\n{cell},x\n"
    fault = want_faults(tmp_path, lathe, text, "wants.csv")[0]
    assert (fault.line, fault.where, fault.value) == (3, "column pitch", cell)
    assert "date" in fault.problem


def test_a_row_split_by_its_own_decimal_comma_is_refused(tmp_path: Path, lathe: Lathe) -> None:
    (fault,) = want_faults(tmp_path, lathe, "pitch,name\n1,25 mm,a\n", "wants.csv")
    assert fault.line == 2
    assert "comma" in fault.fix


def test_offers_with_currency_and_their_own_module(tmp_path: Path, lathe: Lathe) -> None:
    text = (
        "sep=;\nteeth;price;how;copies;module;note\n63;21,50 \u20ac;buy;;;\n"
        "24.0;$3;cut;2;0,8;own stock\n\n"
    )
    dear, own = offers(tmp_path, lathe, text)
    assert (dear.gear.teeth, dear.price, dear.how, dear.copies) == (
        63,
        Fraction(43, 2),
        "buy",
        None,
    )
    assert dear.gear == lathe.making.gear(63)
    assert (own.gear.teeth, own.gear.module, own.copies) == (24, Fraction(4, 5), 2)


def test_cells_over_several_lines_count_for_the_lines_they_take(
    tmp_path: Path, lathe: Lathe
) -> None:
    two = 'teeth,price,note\n63,1,"a note\nover two lines, and a ""quotation"""\n'
    (offer,) = offers(tmp_path, lathe, two)
    assert offer.note == 'a note over two lines, and a "quotation"'
    (fault,) = offer_faults(tmp_path, lathe, f"{two}6 3,1,\n")
    assert (fault.line, fault.value) == (4, "6 3")
    for end in ('64,1,"no end', '64,1,"no end\n65,1,\n', '"', '"\n'):
        (fault,) = offer_faults(tmp_path, lathe, f"{two}{end}")
        assert (fault.line, fault.problem) == (4, "a quotation mark here has no end")


def test_dp_offers(tmp_path: Path, lathe: Lathe) -> None:
    (offer,) = offers(tmp_path, lathe, "teeth,price,dp\n63,1,20\n")
    assert offer.gear.module == Fraction(127, 100)


def test_faults_of_offers_name_row_and_column(tmp_path: Path, lathe: Lathe) -> None:
    text = "teeth,price,how,colour\n63,2-Jan,buy,red\n6 3,1,steal\n-4,1\n,3\n63,1\n63,2\n"
    found = {(fault.line, fault.where) for fault in offer_faults(tmp_path, lathe, text)}
    assert found == {
        (2, "column price"),
        (3, "column teeth"),
        (3, "column how"),
        (4, "column teeth"),
        (5, "column teeth"),
        (7, "column teeth"),
    }


@pytest.mark.parametrize("text", ["", "\n\n", "teeth,price\n", "theet,price\n3,4\n", "a;b\n1;2"])
def test_tables_without_sense_are_refused(tmp_path: Path, lathe: Lathe, text: str) -> None:
    assert all(fault.fix for fault in offer_faults(tmp_path, lathe, text))


@pytest.mark.parametrize(
    "encoding", ["cp1252", "utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be"]
)
def test_a_file_in_whatever_encoding(tmp_path: Path, lathe: Lathe, encoding: str) -> None:
    path = tmp_path / "offers.csv"
    path.write_bytes("teeth,price,note\n63,1,gr\u00f6\u00dfer\n".encode(encoding))
    assert load_offers(path, lathe)[0].note == "gr\u00f6\u00dfer"


def test_bytes_that_are_no_text_name_their_line(tmp_path: Path, lathe: Lathe) -> None:
    path = tmp_path / "offers.csv"
    path.write_bytes(b"teeth,price,note\n63,1,gr\x81\xfe\n")  # 81 is nothing in Windows-1252
    with pytest.raises(FaultsError) as caught:
        load_offers(path, lathe)
    assert caught.value.faults[0].line == 2


def test_a_column_that_is_none_is_named_once_and_one_misspelt_is_asked_about(
    tmp_path: Path, lathe: Lathe
) -> None:
    path = write(tmp_path, "offers.csv", "teeth,price,colour\n63,1,red\n64,1,blue\n")
    found = read_offers(path, lathe)
    assert (len(found.offers), found.said) == (2, ("not used: colour",))
    (fault,) = offer_faults(tmp_path, lathe, "teeth,price,copeis\n63,1,2\n")
    assert fault.fix == 'did you mean "copies"?'


def test_without_offers_every_count_from_16_to_127_is_one(lathe: Lathe) -> None:
    found = default_offers(lathe)
    assert [offer.gear.teeth for offer in found] == list(range(16, 128))
    assert {(offer.price, offer.how, offer.copies) for offer in found} == {
        (Fraction(1), "buy", None)
    }


def test_one_want_from_the_command_line(lathe: Lathe) -> None:
    want = want_from("1/4-20 UNC LH", lathe=lathe)
    assert (want.left, want.pitch.rational, want.use) == (True, Fraction(127, 100), Use.FASTENER)
    with pytest.raises(FaultsError) as caught:
        want_from("8", lathe=lathe, use="wod", diameter="x", tolerance="1")
    wheres = {fault.where for fault in caught.value.faults}
    assert wheres == {"PITCH", "--use", "--diameter", "--tolerance"}


def test_the_example_loads_whole() -> None:
    shown = example()
    shop = load_lathe(shown.lathe)
    found = load_wants(shown.wants, shop)
    assert 30 <= len(found) <= 55
    assert {want.use for want in found} >= {Use.WOOD, Use.FASTENER, Use.WORM, Use.TRAVEL}
    assert len(load_offers(shown.offers, shop)) == 40


def test_a_gear_to_cut_may_leave_its_price_to_be_worked_out(tmp_path: Path, lathe: Lathe) -> None:
    dear = replace(lathe, workshop=Workshop(hourly_rate=Fraction(100)))
    text = "teeth,price,how\n60,,cut\n48,7,cut\n"
    cheap_cut, given = offers(tmp_path, lathe, text)
    dear_cut, _ = offers(tmp_path, dear, text)
    assert 0 < cheap_cut.price < dear_cut.price
    assert given.price == 7
    (fault,) = offer_faults(tmp_path, lathe, "teeth,price,how\n60,,buy\n")
    assert fault.where == "column price"


def test_a_travel_grade_is_a_named_choice(tmp_path: Path) -> None:
    """ISO 3408-3: grade T7 allows 52 um over 300 mm of travel, T5 23 um."""
    path = tmp_path / "wants.toml"
    path.write_text(
        '[[want]]\npitch = "2 mm"\ngrade = "T7"\n[[want]]\npitch = "2 mm"\nuse = "travel"\n'
        'grade = "t5"\n'
    )
    seven, five = load_wants(path, load_lathe(Path("mini-7-metric")))
    assert seven.use is Use.TRAVEL
    assert float(seven.allowance.relative) == pytest.approx(52e-3 / 300, rel=1e-4)
    assert float(five.allowance.relative) == pytest.approx(23e-3 / 300, rel=1e-4)


@pytest.mark.parametrize("word", ["feed screw", "Lead-screw", "leadscrews", "power screw"])
def test_a_screw_that_moves_something_is_no_feed(tmp_path: Path, word: str) -> None:
    path = tmp_path / "wants.toml"
    path.write_text(f'[[want]]\npitch = "2 mm"\nuse = "{word}"\ngrade = "T7"\n')
    (want,) = load_wants(path, load_lathe(Path("mini-7-metric")))
    assert want.use is Use.TRAVEL
    assert want.allowance.travel is not None


@pytest.mark.parametrize("known", [False, True])
def test_check_says_where_only_trains_are_judged(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], known: bool
) -> None:
    lathe, wants = tmp_path / "lathe.toml", tmp_path / "wants.toml"
    error = 'lead_error = "0.03 mm/300 mm"' if known else ""
    lathe.write_text(
        f'name = "L"\n[leadscrew]\npitch = "2 mm"\n{error}\n[gears]\nmodule = 1\nowned = "20 40"\n'
    )
    wants.write_text('[[want]]\npitch = "2 mm"\nuse = "travel"\n[[want]]\npitch = "M8"\n')
    check([lathe, wants])
    said = "so only trains are judged: 2 mm" in capsys.readouterr().out
    assert said is not known


def test_a_travel_grade_belongs_to_travel_threads(tmp_path: Path) -> None:
    path = tmp_path / "wants.toml"
    path.write_text('[[want]]\npitch = "2 mm"\nuse = "wood"\ngrade = "T7"\n')
    with pytest.raises(FaultsError) as raised:
        load_wants(path, load_lathe(Path("mini-7-metric")))
    assert "line 4" in str(raised.value.faults[0])


@pytest.mark.parametrize(
    ("text", "diameter", "major"),
    [
        ("9 mm", "50 mm", 50),  # a bare pitch
        ("bench vise", "30 mm", 30),  # a wooden size, which is a range
        ("M10", None, 10),
        ("9 mm", None, None),
    ],
)
def test_a_want_keeps_the_diameter_it_was_given(
    lathe: Lathe, text: str, diameter: str | None, major: int | None
) -> None:
    want = want_from(text, lathe=lathe, diameter=diameter)
    assert want.major_mm == major
    assert sizes(want).major == major


def test_a_series_brings_the_title_its_file_gives_it(tmp_path: Path, lathe: Lathe) -> None:
    text = "".join(f'[[want]]\nseries = "{each.name}"\n' for each in all_series())
    found = wants(tmp_path, lathe, text + '[[want]]\npitch = "M6"\n')
    heads = (files("gearchest.catalogs") / "series").iterdir()
    titles = {
        head.name.removesuffix(".csv"): match[1]
        for head in heads
        if (match := re.search(r"^# title: (.*)$", head.read_text(encoding="utf-8"), re.MULTILINE))
    }
    assert {want.series: want.series_title for want in found} == {**titles, "": ""}


def test_internal_threads_and_engaged_lengths(tmp_path: Path, lathe: Lathe) -> None:
    """A shorter engagement lets the same tolerance bear a larger lead error."""
    text = '[[want]]\npitch = "M10"\ninside = true\n[[want]]\npitch = "M10"\nengaged = "5 mm"\n'
    nut, short = wants(tmp_path, lathe, text)
    assert (nut.inside, nut.engaged) == (True, None)
    assert (short.inside, short.engaged) == (False, 5)
    assert short.allowance.relative > 2 * nut.allowance.relative
    (fault,) = want_faults(
        tmp_path, lathe, '[[want]]\npitch = "1 module"\nuse = "worm"\ninside = true\n'
    )
    assert "no internal thread" in fault.problem


@pytest.mark.parametrize("weight", ["1e-29", "0.0005", '"1/1001"', '"0,1234"'])
def test_weights_too_fine_to_add_up_are_refused_when_read(
    tmp_path: Path, lathe: Lathe, weight: str
) -> None:
    (fault,) = want_faults(tmp_path, lathe, f'[[want]]\npitch = "1 mm"\nweight = {weight}\n')
    assert (fault.line, fault.where) == (3, "want[1].weight")


def test_prices_too_fine_to_add_up_are_refused_when_read(tmp_path: Path, lathe: Lathe) -> None:
    path = write(tmp_path, "offers.toml", "[[offer]]\nteeth = 63\nprice = 0.0005\n")
    with pytest.raises(FaultsError, match="finer than can be added up"):
        load_offers(path, lathe)


def test_weights_with_three_decimals_or_thirds_are_read(tmp_path: Path, lathe: Lathe) -> None:
    text = "".join(f'[[want]]\npitch = "1 mm"\nweight = {w}\n' for w in ("0.125", '"1/3"', "1e6"))
    found = [want.weight for want in wants(tmp_path, lathe, text)]
    assert found == [Fraction(1, 8), Fraction(1, 3), 1_000_000]
