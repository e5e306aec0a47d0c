"""`gearchest setup`: everything needed to cut one thread, as a sheet, JSON and a short form."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, TypedDict, Unpack

import typer

from gearchest.catalogs.materials import screw_materials
from gearchest.cli.aims import aims_of
from gearchest.cli.exits import Exit
from gearchest.cli.facts import facts_of
from gearchest.cli.files.lathe import lathe_source, load_lathe
from gearchest.cli.files.offers import common_offers
from gearchest.cli.loads import load_of, newtons
from gearchest.cli.output import deliver, tell
from gearchest.cli.targets import check_targets
from gearchest.cli.typed import length, refused, unknown
from gearchest.cli.wanted import known_wants, wanted
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.notation import NotationError, parse_length
from gearchest.optimizer.domain.train import Setting
from gearchest.optimizer.domain.train_notation import parse_train
from gearchest.optimizer.domain.want import Use, Want
from gearchest.optimizer.plan.aims import minded_first
from gearchest.optimizer.search.own_choice import own_choice
from gearchest.optimizer.search.reach import reach
from gearchest.optimizer.search.result import Answer
from gearchest.optimizer.search.trains import settings
from gearchest.optimizer.threads.forms import FORMS
from gearchest.optimizer.threads.limit_classes import classes
from gearchest.optimizer.threads.tip import Tip
from gearchest.optimizer.turning.cranking import CRANK_FORCE
from gearchest.optimizer.turning.cutter import Cutter
from gearchest.optimizer.turning.milling import bit, disc
from gearchest.optimizer.turning.pressing import JammedError
from gearchest.optimizer.turning.screw_force import ScrewMaterial
from gearchest.optimizer.turning.setup import Setup, Wishes
from gearchest.optimizer.turning.setup import setup as work_out
from gearchest.optimizer.turning.shaping import shaping
from gearchest.optimizer.turning.sizes import NoInternalThread, sizes
from gearchest.reports.setup.document import setup_document
from gearchest.reports.setup.text import setup_lines

if TYPE_CHECKING:
    from gearchest.reports.page.shell import Facts

MOST_TRAINS = 200
"""Trains among which an easier one is sought when a tooth is overloaded."""

USUAL_MATERIAL = {True: "beech", False: "mild steel"}
"""Wood or not: what a screw is taken to be made of where nothing is said."""


_USUAL = {"left": False, "inside": False, "mating": False}
"""What a sheet need not repeat of how it was asked for."""

TOOLS = {"hss": False, "high speed steel": False, "carbide": True}
"""What threading tools are of: whether of carbide."""

_CUTTER = (
    r"(?P<kind>disc|bit) (?P<across>[^,]+?)(?:, ?(?P<teeth>\d{1,3}) ?(?:teeth|tooth|flutes?))?"
    r"(?:, ?(?P<rpm>\d{1,5}) ?rpm)?"
)
CUTTER_FORMS = '"bit 12 mm", "disc 40 mm" or "disc 40 mm, 8 teeth, 600 rpm"'

TIP_FORMS = '"0.1 mm" (a radius), "flat 0.2 mm", "sharp"'


class SetupOptions(TypedDict, total=False):
    """Options of `gearchest setup` as typed.

    `engaged`: how much of the thread goes together; `tip` of the tool; `class_name` of the limits
    of size; `material` of the work, `tool` what the tool is of; `cutter` a powered one. `load` in N
    on the finished screw, or `force` in N at `radius`, a hand's that turns it; `free_length` of it
    pressed between its `ends`, `nut` the length of the nut, of `nut_material`; `crank_force` in N
    the hand's on a crank. `train`: the gears that the reader will have, `gearbox`
    the position they go with.
    """

    diameter: str | None
    length: str | None
    left: bool
    inside: bool
    engaged: str | None
    tip: str | None
    class_name: str | None
    use: str | None
    tolerance: str | None
    grade: str | None
    mating: bool
    form: str | None
    run_out: str | None
    load: str | None
    free_length: str | None
    ends: str | None
    force: str | None
    radius: str | None
    friction: str | None
    nut: str | None
    nut_material: str | None
    material: str | None
    tool: str | None
    cutter: str | None
    crank_force: str | None
    train: str | None
    gearbox: str | None
    aims: str | None


def setup(
    *,
    lathe: Path,
    pitch: str,
    wants: Path | None = None,
    out: Path | None = None,
    json: str | None = None,
    **options: Unpack[SetupOptions],
) -> None:
    """Write what was asked for; exit 4 where no train within the allowed error fits. `pitch` may
    be the name of a thread of the file `wants`."""
    read = {"LATHE": lathe_source(lathe), "--wants": wants}
    check_targets({"--out": out, "--json": json}, read)
    machine = load_lathe(lathe)
    typed = {"class" if name == "class_name" else name: value for name, value in options.items()}
    inputs = [lathe] if wants is None else [lathe, wants]
    facts = facts_of(f"setup {pitch}", inputs, typed, _USUAL) if out else None
    found = worked_out(machine, pitch, options, known_wants(wants, machine))
    sheet = {out: _sheet(found, facts)} if out and facts and found.answer else {}
    deliver(setup_lines(found), setup_document(found), json, files=sheet)
    if out and not sheet:
        tell(f"{out} was not written: there is no train to put on a sheet.")
    if not found.in_tolerance:
        raise typer.Exit(Exit.NO)


def worked_out(
    lathe: Lathe, pitch: str, options: SetupOptions, wants: Sequence[Want] = ()
) -> Setup:
    """Everything needed to cut a thread, which may be one of `wants`. Raises `FaultsError`."""
    want = wanted(
        pitch,
        wants,
        lathe,
        use=options.get("use"),
        tolerance=options.get("tolerance"),
        diameter=options.get("diameter"),
        engaged=options.get("engaged"),
        grade=options.get("grade"),
        mating=options.get("mating", False),
        left=options.get("left", False),
        inside=options.get("inside", False),
    )
    return worked_out_for(lathe, want, options)


def worked_out_for(lathe: Lathe, want: Want, options: SetupOptions) -> Setup:
    """As `worked_out`, for a want as it is; options that say what is wanted do not count. Raises
    `FaultsError`."""
    wishes = _wishes(options, want)
    _check_shape(options, want, wishes)
    chosen = _chosen(options, lathe, want)
    first = minded_first(aims_of(options.get("aims")))
    answers = reach(lathe, want, common_offers(lathe).candidates, most=MOST_TRAINS, first=first)
    try:
        found = work_out(lathe, want, answers, wishes, chosen)
    except JammedError as error:
        raise refused(
            "--friction",
            options.get("friction") or "",
            str(error),
            allowed=f"less than {error.limit:.3g} for this lead and diameter",
            fix="check friction, material, lead and diameter, or leave the load out",
        ) from None
    if wishes.load and found.pressing is None:
        loaded = "--force" if options.get("load") is None else "--load"
        raise refused(
            loaded,
            str(options.get(loaded.removeprefix("--"))),
            "this thread's diameters or its nut are not known, so nothing can be said of its force",
            fix="give --diameter, and --form if the thread is none of the catalogs'",
        )
    return found


def _chosen(options: SetupOptions, lathe: Lathe, want: Want) -> Answer | None:
    """The train that the reader will have, judged; None where the choice is the program's."""
    text, box = options.get("train"), options.get("gearbox")
    if text is None:
        if box is not None:
            raise refused("--gearbox", box, "a position of the gearbox goes with a train",
                         fix='give the train too, as in --train "40/(48)/80"')  # fmt: skip
        return None
    try:
        train = parse_train(text, lathe)
    except NotationError as error:
        raise refused("--train", text, error.problem, error.allowed, error.fix) from None
    meshes = train.layout.meshes
    if not lathe.meshes_allowed(meshes, left=want.left):
        other = "right" if want.left else "left"
        raise refused(
            "--train", text, f"its {meshes} meshes cut a {other}-hand thread on this lathe, which "
            "has no reversing lever",
            fix="put an idler in or take one out" + ("" if want.left else ", or give --left"),
        )  # fmt: skip
    return own_choice(lathe, want, train, _positions(lathe, box))


def _positions(lathe: Lathe, box: str | None) -> list[Setting]:
    """Where the levers may stand."""
    every = settings(lathe)
    if box is None:
        return list(every)
    names = [name for name, _ in lathe.gearbox]
    if not names:
        raise refused("--gearbox", box, "this lathe has no gearbox", fix="leave it out")
    found = [one for one in every if one.gearbox == box]
    found = found or [one for one in every if (one.gearbox or "").casefold() == box.casefold()]
    if not found:
        raise unknown("--gearbox", box, "the gearbox has no such position", names)
    return found


def _sheet(found: Setup, facts: Facts) -> str:
    from gearchest.reports.setup.sheet import setup_sheet

    return setup_sheet(found, facts)


def _wishes(options: SetupOptions, want: Want) -> Wishes:
    wood = want.use is Use.WOOD
    material = _material(options.get("material"), wood=wood)
    return Wishes(
        tip=_tip(options.get("tip")),
        class_name=(options.get("class_name") or "").strip(),
        form=_form(options.get("form")),
        length=_mm(options.get("length"), "--length"),
        run_out=_mm(options.get("run_out"), "--run-out"),
        crank_force=newtons(options.get("crank_force"), "--crank-force") or CRANK_FORCE,
        load=load_of(options, material),
        material=material,
        carbide=_tool(options.get("tool")),
        cutter=_cutter(options.get("cutter"), wood=wood, inside=want.inside),
    )


def _check_shape(options: SetupOptions, want: Want, wishes: Wishes) -> None:
    """Refuse what this thread's form, standard or groove does not have."""
    try:
        thread = sizes(want, wishes.form)
    except NoInternalThread as error:
        raise refused("--inside", "", str(error), fix="leave --inside out") from None
    known = classes(thread.thread, inside=thread.inside)
    if wishes.class_name and not known:
        raise refused(
            "--class", wishes.class_name, f"no limits of size are at hand for {want.name}",
            fix="leave --class out",
        )  # fmt: skip
    try:
        made = shaping(want, thread, None, tip=wishes.tip, class_name=wishes.class_name).cut
    except ValueError as error:
        raise refused(
            "--class", wishes.class_name, str(error), allowed=", ".join(known),
            fix=f"the usual class is {known[0]}",
        ) from None  # fmt: skip
    if wishes.tip is not None and (made is None or made.blunt is None):
        raise refused(
            "--tip", str(options.get("tip")), f"{thread.form}: the groove is not made by its tip",
            fix="leave --tip out",
        )  # fmt: skip
    if made is not None and made.blunt is not None and not made.fits:
        radius, flat = made.blunt
        raise refused(
            "--tip", str(options.get("tip")),
            "a tool this blunt leaves no room for the crest of the mate",
            fix=f"a radius of {radius.radius:.3g} mm or a flat of {flat.flat:.3g} mm at most",
        )  # fmt: skip


def _tip(text: str | None) -> Tip | None:
    """A tip as typed: a radius, a flat, or a point."""
    if text is None:
        return None
    first, _, rest = text.strip().lower().partition(" ")
    if first in ("sharp", "point") and not rest:
        return Tip()
    measured = rest if first in ("flat", "radius") else text
    try:
        value = float(parse_length(measured))
    except NotationError as error:
        raise refused("--tip", text, error.problem, TIP_FORMS, error.fix) from None
    return Tip(flat=value) if first == "flat" else Tip(radius=value)


def _material(name: str | None, *, wood: bool) -> ScrewMaterial:
    known = screw_materials()
    if name is None:
        return known[USUAL_MATERIAL[wood]]
    found = known.get(name.strip().lower())
    if found is None:
        raise unknown("--material", name, "there is no material of this name", known)
    return found


def _tool(name: str | None) -> bool:
    """Whether the tool is of carbide."""
    if name is None:
        return False
    if name.strip().lower() not in TOOLS:
        raise unknown("--tool", name, "a threading tool is of one of these", TOOLS)
    return TOOLS[name.strip().lower()]


def _cutter(text: str | None, *, wood: bool, inside: bool) -> Cutter | None:
    """A powered cutter as typed: "disc 40 mm", "disc 40 mm, 8 teeth", "bit 12 mm"."""
    if text is None:
        return None
    found = re.fullmatch(_CUTTER, text.strip().lower())
    if found is None:
        raise refused("--cutter", text, "this cannot be read", CUTTER_FORMS, "write one like these")
    try:
        diameter = float(parse_length(found["across"]))
    except NotationError as error:
        raise refused("--cutter", text, error.problem, CUTTER_FORMS, error.fix) from None
    teeth = int(found["teeth"]) if found["teeth"] else None
    rpm = float(found["rpm"]) if found["rpm"] else None
    if teeth == 0 or rpm == 0:
        raise refused("--cutter", text, "a cutter has teeth and turns", CUTTER_FORMS, "check it")
    if found["kind"] == "bit":
        if inside:
            raise refused(
                "--cutter", text, "a bit stands square to the work and reaches no bore",
                fix='use a disc, as in "disc 20 mm"',
            )  # fmt: skip
        return bit(diameter, teeth=teeth, rpm=rpm)
    return disc(diameter, wooden=wood, teeth=teeth, rpm=rpm)


def _form(name: str | None) -> str:
    if name is None:
        return ""
    if name.strip().lower() not in FORMS:
        raise unknown("--form", name, "there is no thread form of this name", FORMS)
    return name.strip().lower()


def _mm(text: str | None, option: str) -> float | None:
    found = length(text, option)
    return None if found is None else float(found)
