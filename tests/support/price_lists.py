"""Price lists in the dialects that shops and spreadsheets write, all of the same gears."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable
from decimal import Decimal

import pandas as pd

GEARS: list[tuple[int, str, int | None]] = [
    (63, "21.50", 12), (65, "19.90", None), (70, "1234.50", 3), (72, "8", 1), (127, "45", None),
]  # fmt: skip
"""Teeth, price, how many: any number of the second and the last."""

SOLD_OUT = 64
"""Listed by all, but not to be had."""

Write = Callable[[str], str]


def comma(price: str) -> str:
    """1234.50 as the continent writes it."""
    whole, _, part = f"{Decimal(price):,.2f}".partition(".")
    return f"{whole.replace(',', '.')},{part}"


def point(price: str) -> str:
    return f"{Decimal(price):,.2f}"


def rows(
    price: Write, stock: str, some: str, none: str, teeth: str = "{}", size: str = ""
) -> list[list[str]]:
    """Rows of teeth, price, stock, and size where there is one; `stock` holds {} for the number."""
    found = [
        [teeth.format(z), price(p), some if n is None else stock.format(n)] for z, p, n in GEARS
    ]
    found.insert(1, [teeth.format(SOLD_OUT), price("22"), none])
    return [[*row, size] for row in found] if size else found


def table(separator: str, heading: list[str], body: list[list[str]], end: str = "\r\n") -> str:
    """Separated text; cells are quoted where they hold the separator or a line end."""

    def cell(text: str) -> str:
        return f'"{text}"' if separator in text or "\n" in text else text

    return end.join(separator.join(map(cell, row)) for row in [heading, *body]) + end


def _book(engine: str, sheets: dict[str, list[list[object]]]) -> bytes:
    file = io.BytesIO()
    with pd.ExcelWriter(file, engine=engine) as writer:  # type: ignore[call-overload]
        for name, cells in sheets.items():
            width = max(map(len, cells))
            even = [[*row, *[None] * (width - len(row))] for row in cells]
            pd.DataFrame(even).to_excel(writer, sheet_name=name, header=False, index=False)
    return file.getvalue()


def _typed() -> list[list[object]]:
    """Cells as spreadsheets hold them: numbers are numbers."""
    body: list[list[object]] = [[z, float(p), "yes" if n is None else n] for z, p, n in GEARS]
    return [["Zähne", "Preis", "Lager"], *body, [SOLD_OUT, 22.0, 0]]


EURO: Write = lambda price: f"{comma(price)} €"  # noqa: E731
GERMAN = rows(EURO, "{} Stk", "auf Lager", "ausverkauft")
FRENCH = rows(
    lambda p: f"{comma(p).replace('.', chr(0x202F))} €", "{} pièces", "en stock", "rupture de stock"
)
SPANISH = rows(lambda p: f"{comma(p)} EUR", "{} uds.", "disponible", "agotado")
ITALIAN = rows(lambda p: f"€ {comma(p)}", "{} pz", "disponibile", "esaurito")
DUTCH = rows(lambda p: f"€ {comma(p)}", "{} stuks", "op voorraad", "uitverkocht")
ENGLISH = rows(lambda p: f"£{point(p)}", "{} in stock", "in stock", "Out of Stock")
SWISS = rows(
    lambda p: "CHF " + point(p).replace(",", "'").replace(".00", ".–"), "> {}", "ja", "nein"
)
BARE = rows(comma, "{}", "x", "0")


def _numbered(body: list[list[str]]) -> list[list[str]]:
    return [[f"W-{i}", *row, "12,5 g"] for i, row in enumerate(body)]


def _sections(body: list[list[str]]) -> list[list[str]]:
    """Gears of several modules, a row for each module above its gears."""
    return [["Module 1"], *body, ["Module 0,5"], ["40", "9,00 €", "3 pièces"], [""]]


def lists() -> dict[str, tuple[str, bytes]]:
    """(suffix, bytes) of each list, by what is special about it."""
    german, english = ["Zähnezahl", "Preis", "Lager"], ["Teeth", "Price", "Stock"]
    described = rows(EURO, "{} Stk", "auf Lager", "ausverkauft", "Wechselrad {} Zähne, Modul 1")
    return {
        "english, commas": (".csv", table(",", english, ENGLISH).encode()),
        "german, windows": (".csv", table(";", german, GERMAN).encode("cp1252")),
        "french, marked": (".csv", table(
            ";", ["Nombre de dents", "Prix TTC", "Disponibilité"], FRENCH).encode("utf-8-sig")),
        "spanish, tabs, utf-16": (".txt", table(
            "\t", ["Nº de dientes", "PVP", "Existencias"], SPANISH).encode("utf-16")),
        "italian, windows": (".csv", table(
            ";", ["N. denti", "Prezzo unitario", "Giacenza"], ITALIAN).encode("cp1252")),
        "dutch": (".csv", table(";", ["Aantal tanden", "Prijs", "Voorraad"], DUTCH).encode()),
        "english, tabs, utf-16 without a mark": (".tsv", table(
            "\t", ["No. of teeth", "Unit price", "Qty available"], ENGLISH).encode("utf-16-be")),
        "german, under a title": (".csv", (
            "sep=;\r\nPreisliste Wechselräder;;\r\n;;\r\n" + table(";", german, GERMAN)).encode()),
        "german, commas in quotes": (".csv", table(",", german, GERMAN).encode()),
        "english, units in the cells": (".csv", table(
            ",", ["Gear", "Price (£)", "Available", "Mod"],
            rows(point, "{} pcs", "yes", "no", "{}T", "M1")).replace("Gear", "Z").encode()),
        "german, only described": (".csv", table(
            ";", ["Artikel", "Preis", "Bestand"], described).encode()),
        "numbers of a spreadsheet": (".xlsx", _book("openpyxl", {"Tabelle1": _typed()})),
        "numbers of a free spreadsheet": (".ods", _book("odf", {"Blatt1": _typed()})),
        "text on the second sheet": (".xlsx", _book("openpyxl", {
            "Info": [["Wechselräder, Stand heute"]], "Preise": [["Liste"], [], german, *GERMAN]})),
        "swiss, bare": (".csv", table(";", ["Zähne", "VK", "Lieferbar"], SWISS).encode("cp1252")),
        "two prices": (".csv", table(
            ";", ["Dientes", "Precio sin IVA", "Precio IVA incl.", "Cantidad"],
            [[z, "1,00 €", p, n] for z, p, n in SPANISH]).encode()),
        "modules above their gears": (".csv", table(
            ";", ["Dents", "Prix", "Stock"], _sections(FRENCH)).encode()),
        "old line ends": (".csv", table(",", english, ENGLISH, "\r").encode()),
        "columns nobody needs, lines in cells": (".csv", table(
            ";", ["Art.-Nr.", *german, "Gewicht\nnetto je 100"], _numbered(GERMAN)).encode()),
        "bare numbers, decimal commas": (".csv", table(";", ["z", "Preis", "Stk"], BARE).encode()),
        "currency in the heading, blanks between": (".csv", table(
            ";", ["", "Zähne", "", "Preis [EUR]", "Menge"],
            [["", z, "", p, n] for z, p, n in BARE] + [[""] * 5]).encode()),
    }  # fmt: skip


def swelling(rows: int, columns: int) -> bytes:
    """A small spreadsheet of one cell that is to be repeated so often."""
    spaces = {name: f"urn:oasis:names:tc:opendocument:xmlns:{name}:1.0"
              for name in ("office", "table", "text", "manifest")}  # fmt: skip
    names = " ".join(f'xmlns:{name}="{space}"' for name, space in spaces.items())
    cell = (f'<table:table-cell table:number-columns-repeated="{columns}" office:value-type="float"'
            ' office:value="63"><text:p>63</text:p></table:table-cell>')  # fmt: skip
    row = f'<table:table-row table:number-rows-repeated="{rows}">{cell}</table:table-row>'
    content = (f"<office:document-content {names}><office:body><office:spreadsheet>"
               f'<table:table table:name="S">{row}</table:table>'
               "</office:spreadsheet></office:body></office:document-content>")  # fmt: skip
    kind = "application/vnd.oasis.opendocument.spreadsheet"
    entries = "".join(
        f'<manifest:file-entry manifest:full-path="{path}" manifest:media-type="{of}"/>'
        for path, of in (("/", kind), ("content.xml", "text/xml"))
    )
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as file:
        file.writestr("mimetype", kind)
        file.writestr("content.xml", content)
        file.writestr("META-INF/manifest.xml", f"<manifest:manifest {names}>{entries}"
                      "</manifest:manifest>")  # fmt: skip
    return packed.getvalue()
