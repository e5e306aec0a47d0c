"""Load the gears that could be added, with their prices."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

from pydantic import AfterValidator, BeforeValidator, Field, ValidationError

from gearchest.cli.faults import Fault, FaultsError, shorten
from gearchest.cli.files.amounts import amount
from gearchest.cli.files.checked import checked
from gearchest.cli.files.document import Document, KeyPath, Reading
from gearchest.cli.files.fields import (
    Count,
    DiametralPitch,
    Module,
    PressureAngle,
    Table,
    Teeth,
    Text,
    exact,
    one_of,
    round_enough,
)
from gearchest.cli.files.fitting import Fitting
from gearchest.cli.files.gear_materials import gear_material
from gearchest.cli.files.grid import Grid, read_grids
from gearchest.cli.files.headings import Understood, meaning
from gearchest.cli.files.lathe import module_of
from gearchest.cli.files.lengths import FaceWidth, Keyway, PositiveMm
from gearchest.cli.files.limits import MOST_OFFERS, too_many
from gearchest.cli.files.price_list import MOST_TOLD, PriceList, find_list, read_list
from gearchest.cli.files.spreadsheet import Columns, headings, table_of
from gearchest.cli.files.toml import read_toml
from gearchest.optimizer.domain.gear import Gear, Offer
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.notation import NotationError
from gearchest.optimizer.search.common import common_gears
from gearchest.reports.words import numbers

if TYPE_CHECKING:
    from gearchest.optimizer.making.offers import Sifted

COLUMNS = Columns(
    known=(
        "teeth", "price", "how", "copies", "module", "dp", "note", "bore", "keyway", "face_width",
        "pressure_angle", "material",
    ),
    most=MOST_OFFERS,
    what="offers",
    required=("teeth",),
    free=("note",),
    others=True,
)  # fmt: skip


def _amount(value: Any) -> Any:
    return amount(value).value if isinstance(value, str) else value


Price = Annotated[
    Fraction, exact(least=0, most=1_000_000), BeforeValidator(_amount),
    AfterValidator(round_enough),
]  # fmt: skip


class OfferTable(Table):
    """[[offer]], or one row; a gear to be cut may leave its price to be worked out."""

    teeth: Teeth
    price: Price | None = None
    how: Annotated[str, one_of(buy="buy", cut="cut")] = "buy"
    copies: Count | None = None
    module: Module | None = None
    dp: DiametralPitch | None = None
    bore: PositiveMm | None = None
    keyway: Keyway | None = None
    face_width: FaceWidth | None = None
    pressure_angle: PressureAngle | None = None
    material: Text | None = None
    note: Text = ""


class OffersFile(Table):
    """A whole offers file."""

    offer: Annotated[tuple[OfferTable, ...], Field(min_length=1)]


@dataclass(frozen=True)
class Offered:
    """The gears of a file, in its order; what is worth saying of it, a line each; the currency of
    its prices, "" where it names none."""

    offers: tuple[Offer, ...]
    said: tuple[str, ...] = ()
    currency: str = ""


def load_offers(path: Path, lathe: Lathe) -> tuple[Offer, ...]:
    """The gears a file offers for a lathe, in its order. Raises `FaultsError`."""
    return read_offers(path, lathe).offers


def read_offers(path: Path, lathe: Lathe) -> Offered:
    """The gears a file offers for a lathe: an offers file, or the price list of a shop.

    Raises `FaultsError`.
    """
    if path.suffix.casefold() == ".toml":
        return offers_of(read_toml(path), [], lathe)
    return offers_in(read_grids(path), lathe)


def offers_in(grids: list[Grid], lathe: Lathe) -> Offered:
    """As `read_offers`, from tables."""
    if own := next((grid for grid in grids if is_own(grid)), None):
        return offers_of(*table_of(own, "offer", COLUMNS), lathe)
    found = find_list(grids)
    if found is None or "price" not in found[2].places:
        raise FaultsError([_no_list(grids[0], found)])
    return listed_offers(read_list(*found), found[0].source, lathe)


def is_own(grid: Grid) -> bool:
    """Whether a table is an offers file: its headings are the columns of one, and none that a
    shop would call otherwise."""
    names = headings(grid)
    own = {"teeth", "price"} & set(names) and all(
        name in COLUMNS.known or meaning(name) is None for name in names
    )
    return bool(own) or not grid.rows


def are_offers(grids: list[Grid]) -> bool:
    """Whether these are tables of gears on offer."""
    return any(map(is_own, grids)) or find_list(grids) is not None


def _no_list(grid: Grid, found: tuple[Grid, int, Understood] | None) -> Fault:
    lacking = "prices" if found else "tooth counts"
    line = found[0].rows[found[1]].line if found else grid.rows[0].line
    return Fault(
        grid.source, f"no column of {lacking} is known here", line=line,
        value=", ".join(grid.rows[0].cells), allowed=", ".join(COLUMNS.known),
        fix="write the names of the columns in the first row: teeth, price",
    )  # fmt: skip


def offers_of(document: Document, faults: list[Fault], lathe: Lathe) -> Offered:
    """The offers of a document; raises its faults together with those given.

    A gear to be cut without a price costs what making it here costs; one that this shop cannot
    make is a fault.
    """
    file = checked(document, OffersFile, faults, _contradictions)
    offers: list[Offer] = []
    uncut: list[Fault] = []
    fitting = Fitting(lathe)
    for i, entry in enumerate(file.offer):
        gear, price = _gear(entry, lathe), entry.price
        if entry.how == "cut":
            try:
                price = _cut(gear, price, lathe)
            except _UncutError as error:
                uncut.append(document.fault(("offer", i, error.key), str(error), fix=error.fix))
        if price is not None:
            note = fitting.note(entry.note, gear, entry.bore, entry.keyway)
            offers.append(Offer(gear, price, entry.how, entry.copies, note))
    if uncut:
        raise FaultsError(uncut)
    unused = [f"not used: {', '.join(document.unused)}"] if document.unused else []
    return Offered(tuple(offers), (*unused, *fitting.said()))


class UnsuitedError(FaultsError):
    """Gears are listed, but none that goes on the lathe."""


def listed_offers(found: PriceList, source: str, lathe: Lathe) -> Offered:
    """The offers of a price list: rows that no offer can be made of are left out and told."""
    left_out = list(found.left_out)
    offers: list[Offer] = []
    fitting = Fitting(lathe)
    for listed in found.gears:
        try:
            entry = OfferTable.model_validate(dict(listed.cells), context=Reading())
        except ValidationError as error:
            left_out.append((listed.line, _first_problem(error)))
            continue
        gear = _gear(entry, lathe)
        if entry.price is None or not fitting.meshes(gear):
            continue
        if len(offers) == MOST_OFFERS:
            problem, fix = too_many(MOST_OFFERS, "offers")
            raise FaultsError([Fault(source, problem, line=listed.line, fix=fix)])
        note = fitting.note(entry.note, gear, entry.bore, entry.keyway)
        offers.append(Offer(gear, entry.price, entry.how, entry.copies, note))
    rows = [*((line, f"left out, {why}") for line, why in sorted(left_out)), *found.doubts]
    said = [f"{numbers.plural(len(offers), 'gear')} understood: {found.understood}"]
    said += fitting.said()
    said += [f"line {line}: {what}" for line, what in sorted(rows)[:MOST_TOLD]]
    if len(rows) > MOST_TOLD:
        said.append(f"and {len(rows) - MOST_TOLD} more lines like these")
    if not offers:
        first = min((line for line, _ in rows), default=1)
        raise UnsuitedError([Fault(source, "no gear of this list suits the lathe", line=first,
                                   allowed="; ".join(said), fix=_UNSUITED)])  # fmt: skip
    return Offered(tuple(offers), tuple(said), found.currency)


_UNSUITED = "see whether module, DP and pressure angle of the lathe file are right"


def _first_problem(error: ValidationError) -> str:
    detail = error.errors(include_url=False)[0]
    name, cause = detail["loc"][0], detail.get("ctx", {}).get("error")
    problem = cause.problem if isinstance(cause, NotationError) else detail["msg"]
    return f'{name} "{shorten(str(detail["input"]), 40)}": {problem}'


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
    return replace(
        gear,
        module=module_of(entry.module, entry.dp) or gear.module,
        pressure_angle=entry.pressure_angle or gear.pressure_angle,
        face_width=entry.face_width or gear.face_width,
        material=gear_material(entry.material) if entry.material else gear.material,
    )


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
