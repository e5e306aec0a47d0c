"""Prices and numbers in stock as shops write them: "21,50 €*", "CHF 21.-", "12 Stk", "sold out".

What is not understood as a whole is not understood: a number is never picked out of words that
say something else.
"""

from __future__ import annotations

import re
import unicodedata
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from gearchest.cli.files.fields import brief, refused

CURRENCIES: dict[str, str] = {
    **dict.fromkeys(("€", "eur", "euro", "euros"), "€"),
    **dict.fromkeys(("£", "gbp", "pounds"), "£"),
    **dict.fromkeys(("$", "usd", "us$", "dollars"), "$"),
    **dict.fromkeys(("chf", "sfr", "fr"), "CHF"),
    **dict.fromkeys(("¥", "jpy", "yen"), "¥"),
    **dict.fromkeys(("zl", "pln"), "PLN"),
    **dict.fromkeys(("kc", "czk"), "CZK"),
    **{code: code.upper() for code in ("sek", "nok", "dkk", "huf", "aud", "cad", "nzd")},
    "kr": "kr",
}
"""What stands beside an amount, and the currency it is."""

PRICE_FORMS = '21.50, "21,50 €" or "£1,250.00"'

_NUMBER = re.compile(r"[-+]?\d[\d.,'\u2019 ]*(?:[.,][-\u2013\u2014]+)?")


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


_IDLE = _words("""ca je pro per each ea pc pcs st stk stuck inkl incl inc vat mwst ust ttc ht iva
    btw piece unit brutto netto net gross u ud uds pz stuks excl ex zzgl""")
"""Words beside a price that change nothing in it."""

_OF_PIECES = _words("""stk stck stuck st pcs pc pce piece pieces off units unit x uds ud unidades pz
    pezzi stuks stuk p lager auf in stock en available verfugbar disponible disponibles disponibili
    left disponibile op voorraad only nur noch more than mehr als uber plus de meer dan piu di mas
    existencias magazzino""")
"""Words beside a number of pieces that can be had."""

_NONE = {
    "out of stock", "sold out", "not in stock", "none", "no", "unavailable", "not available",
    "discontinued", "ausverkauft", "nicht lieferbar", "nicht auf lager", "nicht verfugbar",
    "vergriffen", "nein", "keine", "epuise", "rupture", "rupture de stock", "en rupture",
    "indisponible", "non disponible", "non", "agotado", "sin stock", "sin existencias",
    "no disponible", "esaurito", "non disponibile", "fuori produzione", "uitverkocht",
    "niet op voorraad", "niet leverbaar", "nee", "false",
}  # fmt: skip
_SOME = {
    "in stock", "available", "yes", "auf lager", "lieferbar", "verfugbar", "sofort lieferbar", "ja",
    "vorratig", "ab lager", "en stock", "disponible", "oui", "si", "en existencias", "disponibile",
    "in magazzino", "op voorraad", "leverbaar", "true", "lager", "stock", "x",
}  # fmt: skip

ANY = -1
"""In stock, without a number."""


@dataclass(frozen=True)
class Amount:
    """Money, in a currency where one is told ("" where not)."""

    value: Fraction
    currency: str = ""

    def __str__(self) -> str:
        return f"{float(self.value):g} {self.currency}".strip()


def folded(text: str) -> str:
    """Lower case, without accents, in plain spaces."""
    plain = unicodedata.normalize("NFKD", text.casefold().replace("ß", "ss").replace("ł", "l"))
    return " ".join("".join(sign for sign in plain if not unicodedata.combining(sign)).split())


def amount(text: str, decimal: str = "") -> Amount:
    """Read a price; `decimal` is the mark that stands before decimals where that is known.

    Raises `NotationError`. Exactly three figures behind one mark may be thousands or decimals:
    they are read as thousands where the mark is not the decimal one, and refused elsewhere.
    """
    plain = folded(brief(text)).strip("* ")
    number = _NUMBER.search(plain)
    if number is None:
        raise refused("this is no price", text, PRICE_FORMS, "write the number alone")
    around = plain[: number.start()] + " " + plain[number.end() :]
    words = re.findall(r"[a-z]+\$?|[^\w\s]", around)
    found = {CURRENCIES[word] for word in words if word in CURRENCIES}
    left = [word for word in words if word not in CURRENCIES and word not in _IDLE]
    if len(found) > 1 or not set(left) <= set("*.,/()-\u2013\u2014"):
        raise refused("this is no price", text, PRICE_FORMS, "write the number alone")
    return Amount(_value(number[0].strip(), text, decimal), next(iter(found), ""))


def _value(number: str, text: str, decimal: str) -> Fraction:
    sign = -1 if number.startswith("-") else 1
    figures = re.sub(r"[.,][-\u2013\u2014]+$", "", number.lstrip("+-")).strip(" .,'\u2019")
    figures = re.sub(r"['\u2019 ](?=\d{3}(?:\D|$))", "", figures)
    marks = re.findall(r"[.,]", figures)
    if not re.fullmatch(r"\d{1,12}(?:[.,]\d{1,9})?|\d{1,3}(?:[.,]\d{3})+(?:[.,]\d{1,9})?", figures):
        raise refused("this is no price", text, PRICE_FORMS, "write the number alone")
    whole, _, part = figures.rpartition(marks[-1]) if marks else (figures, "", "")
    thousands = len(part) == 3 and (
        len(set(marks)) < len(marks) or (decimal and marks[-1] != decimal)
    )
    if marks and len(marks) == 1 and len(part) == 3 and not thousands:
        raise refused(
            f"this is {whole}{part} or {whole}.{part}", text, PRICE_FORMS,
            f'write "{whole}{part}" or "{whole}.{part}0", whichever is meant',
        )  # fmt: skip
    if not marks or thousands:
        return sign * Fraction(re.sub("[.,]", "", figures))
    return sign * Fraction(f"{re.sub('[.,]', '', whole)}.{part}")


def decimal_mark(cells: Iterable[str]) -> str:
    """The mark before decimals in a column of prices; "" where none or both are used."""
    found = Counter(
        mark for cell in cells for mark in re.findall(r"([.,])\d{1,2}(?!\d)(?![.,]\d)", cell)
    )
    return next(iter(found)) if len(found) == 1 else ""


def in_stock(text: str) -> int | None:
    """How many there are, `ANY` where that is not told; None where it is not understood."""
    plain = folded(text).strip(" .!*")
    if plain in ("", "-", "\u2013", "0"):
        return 0
    if plain in _NONE:
        return 0
    if plain in _SOME:
        return ANY
    numbers = re.findall(r"\d+(?:[.,]0+)?", plain)
    words = re.findall(r"[a-z]+", plain)
    if len(numbers) == 1 and set(words) <= _OF_PIECES:
        return int(re.split("[.,]", numbers[0])[0][:6])
    return None
