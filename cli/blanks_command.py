"""`gearchest blanks`: how to make gears, as sheets, JSON, cutting files and a short form."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from gearchest.catalogs.lathes import example
from gearchest.catalogs.making import making_tables
from gearchest.cli.exits import Exit
from gearchest.cli.facts import facts_of
from gearchest.cli.faults import Fault, FaultsError
from gearchest.cli.files.impossible import most_backlash, most_offset
from gearchest.cli.files.lathe import lathe_source, load_lathe
from gearchest.cli.files.wants import load_wants
from gearchest.cli.output import deliver
from gearchest.cli.targets import check_targets
from gearchest.cli.typed import distance, length, option_fault
from gearchest.cli.writing import make_folder
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.tooth import read_keyway
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.making.job import Wish, job_for
from gearchest.optimizer.making.sheet import BlankSheet, blank_sheet
from gearchest.optimizer.making.uses import uses
from gearchest.reports.blanks.document import blanks_document
from gearchest.reports.blanks.text import blank_lines

if TYPE_CHECKING:
    from gearchest.reports.page.shell import Facts

FEWEST, MOST = 6, 500
SHEET_NAME = "blanks.html"


@dataclass(frozen=True)
class BlanksOptions:
    """Options of `gearchest blanks`; lengths mm.

    `shift` in modules, `cure`: shift each gear out of its undercut. `backlash` of the pair
    along the pitch circle. `engraved_depth` on the cutter, as typed. `outline_offset` all round
    the cut or printed outline. `hub`: diameter and length of one on the printed gear. `wants`: the
    threads the gears are for.
    """

    shift: float = 0.0
    cure: bool = False
    backlash: float | None = None
    engraved_depth: str | None = None
    outline_offset: float | None = None
    hub: tuple[float, float] | None = None
    wants: Path | None = None


def blanks(
    *,
    lathe: Path,
    teeth: list[int],
    out: Path | None,
    json: str | None,
    options: BlanksOptions = BlanksOptions(),
) -> None:
    """Write what was asked for; exit 4 where one of the gears is not to be made.

    `out`: a folder for the sheet and the cutting files (made if need be), or the sheet's own
    name ending in .html, the files beside it.
    """
    target = _sheet_path(out)
    folder = target.parent if target and target != out else None
    threads = options.wants or example().wants
    read = {"LATHE": lathe_source(lathe), "--wants": threads}
    check_targets({"--out": target, "--json": json}, read, folder_to_be_made=folder)
    machine = load_lathe(lathe)
    counts = list(dict.fromkeys(teeth))
    refuse_bad_values(machine, counts, options)
    written = {"--out": target, "--json": json, **_cutting_files(machine, counts, target, options)}
    check_targets(written, read, folder_to_be_made=folder)
    wants = load_wants(threads, machine)
    facts = _facts(lathe, counts, options) if target else None
    sheets = blank_sheets(machine, counts, wants, options)
    made = [_files(sheet, target.parent, options) if target else {} for sheet in sheets]
    files: dict[Path, str | bytes] = {path: data for each in made for path, data in each.items()}
    if target and facts:
        files[target] = _page(sheets, facts, [[path.name for path in each] for each in made])
    if folder:
        make_folder(folder)
    document = blanks_document(sheets, [[str(path) for path in each] for each in made])
    deliver((line for sheet in sheets for line in blank_lines(sheet)), document, json, files=files)
    if any(sheet.refusal for sheet in sheets):
        raise typer.Exit(Exit.NO)


def hub_of(typed: tuple[str, str] | None) -> tuple[float, float] | None:
    """Diameter and length of a hub, mm."""
    if typed is None:
        return None
    diameter, long = (distance(text, "--hub") or 0.0 for text in typed)
    return diameter, long


def blank_sheets(
    lathe: Lathe, teeth: Sequence[int], wants: Sequence[Want], options: BlanksOptions
) -> list[BlankSheet]:
    """How to make each of the gears."""
    tables, wish = making_tables(), _wish(options)
    used = [uses(lathe, lathe.making.gear(count), wants) for count in teeth]
    return [
        blank_sheet(lathe, count, tables, wish, threads)
        for count, threads in zip(teeth, used, strict=True)
    ]


def _wish(options: BlanksOptions) -> Wish:
    return Wish(
        options.shift,
        options.cure,
        options.backlash,
        length(options.engraved_depth, "--engraved-depth"),
    )


def _sheet_path(out: Path | None) -> Path | None:
    """Where the sheet goes: a name ending in .html is its own, any other a folder's."""
    if out is None or out.suffix.lower() in (".html", ".htm"):
        return out
    return out / SHEET_NAME


def _cutting_files(
    machine: Lathe, teeth: Sequence[int], target: Path | None, options: BlanksOptions
) -> dict[str, Path]:
    """Every file that could be written beside the sheet, under a name to tell it by."""
    if target is None:
        return {}
    from gearchest.reports.blanks.gear_files import file_names

    blanks = [job_for(machine, count, _wish(options)).blank for count in teeth]
    return {f"the {name}": target.parent / name for blank in blanks for name in file_names(blank)}


def _files(sheet: BlankSheet, folder: Path, options: BlanksOptions) -> dict[Path, bytes]:
    """The gear's cutting files."""
    if sheet.refusal:
        return {}
    from gearchest.reports.blanks.gear_files import PrintedHub, gear_files

    offset = options.outline_offset
    if offset is None:
        offset = sheet.lathe.workshop.outline_offset
    hub = PrintedHub(*options.hub) if options.hub else None
    return {folder / name: data for name, data in gear_files(sheet.blank, offset, hub).items()}


def _facts(lathe: Path, teeth: Sequence[int], options: BlanksOptions) -> Facts:
    inputs = [lathe, *([options.wants] if options.wants else [])]
    asked = " ".join(["blanks", *map(str, teeth)])
    return facts_of(asked, inputs, vars(options), vars(BlanksOptions()))


def _page(sheets: Sequence[BlankSheet], facts: Facts, files: Sequence[Sequence[str]]) -> str:
    from gearchest.reports.blanks.sheet import blanks_sheet

    return blanks_sheet(sheets, facts, files)


def refuse_bad_values(machine: Lathe, teeth: Sequence[int], options: BlanksOptions) -> None:
    """Every fault of the options at once."""
    faults = [
        option_fault("TEETH", str(count), "no gear has so many teeth", f"{FEWEST} to {MOST}")
        for count in teeth
        if not FEWEST <= count <= MOST
    ]
    module = float(machine.making.module)
    if not -1 <= options.shift <= 1:
        faults.append(option_fault("--shift", f"{options.shift:g}", "too far", "-1 to 1 module"))
    if options.backlash is not None and not 0 <= options.backlash <= most_backlash(module):
        most = f"0 to half a module, {most_backlash(module):g} mm"
        faults.append(option_fault("--backlash", f"{options.backlash:g}", "not a backlash", most))
    offset = options.outline_offset
    if offset is not None and not abs(offset) <= most_offset(module):
        most = f"a quarter of the module either way, {most_offset(module):g} mm"
        faults.append(option_fault("--outline-offset", f"{offset:g}", "too much", most))
    depth = length(options.engraved_depth, "--engraved-depth")
    if depth is not None and not 2 <= depth / machine.making.module <= Fraction(5, 2):
        faults.append(
            option_fault(
                "--engraved-depth",
                options.engraved_depth or "",
                "no full-depth tooth of this size is so deep",
                f"2 to 2.5 modules, {2 * module:.3g} to {2.5 * module:.3g} mm",
            )
        )
    keyway = read_keyway(machine.making.keyway)
    faults.extend(_hub_faults(machine, teeth, options, keyway.depth if keyway else 0.0))
    if faults:
        raise FaultsError(faults)


def _hub_faults(
    machine: Lathe, teeth: Sequence[int], options: BlanksOptions, key_depth: float
) -> list[Fault]:
    if options.hub is None:
        return []
    diameter, long = options.hub
    least = (machine.making.bore or 0.0) + 2 * key_depth + 2
    most = (min(teeth) - 2.6) * float(machine.making.module)
    if least <= diameter <= most and 0 < long <= 200:
        return []
    allowed = f"{least:.4g} to {most:.4g} mm across for these gears, and up to 200 mm long"
    return [option_fault("--hub", f"{diameter:g} x {long:g}", "this hub does not suit", allowed)]
