"""Load the gears that could be added, with their prices."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

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
from gearchest.optimizer.domain.gear import Gear, Offer
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.search.common import common_gears

if TYPE_CHECKING:
    from gearchest.optimizer.making.offers import Sifted

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

    A gear to be cut without a price costs what making it here costs; one that this shop cannot
    make is a fault.
    """
    file = checked(document, OffersFile, faults, _contradictions)
    offers: list[Offer] = []
    uncut: list[Fault] = []
    for i, entry in enumerate(file.offer):
        gear, price = _gear(entry, lathe), entry.price
        if entry.how == "cut":
            try:
                price = _cut(gear, price, lathe)
            except _UncutError as error:
                uncut.append(document.fault(("offer", i, error.key), str(error), fix=error.fix))
        if price is not None:
            offers.append(Offer(gear, price, entry.how, entry.copies, entry.note))
    if uncut:
        raise FaultsError(uncut)
    return tuple(offers)


def default_offers(lathe: Lathe) -> tuple[Offer, ...]:
    """Every common gear of the lathe's own, at price 1."""
    return tuple(Offer(gear, Fraction(1), copies=copies) for gear, copies in common_gears(lathe))


def common_offers(lathe: Lathe) -> Sifted:
    """The common gears that bore and keyway of the lathe leave whole, and those they do not."""
    from gearchest.catalogs.making import making_tables
    from gearchest.optimizer.making.offers import sift

    return sift(lathe, default_offers(lathe), making_tables())


def _gear(entry: OfferTable, lathe: Lathe) -> Gear:
    gear = lathe.making.gear(entry.teeth)
    module = module_of(entry.module, entry.dp)
    return gear if module is None else replace(gear, module=module)


class _UncutError(Exception):
    """Why a gear cannot be cut here, or for how much; `key` of the offer that is wrong."""

    def __init__(self, problem: str, key: str, fix: str) -> None:
        super().__init__(problem)
        self.key, self.fix = key, fix


def _cut(gear: Gear, price: Fraction | None, lathe: Lathe) -> Fraction:
    """The price of a gear that is cut here: the one given, else what its sheet says."""
    from gearchest.catalogs.making import making_tables
    from gearchest.optimizer.making.job import job_for_gear
    from gearchest.optimizer.making.obstacle import obstacle
    from gearchest.optimizer.making.offers import cheapest

    job, tables = job_for_gear(lathe, gear), making_tables()
    if against := obstacle(job, tables):
        raise _UncutError(
            f"this gear cannot be cut here: {against.why}",
            "teeth",
            "take it out, or mark it buy with what it costs ready made",
        )
    if price is not None:
        return price
    cost = cheapest(job, tables)
    if cost is None:
        raise _UncutError(
            f"no price is known of {gear.material}, so the cost cannot be worked out",
            "price",
            "fill in what it costs",
        )
    return cost.total


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
