"""`gearchest check`: validate files without solving, and say what is not measured."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from gearchest.catalogs.lathes import example
from gearchest.cli.arm_check import arm_faults, overtopping
from gearchest.cli.faults import Fault, FaultsError, collecting
from gearchest.cli.files.lathe import lathe_of, lathe_source, load_lathe
from gearchest.cli.files.offers import load_offers
from gearchest.cli.files.reading import read_text
from gearchest.cli.files.spreadsheet import headings
from gearchest.cli.files.toml import read_toml
from gearchest.cli.files.wants import TABLE_SUFFIXES, load_wants
from gearchest.cli.measurements import missing_measurements
from gearchest.cli.output import show
from gearchest.cli.usual_train import understood
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.pitch import format_fraction


@dataclass(frozen=True)
class _Checked:
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
    checked: list[_Checked] = []
    lathe: Lathe | None = None
    kinds = {path: _kind(path, faults) for path in files}
    for path, kind in kinds.items():
        if kind == "lathe":
            with collecting(faults):
                machine, said = _check_lathe(path)
                checked.append(said)
                lathe = lathe or machine
    lathe = lathe or load_lathe(example().lathe)
    for path, kind in kinds.items():
        if kind in _CHECKS:
            with collecting(faults):
                checked.append(_CHECKS[kind](path, lathe))
    for said in checked:
        show([f"{said.path}: {said.summary}", *(f"  {remark}" for remark in said.remarks)])
    if faults:
        raise FaultsError(faults)


def _kind(path: Path, faults: list[Fault]) -> str:
    """ "lathe", "wants" or "offers" by what the file holds; "" where it cannot be read."""
    with collecting(faults):
        if path.suffix.casefold() in TABLE_SUFFIXES:
            return "offers" if "teeth" in headings(read_text(path)) else "wants"
        values = read_toml(lathe_source(path)).values
        return next((f"{key}s" for key in ("want", "offer") if key in values), "lathe")
    return ""


def _check_lathe(path: Path) -> tuple[Lathe, _Checked]:
    document = read_toml(lathe_source(path))
    lathe = lathe_of(document)
    if faults := list(arm_faults(document, lathe)):
        raise FaultsError(faults)
    summary = f"a lathe, {lathe.name}: screw {lathe.leadscrew}, {lathe.chest.size} gears"
    over = overtopping(lathe)
    remarks = [*understood(lathe), *([over] if over else []), *missing_measurements(lathe)]
    return lathe, _Checked(path, summary, remarks)


def _check_wants(path: Path, lathe: Lathe) -> _Checked:
    wants = load_wants(path, lathe)
    unruled = [want.name for want in wants if not want.allowance.ruled]
    remarks = []
    if unruled:
        share = format_fraction(100 * lathe.policy.plain_pitch_tolerance)
        remarks.append(f"no rule of their own, so {share} % is allowed: {', '.join(unruled)}")
    weight = format_fraction(sum((want.weight for want in wants), start=wants[0].weight * 0))
    return _Checked(path, f"{len(wants)} wants, weight {weight} in all", remarks)


def _check_offers(path: Path, lathe: Lathe) -> _Checked:
    offers = load_offers(path, lathe)
    prices = [offer.price for offer in offers]
    spread = f"{format_fraction(min(prices))} to {format_fraction(max(prices))}"
    owned = {gear.mesh_class for gear, _ in lathe.chest.loose}
    alone = sorted({str(o.gear) for o in offers if o.gear.mesh_class not in owned}, key=int)
    remarks = [f"mesh with no gear owned: {', '.join(alone)}"] if alone else []
    return _Checked(path, f"{len(offers)} offers, price {spread}", remarks)


_CHECKS: dict[str, Callable[[Path, Lathe], _Checked]] = {
    "wants": _check_wants,
    "offers": _check_offers,
}
