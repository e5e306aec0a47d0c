"""`gearchest setup`: everything needed to cut one thread, as a sheet, JSON and a short form."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, TypedDict, Unpack

import typer

from gearchest.catalogs.materials import screw_materials, tooth_strength
from gearchest.cli.exits import Exit
from gearchest.cli.facts import facts_of
from gearchest.cli.files.lathe import lathe_source, load_lathe
from gearchest.cli.files.wants import want_from
from gearchest.cli.output import deliver, tell
from gearchest.cli.targets import check_targets
from gearchest.cli.typed import length, positive, refused, unknown
from gearchest.optimizer.domain.want import Use, Want
from gearchest.optimizer.search.common import common_gears
from gearchest.optimizer.search.reach import reach
from gearchest.optimizer.threads.forms import FORMS
from gearchest.optimizer.turning.driving import CRANK_FORCE
from gearchest.optimizer.turning.pressing import Hand
from gearchest.optimizer.turning.screw_force import ScrewMaterial
from gearchest.optimizer.turning.setup import Setup, Wishes
from gearchest.optimizer.turning.setup import setup as work_out
from gearchest.reports.setup.document import setup_document
from gearchest.reports.setup.text import setup_lines

if TYPE_CHECKING:
    from gearchest.reports.page.shell import Facts

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
    check_targets({"--out": out, "--json": json}, {"LATHE": lathe_source(lathe)})
    machine = load_lathe(lathe)
    facts = facts_of(f"setup {pitch}", [lathe], options, {"left": False}) if out else None
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
        raise refused(
            "--force",
            str(options.get("force")),
            "this thread's diameters are not known, so nothing can be said of its force",
            fix="give --diameter, and --form if the thread is none of the catalogs'",
        )
    sheet = {out: _sheet(found, facts)} if out and facts and found.answer else {}
    deliver(setup_lines(found), setup_document(found), json, files=sheet)
    if out and not sheet:
        tell(f"{out} was not written: there is no train to put on a sheet.")
    if not found.in_tolerance:
        raise typer.Exit(Exit.NO)


def _sheet(found: Setup, facts: Facts) -> str:
    from gearchest.reports.setup.sheet import setup_sheet

    return setup_sheet(found, facts)


def _wishes(options: SetupOptions, want: Want) -> Wishes:
    wood = want.use is Use.WOOD
    friction = positive(options.get("friction"), "--friction")
    radius = _mm(options.get("radius"), "--radius")
    force = positive(options.get("force"), "--force")
    if (radius is None) != (force is None):
        missing = "--radius" if radius is None else "--force"
        raise refused(missing, "", "a hand force goes with the radius it works at",
                     fix="give both, as in --force 200 --radius 150mm")  # fmt: skip
    hand = None
    if force is not None and radius is not None:
        hand = Hand(force, radius, friction, _mm(options.get("nut"), "--nut"))
    return Wishes(
        form=_form(options.get("form")),
        length=_mm(options.get("length"), "--length"),
        run_out=_mm(options.get("run_out"), "--run-out"),
        crank_force=positive(options.get("crank_force"), "--crank-force") or CRANK_FORCE,
        hand=hand,
        material=_material(options.get("material"), wood=wood),
    )


def _material(name: str | None, *, wood: bool) -> ScrewMaterial:
    known = screw_materials()
    if name is None:
        return known[USUAL_MATERIAL[wood]]
    found = known.get(name.strip().lower())
    if found is None:
        raise unknown("--material", name, "there is no material of this name", known)
    return found


def _form(name: str | None) -> str:
    if name is None:
        return ""
    if name.strip().lower() not in FORMS:
        raise unknown("--form", name, "there is no thread form of this name", FORMS)
    return name.strip().lower()


def _mm(text: str | None, option: str) -> float | None:
    found = length(text, option)
    return None if found is None else float(found)
