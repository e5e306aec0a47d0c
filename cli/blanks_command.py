"""`gearchest blanks`: how to make gears, as sheets, JSON, cutting files and a short form."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import typer

from gearchest.catalogs.lathes import example
from gearchest.catalogs.making import making_tables
from gearchest.cli.exits import Exit
from gearchest.cli.facts import facts_of
from gearchest.cli.faults import Fault, FaultsError
from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.wants import load_wants
from gearchest.cli.output import check_writable, show, write_bytes, write_json, write_text
from gearchest.cli.typed import option_fault
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.tooth import read_keyway
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.making.sheet import BlankSheet, Wish, blank_sheet
from gearchest.optimizer.making.uses import uses
from gearchest.reports.blanks.document import blanks_document
from gearchest.reports.blanks.text import blank_lines

FEWEST, MOST = 6, 500
SHEET_NAME = "blanks.html"


@dataclass(frozen=True)
class BlanksOptions:
    """Options of `gearchest blanks`; lengths mm.

    `shift` in modules, `cure`: shift each gear out of its undercut. `backlash` of the pair
    along the pitch circle. `outline_offset` all round the cut or printed outline. `hub`: diameter
    and length of one on the printed gear. `wants`: the threads the gears are for.
    """

    shift: float = 0.0
    cure: bool = False
    backlash: float | None = None
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
    machine = load_lathe(lathe)
    _refuse_bad_values(machine, teeth, options)
    wants = load_wants(options.wants or example().wants, machine)
    if target is not None and out != target:
        _make_folder(target.parent)
    check_writable(target, json)
    counts = list(dict.fromkeys(teeth))
    sheets = [_sheet(machine, count, wants, options) for count in counts]
    files = [_write_files(sheet, target, options) for sheet in sheets]
    if target is not None:
        _write_sheet(target, sheets, files, lathe, options)
    folder = target.parent if target is not None else Path()
    named = [[str(folder / name) for name in names] for names in files]
    write_json(json, blanks_document(sheets, named))
    for sheet in sheets:
        show(blank_lines(sheet), json)
    if any(sheet.refusal for sheet in sheets):
        raise typer.Exit(Exit.NO)


def _sheet(machine: Lathe, teeth: int, wants: Sequence[Want], options: BlanksOptions) -> BlankSheet:
    wish = Wish(options.shift, options.cure, options.backlash)
    used = uses(machine, machine.making.gear(teeth), wants)
    return blank_sheet(machine, teeth, making_tables(), wish, used)


def _sheet_path(out: Path | None) -> Path | None:
    """Where the sheet goes: a name ending in .html is its own, any other a folder's."""
    if out is None or out.suffix.lower() in (".html", ".htm"):
        return out
    return out / SHEET_NAME


def _make_folder(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        reason = error.strerror or str(error)
        fault = Fault(
            str(folder), f"cannot make this folder: {reason}", fix="choose another place for it"
        )
        raise FaultsError([fault]) from None


def _write_files(sheet: BlankSheet, target: Path | None, options: BlanksOptions) -> tuple[str, ...]:
    """The gear's cutting files beside the sheet; their names."""
    if target is None or sheet.refusal:
        return ()
    from gearchest.reports.blanks.gear_files import Hub, gear_files

    offset = options.outline_offset
    if offset is None:
        offset = sheet.lathe.workshop.outline_offset
    hub = Hub(*options.hub) if options.hub else None
    made = gear_files(sheet.blank, offset, hub)
    for name, data in made.items():
        write_bytes(target.parent / name, data)
    return tuple(made)


def _write_sheet(
    target: Path,
    sheets: Sequence[BlankSheet],
    files: Sequence[Sequence[str]],
    lathe: Path,
    options: BlanksOptions,
) -> None:
    from gearchest.reports.blanks.sheet import blank_sheet_page

    inputs = [lathe, *([options.wants] if options.wants else [])]
    asked = " ".join(["blanks", *(str(sheet.blank.teeth) for sheet in sheets)])
    facts = facts_of(asked, inputs, vars(options), vars(BlanksOptions()))
    write_text(target, blank_sheet_page(sheets, facts, files))


def _refuse_bad_values(machine: Lathe, teeth: Sequence[int], options: BlanksOptions) -> None:
    """Every fault of the options, and of the keyway in the lathe file, at once."""
    faults = [
        option_fault("TEETH", str(count), "no gear has so many teeth", f"{FEWEST} to {MOST}")
        for count in teeth
        if not FEWEST <= count <= MOST
    ]
    module = float(machine.making.module)
    if not -1 <= options.shift <= 1:
        faults.append(option_fault("--shift", f"{options.shift:g}", "too far", "-1 to 1 module"))
    if options.backlash is not None and not 0 <= options.backlash <= module / 2:
        most = f"0 to half a module, {module / 2:g} mm"
        faults.append(option_fault("--backlash", f"{options.backlash:g}", "not a backlash", most))
    offset = options.outline_offset
    if offset is not None and not abs(offset) <= module / 4:
        most = f"a quarter of the module either way, {module / 4:g} mm"
        faults.append(option_fault("--outline-offset", f"{offset:g}", "too much", most))
    try:
        keyway = read_keyway(machine.making.keyway)
    except ValueError as error:
        raise FaultsError(
            [*faults, option_fault("keyway", machine.making.keyway, str(error))]
        ) from None
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
