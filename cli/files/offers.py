"""Load the gears that could be added, with their prices."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from gearchest.cli.faults import Fault, FaultsError
from gearchest.cli.files.checked import checked
from gearchest.cli.files.document import Document, KeyPath
from gearchest.cli.files.fields import (
    Count,
    DiametralPitch,
    Module,
    Table,
    Teeth,
    Text,
    exact,
    one_of,
)
from gearchest.cli.files.lathe import module_of
from gearchest.cli.files.limits import MOST_OFFERS
from gearchest.cli.files.spreadsheet import Columns, read_table
from gearchest.cli.files.toml import read_toml
from gearchest.optimizer.domain.gear import Offer
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.search.common import common_gears

COLUMNS = Columns(
    known=("teeth", "price", "how", "copies", "module", "dp", "note"),
    most=MOST_OFFERS,
    what="offers",
    required=("teeth",),
    free=("note",),
)


def _without_currency(value: Any) -> Any:
    return value.strip().strip("$£€¥ ") if isinstance(value, str) else value


Price = Annotated[Fraction, exact(least=0, most=1_000_000), BeforeValidator(_without_currency)]


class OfferTable(Table):
    """[[offer]], or one row; a gear to be cut may leave its price to be worked out."""

    teeth: Teeth
    price: Price | None = None
    how: Annotated[str, one_of(buy="buy", cut="cut")] = "buy"
    copies: Count | None = None
    module: Module | None = None
    dp: DiametralPitch | None = None
    note: Text = ""


class OffersFile(Table):
    """A whole offers file."""

    offer: Annotated[tuple[OfferTable, ...], Field(min_length=1)]


def load_offers(path: Path, lathe: Lathe) -> tuple[Offer, ...]:
    """The gears a file offers for a lathe, in its order. Raises `FaultsError`."""
    if path.suffix.casefold() == ".toml":
        return offers_of(read_toml(path), [], lathe)
    return offers_of(*read_table(path, "offer", COLUMNS), lathe)


def offers_of(document: Document, faults: list[Fault], lathe: Lathe) -> tuple[Offer, ...]:
    """The offers of a document; raises its faults together with those given.

    A gear to be cut without a price costs what making it here costs. One that this shop
    cannot make is a fault, unless it has a price and the lathe file lists no head: then
    somebody else cuts it.
    """
    file = checked(document, OffersFile, faults, _contradictions)
    offers: list[Offer] = []
    uncut: list[Fault] = []
    for i, entry in enumerate(file.offer):
        price = entry.price
        if entry.how == "cut" and (price is None or lathe.dividing):
            cost, why = _cost(entry, lathe)
            price = cost if price is None else price
            if why:
                uncut.append(
                    document.fault(
                        ("offer", i, "teeth"), f"this gear cannot be cut here: {why}",
                        fix="take it out, or mark it buy with what it costs ready made",
                    )
                )  # fmt: skip
        if price is not None:
            offers.append(_offer(entry, price, lathe))
    if uncut:
        raise FaultsError(uncut)
    return tuple(offers)


def default_offers(lathe: Lathe) -> tuple[Offer, ...]:
    """Every common gear of the lathe's own, at price 1."""
    return tuple(Offer(gear, Fraction(1), copies=copies) for gear, copies in common_gears(lathe))


def _offer(entry: OfferTable, price: Fraction, lathe: Lathe) -> Offer:
    gear = lathe.making.gear(entry.teeth)
    module = module_of(entry.module, entry.dp)
    if module is not None:
        gear = replace(gear, module=module)
    return Offer(gear, price, entry.how, entry.copies, entry.note)


def _cost(entry: OfferTable, lathe: Lathe) -> tuple[Fraction | None, str]:
    """What the gear costs to make by its sheet, or why it cannot be made here."""
    from gearchest.catalogs.making import making_tables
    from gearchest.optimizer.making.offers import obstacle, open_ways

    module = module_of(entry.module, entry.dp) or lathe.making.module
    machine = replace(lathe, making=replace(lathe.making, module=module))
    costs = open_ways(machine, entry.teeth, making_tables())
    if costs:
        return costs[0].total, ""
    return None, obstacle(machine, entry.teeth, making_tables())


def _contradictions(document: Document) -> Iterator[Fault]:
    entries = document.value("offer")
    first: dict[tuple[object, ...], KeyPath] = {}
    for i, entry in enumerate(entries if isinstance(entries, list) else []):
        if not isinstance(entry, dict):
            continue
        path: KeyPath = ("offer", i)
        if {"module", "dp"} <= entry.keys():
            yield document.fault(
                (*path, "dp"), '"module" and "dp" cannot both be given',
                fix="keep one of the two", also=((*path, "module"),),
            )  # fmt: skip
        if "price" not in entry and str(entry.get("how", "buy")).strip().casefold() != "cut":
            yield document.fault(
                (*path, "price"),
                "a gear to be bought needs its price",
                fix="fill it in; only a gear to be cut may leave it out",
            )
        keys = ("teeth", "module", "dp", "how", "note")
        source = tuple(str(entry.get(key, "")).casefold() for key in keys)
        if source in first:
            yield document.fault(
                (*path, "teeth"), "this gear is offered twice from one source",
                fix="keep one of the two; copies says how many can be had, note from whom",
                also=(first[source],),
            )  # fmt: skip
        first.setdefault(source, path)
