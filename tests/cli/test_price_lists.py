"""Price lists of shops: the same gears out of every dialect; what is not understood is told."""

from __future__ import annotations

import subprocess
import sys
import time
from fractions import Fraction
from pathlib import Path

import openpyxl
import pytest
from file_samples import LEAST, write
from price_lists import GEARS, SOLD_OUT, lists, swelling

from gearchest.cli.faults import FaultsError
from gearchest.cli.files.amounts import ANY, amount, decimal_mark, in_stock
from gearchest.cli.files.headings import PHRASES, meaning, understand
from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.offers import Offered, read_offers
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.notation import NotationError

LISTS = lists()


@pytest.fixture
def lathe(tmp_path: Path) -> Lathe:
    return load_lathe(write(tmp_path, "small.toml", LEAST))


def read(folder: Path, lathe: Lathe, text: str, name: str = "list.csv") -> Offered:
    return read_offers(write(folder, name, text), lathe)


def test_there_are_twenty() -> None:
    assert len(LISTS) >= 20


@pytest.mark.parametrize("name", LISTS)
def test_the_same_offers_out_of_every_dialect(tmp_path: Path, lathe: Lathe, name: str) -> None:
    suffix, data = LISTS[name]
    path = tmp_path / f"list{suffix}"
    path.write_bytes(data)
    found = read_offers(path, lathe)
    assert [(o.gear.teeth, o.price, o.copies) for o in found.offers] == [
        (teeth, Fraction(price), count) for teeth, price, count in GEARS
    ]
    assert {o.gear.module for o in found.offers} == {1}
    assert {o.how for o in found.offers} == {"buy"}
    assert found.said[0].startswith("5 gears understood: teeth from ")
    (left_out,) = [line for line in found.said if line.startswith("line ")]
    assert f"left out, not in stock: {SOLD_OUT} teeth" in left_out


def test_what_was_understood_is_one_line(tmp_path: Path, lathe: Lathe) -> None:
    text = "Art;Zähne;Modul;Preis netto;Preis brutto;Lager;Farbe\n1;63;1;18 €;21,50 €;3;rot\n"
    assert read(tmp_path, lathe, text).said == (
        '1 gear understood: teeth from "Zähne", price from "Preis brutto" in €, module from '
        '"Modul", stock from "Lager"; not used: Art, Farbe, Preis netto',
    )


ODD = """Zähne;Preis;Lager
63;21,50 €;3
Satz 20-80;199,00 €;1
64;auf Anfrage;2
65;;2
66;19,90 €;Lieferzeit 3 Tage
07. Jan;19,90 €;2
68;-5 €;2
5;19,90 €;2
Versand;5,90 €;
69;ab 10,00 €;
70;1.234 Cent;
"""


def test_what_was_not_is_told_row_by_row(tmp_path: Path, lathe: Lathe) -> None:
    found = read(tmp_path, lathe, ODD)
    assert [offer.gear.teeth for offer in found.offers] == [63, 66]
    said = {int(line.split()[1].rstrip(":")): line for line in found.said if line[:5] == "line "}
    assert list(said) == [3, 4, 5, 6, 7, 8, 9, 10, 11, 12]
    assert 'no tooth count: "Satz 20-80"' in said[3]
    assert 'this is no price: "auf Anfrage"' in said[4]
    assert "no price" in said[5]
    assert 'in stock "Lieferzeit 3 Tage": taken as to be had' in said[6]
    assert "made a date of its teeth" in said[7]
    assert 'price "-5": this is too small' in said[8]
    assert 'no tooth count: "5"' in said[9]
    assert all("left out" in line for number, line in said.items() if number != 6)


def test_very_many_odd_rows_are_counted(tmp_path: Path, lathe: Lathe) -> None:
    found = read(tmp_path, lathe, "Zähne;Preis\n63;1\n" + "Satz;2\n" * 300)
    assert len(found.said) < 25
    assert found.said[-1] == "and 280 more lines like these"


@pytest.mark.parametrize(
    ("written", "material", "told"),
    [
        ("Stahl C45", "steel", ""), ("acier", "steel", ""),
        ("Guss GG25", "cast iron", "of cast iron"),
        ("Messing (CuZn39Pb3)", "brass", "of brass"), ("POM", "pom", "of pom"),
        ("Stahl gehärtet", "hardened steel", "of hardened steel"),
        ("Ebenholz", "Ebenholz", "of Ebenholz, yours steel: strength unchecked"),
        ("Stahl/Messing", "Stahl/Messing", "strength unchecked"),
        ("", "steel", ""),
    ],
)  # fmt: skip
def test_what_a_gear_is_made_of_is_taken_and_told(
    tmp_path: Path, lathe: Lathe, written: str, material: str, told: str
) -> None:
    for text in (
        f"Zähne;Preis;Werkstoff\n63;1;{written}\n",
        f"teeth;price;material\n63;1;{written}\n",
    ):
        found = read(tmp_path, lathe, text)
        (offer,) = found.offers
        assert offer.gear.material == material
        assert told in offer.note
        assert bool(told) == any(line.startswith("of ") for line in found.said)


SHOP = LEAST.replace("module = 1", 'module = 1\nbore = 12\nface_width = 8\nkeyway = "3x1.4"')


def test_what_has_to_be_altered_is_told_and_noted(tmp_path: Path) -> None:
    lathe = load_lathe(write(tmp_path, "shop.toml", SHOP))
    text = """Teeth,Price,Bore (mm),Keyway,Face width,Note
63,1,10,3x1.4,8,from A
64,1,Ø12 H7,none,8,
65,1,14,"4 x 1,8 mm",8,
66,1,12,3 x 1.4 mm,6 mm,
"""
    found = read(tmp_path, lathe, text)
    assert [offer.note for offer in found.offers] == [
        "from A, bore 10, yours 12: to be bored out",
        "no keyway, yours 3x1.4: to be cut",
        "bore 14, yours 12: to be bushed, keyway 4x1.8, yours 3x1.4: to be fitted",
        "face width 6, yours 8: mind the spacers",
    ]
    assert [float(offer.gear.face_width or 0) for offer in found.offers] == [8, 8, 8, 6]
    assert "bore 10, yours 12: to be bored out: 63" in found.said
    assert found.offers[0].gear == lathe.making.gear(63)


def test_bores_in_inches_by_their_heading(tmp_path: Path) -> None:
    lathe = load_lathe(write(tmp_path, "shop.toml", SHOP.replace("12", '"1/2 in"')))
    found = read(tmp_path, lathe, 'Teeth,Price,Bore (in)\n63,1,1/2\n64,1,0.5\n65,1,"12,7 mm"\n')
    assert [offer.note for offer in found.offers] == ["", "", ""]


def test_what_meshes_with_nothing_is_left_out(tmp_path: Path, lathe: Lathe) -> None:
    text = (
        "Teeth,Price,Module,PA\n63,1,1,20\n64,1,0.5,20°\n65,1,1,14.5\n66,1,20 DP,20\n67,1,M1,20\n"
    )
    found = read(tmp_path, lathe, text)
    assert [offer.gear.teeth for offer in found.offers] == [63, 67]
    assert set(found.said[1:]) == {
        "module 0.5, yours 1: mesh with no gear owned, 1 gear left out",
        "pressure angle 14.5, yours 20: mesh with no gear owned, 1 gear left out",
        "module 1.27, yours 1: mesh with no gear owned, 1 gear left out",
    }


def test_dp_lists_for_dp_lathes(tmp_path: Path) -> None:
    lathe = load_lathe(write(tmp_path, "inch.toml", LEAST.replace("module = 1", "dp = 20")))
    for heading, cell in (("DP", "20"), ("Diametral pitch", "20"), ("Module/DP", "20DP")):
        found = read(tmp_path, lathe, f"Teeth,Price,{heading}\n63,1,{cell}\n")
        assert found.offers[0].gear.module == Fraction(127, 100)


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("Zähne;Preis\n63;1 €\n64;£1\n", "prices in € and in £"),
        ("Artikel;Farbe\n63;rot\n", "no column of tooth counts"),
        ("Zähne;Farbe\n63;rot\n", "no column of prices"),
        ("63;21,50\n64;22,00\n", "no column of tooth counts"),
        ("Zähne;Preis\n", "no rows below the heading"),
        ("Zähne;Preis\nSatz;1\n", "no tooth count"),
        ("Zähne;Preis;Modul\n63;1;2\n", "no gear of this list suits the lathe"),
        ('Zähne;Preis\n"63;1\n', "quotation mark"),
        ("x," * 300 + "\n", "more than 200 columns"),
        ("", "empty"),
    ],
)
def test_lists_without_sense_are_refused(
    tmp_path: Path, lathe: Lathe, text: str, problem: str
) -> None:
    with pytest.raises(FaultsError) as caught:
        read(tmp_path, lathe, text)
    assert problem in caught.value.faults[0].problem
    assert caught.value.faults[0].fix


def test_a_damaged_spreadsheet_is_refused(tmp_path: Path, lathe: Lathe) -> None:
    for data in (b"", b"PK\x03\x04nonsense", LISTS["numbers of a spreadsheet"][1][:2000]):
        path = tmp_path / "list.xlsx"
        path.write_bytes(data)
        with pytest.raises(FaultsError) as caught:
            read_offers(path, lathe)
        assert "no such spreadsheet" in caught.value.faults[0].problem


@pytest.mark.parametrize(("rows", "columns"), [(1_048_576, 16_384), (3_000, 16_384)])
def test_a_sheet_that_repeats_a_cell_without_end_is_refused_at_once(
    tmp_path: Path, lathe: Lathe, rows: int, columns: int
) -> None:
    path = tmp_path / "list.ods"
    path.write_bytes(swelling(rows, columns))
    assert path.stat().st_size < 2_000
    start = time.process_time()
    with pytest.raises(FaultsError) as caught:
        read_offers(path, lathe)
    assert caught.value.faults[0].fix
    assert time.process_time() - start < 5


@pytest.mark.parametrize(("row", "column", "most"), [(3, 16_384, "columns"), (900_000, 2, "rows")])
def test_a_cell_far_off_is_told_and_not_reached_for(
    tmp_path: Path, lathe: Lathe, row: int, column: int, most: str
) -> None:
    book = openpyxl.Workbook()
    book.active["A1"] = "Teeth"
    book.active.cell(row, column).value = 1
    book.save(tmp_path / "list.xlsx")
    with pytest.raises(FaultsError) as caught:
        read_offers(tmp_path / "list.xlsx", lathe)
    assert most in caught.value.faults[0].problem


def test_reach_starts_without_pandas() -> None:
    code = "import sys, gearchest.cli.reach_command as c; print('pandas' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"


@pytest.mark.parametrize(
    ("text", "value", "currency"),
    [
        ("40", "40", ""), ("40,00", "40", ""), ("€40", "40", "€"), ("40 EUR", "40", "€"),
        ("£1,250.00", "1250", "£"), ("1.234,50", "1234.50", ""), ("1 234,50 €", "1234.50", "€"),
        ("1'234.50", "1234.50", ""), ("CHF 21.-", "21", "CHF"), ("21,– €", "21", "€"),
        ("12,50 €*", "12.50", "€"), ("$ 3", "3", "$"), ("1.234.567", "1234567", ""),
        ("12,50 € inkl. MwSt", "12.50", "€"), ("3,5", "3.5", ""), ("-5", "-5", ""),
        ("0.1234", "0.1234", ""),
    ],
)  # fmt: skip
def test_amounts_by_hand(text: str, value: str, currency: str) -> None:
    found = amount(text)
    assert (found.value, found.currency) == (Fraction(value), currency)


@pytest.mark.parametrize(
    "text", ["", "free", "auf Anfrage", "1,234", "1.234", "10 %", "3-Feb", "12 apples", "€5 or £4",
             "ab 12 €", "1,23,45", "12 34", "1e5", "nan"],
)  # fmt: skip
def test_what_is_no_amount(text: str) -> None:
    with pytest.raises(NotationError):
        amount(text)


def test_a_column_tells_thousands_from_decimals() -> None:
    cells = ["21,50", "1.234", "8,-"]
    assert decimal_mark(cells) == ","
    assert [amount(cell, ",").value for cell in cells] == [Fraction("21.5"), 1234, 8]
    assert decimal_mark(["21.50", "21,50"]) == decimal_mark(["1.234"]) == ""


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("12 Stk", 12), ("12", 12), ("24.0", 24), ("> 10", 10), ("10+", 10), ("3 available", 3),
        ("mehr als 10 Stück", 10), ("out of stock", 0), ("Sold Out!", 0), ("épuisé", 0), ("-", 0),
        ("0 Stk", 0), ("in stock", ANY), ("sofort lieferbar", ANY), ("ja", ANY),
        ("Lieferzeit 3 Tage", None), ("12 bis 15", None), ("bald", None), ("2 weeks", None),
    ],
)  # fmt: skip
def test_numbers_in_stock_by_hand(text: str, count: int | None) -> None:
    assert in_stock(text) == count


@pytest.mark.parametrize(
    ("heading", "name"),
    [
        ("Zähnezahl", "teeth"), ("Anzahl Zähne", "teeth"), ("Aantal tanden", "teeth"),
        ("Nombre de dents", "teeth"), ("Nº dientes", "teeth"), ("N° denti", "teeth"),
        ("No. of teeth", "teeth"), ("Anzahl", "copies"), ("Qté", "copies"), ("Giacenza", "copies"),
        ("Preis pro Stück", "price"), ("PVP", "price"), ("Price (£ inc VAT)", "price"),
        ("Ø alésage", "bore"), ("Bohrung [mm]", "bore"), ("Foro", "bore"), ("Asgat", "bore"),
        ("Modul m", "module"), ("Moduul", "module"), ("Paso diametral", "dp"),
        ("Eingriffswinkel", "pressure_angle"), ("Zahnbreite", "face_width"), ("Spiebaan", "keyway"),
        ("SKU", None), ("Gewicht", None), ("Description", None), ("Outside diameter", None),
        ("EAN", None), ("Beschreibung", None), ("Date", None), ("", None),
    ],
)  # fmt: skip
def test_headings_by_hand(heading: str, name: str | None) -> None:
    assert meaning(heading) == name


def test_every_phrase_means_its_column() -> None:
    assert {phrase: meaning(phrase) for phrase in PHRASES} == PHRASES
    for name in ("teeth", "price", "module", "dp", "bore", "copies"):
        assert sum(found == name for found in PHRASES.values()) >= (
            3 if name in "module dp" else 12
        )


def test_the_price_that_is_paid_for_one() -> None:
    heading = ["Preis ab 10", "Nettopreis", "Preis", "Preis inkl. MwSt"]
    for last in range(1, len(heading) + 1):
        assert understand(heading[:last]).headings["price"] == heading[last - 1]
