"""Options of `gearchest setup` as typed, read."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TypedDict

from gearchest.catalogs.materials import screw_materials
from gearchest.cli.loads import load_of, newtons
from gearchest.cli.typed import length, refused, unknown
from gearchest.optimizer.domain.lathe import Drive, Lathe
from gearchest.optimizer.domain.notation import NotationError, parse_length
from gearchest.optimizer.domain.train import Setting
from gearchest.optimizer.domain.train_notation import parse_train
from gearchest.optimizer.domain.want import Use, Want
from gearchest.optimizer.search.own_choice import own_choice
from gearchest.optimizer.search.result import Answer
from gearchest.optimizer.search.trains import settings
from gearchest.optimizer.threads.forms import FORMS
from gearchest.optimizer.threads.limit_classes import classes
from gearchest.optimizer.threads.tip import Tip
from gearchest.optimizer.turning.cranking import CRANK_FORCE
from gearchest.optimizer.turning.cutter import Cutter
from gearchest.optimizer.turning.milling import bit, disc
from gearchest.optimizer.turning.screw_force import ScrewMaterial
from gearchest.optimizer.turning.setup import Wishes
from gearchest.optimizer.turning.shaping import shaping
from gearchest.optimizer.turning.sizes import NoInternalThread, sizes

USUAL_MATERIAL = {True: "beech", False: "mild steel"}
"""Wood or not: what a screw is taken to be made of where nothing is said."""


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
    the hand's on a crank; `drive` which end turns the train. `train`: the gears that the reader
    will have, `gearbox` the position they go with.
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
    drive: str | None
    train: str | None
    gearbox: str | None
    aims: str | None


def driven_as_asked(options: SetupOptions, lathe: Lathe) -> Lathe:
    """The lathe with its train turned from the end asked for; as its file has it where nothing is
    asked. Raises `FaultsError`."""
    asked = options.get("drive")
    if asked is None:
        return lathe
    ends: dict[str, Drive | None] = {**{end.value: end for end in Drive}, "auto": None}
    if asked.casefold() not in ends:
        raise unknown("--drive", asked, "this is no end of the train", list(ends))
    policy = replace(lathe.policy, drive=ends[asked.casefold()])
    return replace(lathe, policy=policy)


def chosen_train(options: SetupOptions, lathe: Lathe, want: Want) -> Answer | None:
    """The train that the reader will have, judged; None where the choice is the program's.
    Raises `FaultsError`."""
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


def wishes_of(options: SetupOptions, want: Want) -> Wishes:
    """How the thread is to be cut, beside what is wanted. Raises `FaultsError`."""
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


def check_shape(options: SetupOptions, want: Want, wishes: Wishes) -> None:
    """Refuse what this thread's form, standard or groove does not have. Raises `FaultsError`."""
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
