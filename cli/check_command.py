"""`gearchest check`: validate files without solving, and say what is not measured."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from gearchest.catalogs.lathes import example
from gearchest.catalogs.making import making_tables
from gearchest.cli.arm_check import arm_faults, overtopping
from gearchest.cli.faults import Fault, FaultsError, collecting
from gearchest.cli.files.document import Document
from gearchest.cli.files.grid import Grid, read_grids
from gearchest.cli.files.keys import known_keys, near_key
from gearchest.cli.files.lathe import lathe_as_meant, lathe_source, load_lathe
from gearchest.cli.files.lathe_tables import LatheFile
from gearchest.cli.files.offers import OffersFile, UnsuitedError, are_offers, offers_in, offers_of
from gearchest.cli.files.toml import read_toml
from gearchest.cli.files.wants import TABLE_SUFFIXES, WantsFile, wants_in, wants_of
from gearchest.cli.measurements import missing_measurements
from gearchest.cli.output import show
from gearchest.cli.usual_train import understood
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.pitch import format_fraction
from gearchest.optimizer.making.offers import sift
from gearchest.reports.words import numbers

MOST_NAMED = 20
"""Names listed in one remark."""


@dataclass(frozen=True)
class ReadFile:
    """`kind`: "lathe", "wants" or "offers" by what it holds; a document, or sheets of a table."""

    path: Path
    kind: str
    document: Document | None
    grids: list[Grid]


@dataclass(frozen=True)
class Checked:
    """What a file turned out to be, and what is worth saying about it."""

    path: Path
    summary: str
    remarks: list[str]


def check(files: list[Path]) -> None:
    """Print what each file holds and lacks; every fault of all the files at once.

    Wants and offers are judged for the first lathe among the files; without one, for the
    bundled example's.
    """
    faults: list[Fault] = []
    checked: list[Checked] = []
    read: list[ReadFile] = []
    for path in dict.fromkeys(files):
        with collecting(faults):
            read.append(_read(path))
    faults += look_at(read, checked)
    for said in checked:
        show([f"{said.path}: {said.summary}", *(f"  {remark}" for remark in said.remarks)])
    if faults:
        raise FaultsError(faults)


def look_at(read: Sequence[ReadFile], checked: list[Checked]) -> list[Fault]:
    """The faults of files; adds what those without hold to `checked`."""
    faults: list[Fault] = []
    lathe: Lathe | None = None
    for file in read:
        if file.kind == "lathe" and file.document:
            machine, wrong = _check_lathe(file.path, file.document, checked)
            lathe = lathe or machine
            faults += wrong
    own = lathe or load_lathe(example().lathe)
    for file in read:
        if file.kind in _CHECKS:
            try:
                checked.append(_CHECKS[file.kind](file, own))
            except UnsuitedError as error:  # nothing suits a lathe that is not theirs
                faults += error.faults if lathe else ()
            except FaultsError as error:
                faults += error.faults
    return faults


def _read(path: Path) -> ReadFile:
    if path.suffix.casefold() in TABLE_SUFFIXES:
        grids = read_grids(path)
        return ReadFile(path, "offers" if are_offers(grids) else "wants", None, grids)
    document = read_toml(lathe_source(path))
    return ReadFile(path, _kind(document), document, [])


def _kind(document: Document) -> str:
    """What a document is by its tables, also where they are misspelt."""
    top = {key for key, value in document.values.items() if isinstance(value, (dict, list))}
    if not top & known_keys(LatheFile).keys():
        for kind, model in (("wants", WantsFile), ("offers", OffersFile)):
            if any(near_key(key, known_keys(model)) for key in top):
                return kind
    return "lathe"


def _check_lathe(
    path: Path, document: Document, checked: list[Checked]
) -> tuple[Lathe | None, list[Fault]]:
    """The lathe, also where lines of it had to be mended, and its faults; adds what it holds to
    `checked` where there are none."""
    document, lathe, faults = lathe_as_meant(document)
    if lathe is None:
        return None, faults
    faults += arm_faults(document, lathe)
    if not faults:
        summary = (
            f"a lathe, {lathe.name}: screw {lathe.leadscrew}, "
            f"{numbers.plural(lathe.chest.size, 'gear')}"
        )
        over = overtopping(lathe)
        remarks = [*understood(lathe), *([over] if over else []), *missing_measurements(lathe)]
        checked.append(Checked(path, summary, remarks))
    return lathe, faults


def _check_wants(file: ReadFile, lathe: Lathe) -> Checked:
    wants = wants_of(file.document, [], lathe) if file.document else wants_in(file.grids, lathe)
    unruled = [want.name for want in wants if not want.allowance.ruled]
    remarks = []
    if unruled:
        share = format_fraction(100 * lathe.policy.plain_pitch_tolerance)
        remarks.append(f"no rule of their own, so {share} % is allowed: {_listed(unruled)}")
    weight = format_fraction(sum((want.weight for want in wants), start=wants[0].weight * 0))
    if lathe.screw_error is None and any(want.allowance.travel for want in wants):
        moved = [want.name for want in wants if want.allowance.travel]
        remarks.append(
            f"no lead_error of the leadscrew, so only trains are judged: {_listed(moved)}"
        )
    count = numbers.plural(len(wants), "want")
    return Checked(file.path, f"{count}, weight {weight} in all", remarks)


def _check_offers(file: ReadFile, lathe: Lathe) -> Checked:
    found = offers_of(file.document, [], lathe) if file.document else offers_in(file.grids, lathe)
    offers = found.offers
    prices = [offer.price for offer in offers]
    ends = dict.fromkeys((format_fraction(min(prices)), format_fraction(max(prices))))
    owned = {gear.mesh_class for gear, _ in lathe.chest.loose}
    alone = sorted({str(o.gear) for o in offers if o.gear.mesh_class not in owned}, key=int)
    remarks = [*found.said, *([f"mesh with no gear owned: {_listed(alone)}"] if alone else [])]
    remarks += sift(lathe, offers, making_tables()).notes
    money = f" {found.currency}" if found.currency else ""
    count = numbers.plural(len(offers), "offer")
    return Checked(file.path, f"{count}, price {' to '.join(ends)}{money}", remarks)


def _listed(names: Sequence[str]) -> str:
    more = len(names) - MOST_NAMED
    return ", ".join(names[:MOST_NAMED]) + (f" and {more:,} more" if more > 0 else "")


_CHECKS: dict[str, Callable[[ReadFile, Lathe], Checked]] = {
    "wants": _check_wants,
    "offers": _check_offers,
}
