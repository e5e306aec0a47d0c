"""`gearchest setup`: everything needed to cut one thread, as a sheet, JSON and a short form."""

from __future__ import annotations

import hashlib
from fractions import Fraction
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import TypedDict, Unpack

import typer

from gearchest.catalogs.lathes import lathe_file
from gearchest.catalogs.materials import screw_materials, tooth_strength
from gearchest.cli.faults import Fault, FaultsError, nearest
from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.wants import want_from
from gearchest.cli.output import check_writable, messages, show, write_json, write_text
from gearchest.cli.reach_command import common_gears
from gearchest.optimizer.domain.notation import NotationError, parse_length, parse_number
from gearchest.optimizer.domain.want import Use, Want
from gearchest.optimizer.search.reach import reach
from gearchest.optimizer.threads.forms import FORMS
from gearchest.optimizer.turning.driving import CRANK_FORCE
from gearchest.optimizer.turning.pressing import Hand
from gearchest.optimizer.turning.screw_force import ScrewMaterial
from gearchest.optimizer.turning.setup import Setup, Wishes
from gearchest.optimizer.turning.setup import setup as work_out
from gearchest.reports.setup.document import setup_document
from gearchest.reports.setup.text import short_form

EXIT_NO = 4

MOST_TRAINS = 200
"""Trains among which an easier one is sought when a tooth is overloaded."""

USUAL_MATERIAL = {True: "beech", False: "mild steel"}
"""Wood or not: what a screw is taken to be made of where nothing is said."""


class SetupOptions(TypedDict, total=False):
    """Options of `gearchest setup` as typed.

    `force` in N at `radius` is the hand's on the finished screw, `nut` the engaged length;
    `crank_force` in N the hand's on a crank at the leadscrew's end.
    """

    diameter: str | None
    length: str | None
    left: bool
    use: str | None
    tolerance: str | None
    form: str | None
    run_out: str | None
    force: str | None
    radius: str | None
    friction: str | None
    nut: str | None
    material: str | None
    crank_force: str | None


def setup(
    *,
    lathe: Path,
    pitch: str,
    out: Path | None = None,
    json: str | None = None,
    **options: Unpack[SetupOptions],
) -> None:
    """Write what was asked for; exit 4 where no train within the allowed error fits."""
    check_writable(out, json)
    machine = load_lathe(lathe)
    want = want_from(
        pitch,
        lathe=machine,
        use=options.get("use"),
        tolerance=options.get("tolerance"),
        diameter=options.get("diameter"),
        left=options.get("left", False),
    )
    wishes = _wishes(options, want)
    answers = reach(machine, want, common_gears(machine), most=MOST_TRAINS)
    found = work_out(machine, want, answers, tooth_strength(), wishes)
    if wishes.hand and found.pressing is None:
        raise _fault(
            "--force",
            str(options.get("force")),
            "this thread's diameters are not known, so nothing can be said of its force",
            fix="give --diameter, and --form if the thread is none of the catalogs'",
        )
    write_json(json, setup_document(found))
    if out is not None:
        _write_sheet(out, found, lathe, pitch, options)
    show(short_form(found), json)
    if not found.in_tolerance:
        raise typer.Exit(EXIT_NO)


def _write_sheet(out: Path, found: Setup, lathe: Path, pitch: str, options: SetupOptions) -> None:
    if found.answer is None:
        messages().print(f"{out} was not written: there is no train to put on a sheet.")
        return
    from gearchest.reports.page.shell import Facts
    from gearchest.reports.setup.sheet import setup_sheet

    source = lathe if lathe.exists() else lathe_file(str(lathe)) or lathe
    given = {
        f"--{name.replace('_', '-')}": "" if value is True else str(value)
        for name, value in options.items()
        if value
    }
    facts = Facts(
        version=_version(),
        inputs=((source.name, hashlib.sha256(source.read_bytes()).hexdigest()),),
        options=(("setup", pitch), *given.items()),
    )
    write_text(out, setup_sheet(found, facts))


def _version() -> str:
    try:
        return version("gearchest")
    except PackageNotFoundError:
        return ""


def _wishes(options: SetupOptions, want: Want) -> Wishes:
    wood = want.use is Use.WOOD
    friction = _positive(options.get("friction"), "--friction")
    radius = _length(options.get("radius"), "--radius")
    force = _positive(options.get("force"), "--force")
    if (radius is None) != (force is None):
        missing = "--radius" if radius is None else "--force"
        raise _fault(missing, "", "a hand force goes with the radius it works at",
                     fix="give both, as in --force 200 --radius 150mm")  # fmt: skip
    hand = None
    if force is not None and radius is not None:
        hand = Hand(force, radius, friction, _length(options.get("nut"), "--nut"))
    return Wishes(
        form=_form(options.get("form")),
        length=_length(options.get("length"), "--length"),
        run_out=_length(options.get("run_out"), "--run-out"),
        crank_force=_positive(options.get("crank_force"), "--crank-force") or CRANK_FORCE,
        hand=hand,
        material=_material(options.get("material"), wood=wood),
    )


def _material(name: str | None, *, wood: bool) -> ScrewMaterial:
    known = screw_materials()
    if name is None:
        return known[USUAL_MATERIAL[wood]]
    found = known.get(name.strip().lower())
    if found is None:
        raise _unknown("--material", name, "material", list(known))
    return found


def _form(name: str | None) -> str:
    if name is None:
        return ""
    if name.strip().lower() not in FORMS:
        raise _unknown("--form", name, "thread form", list(FORMS))
    return name.strip().lower()


def _unknown(option: str, value: str, what: str, known: list[str]) -> FaultsError:
    near = nearest(value, known)
    return _fault(
        option,
        value,
        f"there is no {what} of this name",
        allowed=", ".join(known),
        fix=f'"{near}" may be meant' if near else "take one of these",
    )


def _length(text: str | None, option: str) -> float | None:
    return None if text is None else float(_exact_length(text, option))


def _exact_length(text: str, option: str) -> Fraction:
    try:
        return parse_length(text)
    except NotationError as error:
        raise _fault(option, text, error.problem, allowed=error.allowed, fix=error.fix) from None


def _positive(text: str | None, option: str) -> float | None:
    if text is None:
        return None
    try:
        value = parse_number(text)
    except NotationError as error:
        raise _fault(option, text, error.problem, fix=error.fix) from None
    if value <= 0:
        raise _fault(option, text, "this must be greater than zero")
    return float(value)


def _fault(option: str, value: str, problem: str, allowed: str = "", fix: str = "") -> FaultsError:
    return FaultsError(
        [Fault("command line", problem, where=option, value=value, allowed=allowed, fix=fix)]
    )
