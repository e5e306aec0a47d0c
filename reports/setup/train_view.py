"""The train's side of a setup, line by line: shafts, loads, half-nuts, speeds."""

from __future__ import annotations

import math
from dataclasses import dataclass

from gearchest.optimizer.domain.want import Use
from gearchest.optimizer.strength.loads import Mesh, weakest
from gearchest.optimizer.turning.half_nuts import How
from gearchest.optimizer.turning.mounting import Shaft
from gearchest.optimizer.turning.setup import Setup
from gearchest.optimizer.turning.speed import Governs
from gearchest.reports.setup.cutter_view import why_tapped
from gearchest.reports.setup.view import newton_metres, units
from gearchest.reports.words import numbers, wording
from gearchest.reports.words.line import Line


@dataclass(frozen=True)
class MeshRow:
    """One mesh in the table of tooth loads, with the load of the end that drives."""

    pair: str
    load: str
    allowed: str
    share: str
    weakest: bool
    over: bool


def shaft_cells(shaft: Shaft) -> list[str]:
    """What sits in each plane of a shaft."""
    return ["spacer" if gear is None else str(gear) for gear in shaft.planes]


def shaft_place(setup: Setup, shaft: Shaft) -> str:
    """Where a stud stands on the arm."""
    if shaft.position is None or shaft.slot is None or setup.lathe.banjo is None:
        return ""
    slot = setup.lathe.banjo.slot_name(shaft.slot).removeprefix("the ")
    return f"{slot} at {units(setup).length(shaft.position, 1)}"


def turning_lines(setup: Setup) -> list[Line]:
    """The way of working, and how hard the screw drives."""
    turning = setup.turning
    if turning is None:
        return []
    way = "tapped" if setup.tapped else setup.working.turned.value
    lines = [
        Line("Way of working", way, _why(setup)),
        Line("Screw turns", numbers.figure(turning.screw_turns, 3),
             f"per spindle turn, exactly {turning.screw_turns}"),
    ]  # fmt: skip
    if not setup.working.powered:
        return lines
    policy = setup.lathe.policy
    return [
        *lines,
        Line("Torque at the spindle", newton_metres(turning.spindle_torque),
             f"for {newton_metres(policy.screw_torque)} at the screw, 3 % lost a mesh"),
    ]  # fmt: skip


def _why(setup: Setup) -> str:
    """What cuts, and why the work is turned so."""
    way, speed, u = setup.working, setup.speed, units(setup)
    if setup.tapped:
        return f"{why_tapped(setup)}; this train is for the tap, a screw of its own"
    if way.screw_drives:
        return "the leadscrew cranked at its own end, a powered cutter cuts"
    if way.wooden:
        return "wood: a powered cutter cuts, so no power turns the spindle"
    if way.too_fast is Governs.RUN_OUT and speed.lowest is not None:
        return (
            "single point; under power the carriage runs on "
            f"{u.alone(speed.overrun(speed.lowest), 1)}, the run-out is {u.alone(speed.room, 1)}: "
            "--run-out for a longer one"
        )
    if way.too_fast is not None:
        return "single point; the lathe's slowest is too fast for this tool: --tool for another"
    return "single point"


def advice(setup: Setup) -> str:
    """What the way of working means at the lathe; nothing where the work is not on it."""
    return "" if setup.turning is None or setup.tapped else setup.turning.advice


def mesh_rows(setup: Setup) -> list[MeshRow]:
    """Tooth loads mesh by mesh, against what the weaker gear bears."""
    turning = setup.turning
    if turning is None:
        return []
    worst = weakest(turning.meshes)
    return [
        MeshRow(
            f"{mesh.driver}/{mesh.driven}",
            f"{mesh.load:.0f}",
            _allowed(mesh),
            "unchecked" if mesh.share is None else numbers.percent(mesh.share),
            mesh is worst,
            mesh.share is not None and mesh.share > 1,
        )
        for mesh in turning.meshes
    ]


def _allowed(mesh: Mesh) -> str:
    limit = mesh.limit
    return "not known" if limit.newtons is None else f"{limit.newtons:.0f} ({limit.gear})"


def load_note(setup: Setup) -> str:
    """The weakest mesh named, and what to do if it is overloaded."""
    turning = setup.turning
    if turning is None:
        return ""
    worst = weakest(turning.meshes)
    if worst is None:
        whys = dict.fromkeys(
            f"{mesh.driver}/{mesh.driven}: {mesh.limit.unchecked}"
            for mesh in turning.meshes
            if mesh.share is None
        )
        return f"Not every mesh could be checked. {'; '.join(whys)}."
    pair = f"{worst.driver}/{worst.driven}"
    taken = wording.FACE_TAKEN if worst.limit.assumed_face else ""
    if not turning.overloaded:
        share = numbers.percent(worst.share or 0)
        gear = worst.limit.gear
        return f"Weakest: {pair}, its {gear} of {gear.material}, {share}{taken}."
    share = numbers.percent(worst.share or 0)
    text = f"{pair} is OVERLOADED: {share} of what its teeth bear{taken}."
    if setup.chosen:
        return text
    return f"{text} No train of the gears at hand within what this thread can bear spares it."


def material_notes(setup: Setup) -> list[str]:
    """The stresses used, each with its source."""
    turning = setup.turning
    used = {mesh.limit.material for mesh in turning.meshes} if turning else set()
    known = sorted((m for m in used if m is not None), key=lambda m: m.name)
    return [f"{m.name} {m.stress:g} MPa: {m.source}" for m in known]


def half_nut_lines(setup: Setup) -> list[Line]:
    """What may be done with the half-nuts, and where they may be closed."""
    nuts = setup.half_nuts
    if nuts is None or setup.tapped:
        return []
    u = units(setup)
    lines = [Line("Half-nuts", wording.HALF_NUTS[nuts.how], u.told(nuts.why))]
    if nuts.how is How.STANDING:
        count = numbers.plural(nuts.leads, "lead")
        lines.append(
            Line("Step", u.step(nuts.step_mm),
                 f"{numbers.plural(nuts.pitches, 'screw pitch', 'screw pitches')} = {count}")
        )  # fmt: skip
    if nuts.may_open and nuts.groove_mm < nuts.step_mm:
        note = "but another start's: keep to the full step"
        lines.append(Line("A groove every", u.step(nuts.groove_mm), note))
    if nuts.how is not How.DIAL:
        return lines
    lines += [
        Line(f"Dial, {use.dial.teeth} teeth, {numbers.plural(use.dial.lines, 'line')}",
             dial_words(use.lines, use.dial.lines),
             "counted from the line first used" if use.lines else "")
        for use in nuts.dials
    ]  # fmt: skip
    return lines


def dial_words(lines: tuple[int, ...] | str, of: int) -> str:
    """Usable dial lines, of so many, in words."""
    if lines == "any":
        return "any place"
    if not lines:
        return "not usable"
    if len(lines) == of:
        return "any line"
    return f"line{'s' if len(lines) > 1 else ''} {', '.join(str(line) for line in lines)}"


def speed_lines(setup: Setup) -> list[Line]:
    """Spindle speeds; none where no power turns the spindle, nor for a feed, which is as fast as
    any turning."""
    speed, u = setup.speed, units(setup)
    governing = speed.governing
    if governing is None or setup.want.use is Use.FEED:
        return []
    rpm, by = governing
    lines = [Line("Highest speed", f"{math.floor(rpm + 1e-9)} rpm", _governs(setup, by))]
    if speed.cutting is not None and speed.cutting_speed is not None:
        whose = _tool(setup)
        lines.append(
            Line("Cutting speed", u.cutting_speed(speed.cutting_speed),
                 f"{whose}: {speed.cutting:.0f} rpm")
        )  # fmt: skip
    if speed.lowest is None:
        return [*lines, Line("Lowest speed", "not in the lathe file")]
    return [*lines, Line(f"At {speed.lowest:g} rpm", u.length(speed.overrun(speed.lowest)),
                         "run-on at the lathe's slowest")]  # fmt: skip


def _tool(setup: Setup) -> str:
    """Whose cutting speed it is."""
    material = setup.wishes.material
    if setup.lathe.policy.cutting_speed is not None or material is None:
        return "by the lathe file"
    return f"{'carbide' if setup.wishes.carbide else 'high speed steel'} in {material.name}"


def _governs(setup: Setup, by: Governs) -> str:
    speed, u = setup.speed, units(setup)
    stop = speed.stopping
    if by is Governs.RUN_OUT:
        return (
            f"by the run-out of {u.alone(speed.room, 1)}: {stop.reaction:g} s to react, "
            f"{stop.run_down:g} s running down"
        )
    if by is Governs.CUTTING:
        return "by the cutting speed"
    return "the lathe's slowest, as the screw far outruns the spindle"
