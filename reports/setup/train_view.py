"""The train's side of a setup, line by line: shafts, loads, half-nuts, speeds."""

from __future__ import annotations

from dataclasses import dataclass

from gearchest.optimizer.strength.loads import Mesh, weakest
from gearchest.optimizer.turning.mounting import Shaft
from gearchest.optimizer.turning.procedures import carriage_back
from gearchest.optimizer.turning.setup import Setup
from gearchest.reports.setup.view import newton_metres, units
from gearchest.reports.words import numbers
from gearchest.reports.words.line import Line


@dataclass(frozen=True)
class MeshRow:
    """One mesh in the table of tooth loads; `forward` with the spindle driving, `backward`
    with the screw driving ("" where that is not asked)."""

    pair: str
    forward: str
    backward: str
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
    """How hard the screw drives, and a crank where one is needed."""
    turning = setup.turning
    if turning is None:
        return []
    policy = setup.lathe.policy
    lines = [
        Line("Screw turns", numbers.figure(turning.screw_turns, 3),
             f"per spindle turn, exactly {turning.screw_turns}"),
        Line("Torque at the spindle", newton_metres(turning.spindle_torque),
             f"for {newton_metres(policy.screw_torque)} at the screw, 3 % lost a mesh"),
    ]  # fmt: skip
    crank = turning.crank
    if crank is not None:
        lines += [
            Line("Crank torque", newton_metres(crank.torque),
                 f"screw {newton_metres(policy.screw_torque)}, "
             f"cutting {newton_metres(policy.cutting_torque)}"),
            Line("Crank length", units(setup).length(crank.length, 0),
                 f"at least, for {crank.hand_force:g} N of hand force"),
        ]  # fmt: skip
    return lines


def mesh_rows(setup: Setup) -> list[MeshRow]:
    """Tooth loads mesh by mesh, against what the weaker gear bears."""
    turning = setup.turning
    if turning is None:
        return []
    working = turning.working
    worst = weakest(working)
    backward = [f"{m.load:.0f}" for m in turning.crank.meshes] if turning.crank else None
    return [
        MeshRow(
            f"{mesh.driver}/{mesh.driven}",
            f"{forward.load:.0f}",
            backward[i] if backward else "",
            _allowed(mesh),
            "unchecked" if mesh.share is None else numbers.percent(mesh.share),
            mesh is worst,
            mesh.share is not None and mesh.share > 1,
        )
        for i, (forward, mesh) in enumerate(zip(turning.meshes, working, strict=True))
    ]


def _allowed(mesh: Mesh) -> str:
    limit = mesh.limit
    return limit.unchecked if limit.newtons is None else f"{limit.newtons:.0f} ({limit.gear})"


def load_note(setup: Setup) -> str:
    """The weakest mesh named, and what to do if it is overloaded."""
    turning = setup.turning
    if turning is None:
        return ""
    worst = weakest(turning.working)
    if worst is None:
        return "Not every mesh could be checked: see the table."
    pair = f"{worst.driver}/{worst.driven}"
    if not turning.overloaded:
        share = numbers.percent(worst.share or 0)
        return f"Weakest: {pair}, its {worst.limit.gear} of {worst.limit.gear.material}, {share}."
    text = f"{pair} is OVERLOADED: {numbers.percent(worst.share or 0)} of what its teeth bear."
    return f"{text} No train of the gears at hand within what this thread can bear spares it."


def material_notes(setup: Setup) -> list[str]:
    """The stresses used, each with its source."""
    turning = setup.turning
    used = {mesh.limit.material for mesh in turning.meshes} if turning else set()
    known = sorted((m for m in used if m is not None), key=lambda m: m.name)
    return [f"{m.name} {m.stress:g} MPa: {m.source}" for m in known]


def half_nut_lines(setup: Setup) -> list[Line]:
    """May the half-nuts be opened, and where may they be closed."""
    nuts = setup.half_nuts
    if nuts is None:
        return []
    u = units(setup)
    may = {True: "yes", False: "no", None: "only if the travel allows"}[nuts.may_open]
    lines = [Line("May be opened", may, nuts.why)]
    if nuts.fitted:
        count = numbers.plural(nuts.leads, "lead")
        lines.append(
            Line("Step", u.step(nuts.step_mm),
                 f"{numbers.plural(nuts.pitches, 'screw pitch', 'screw pitches')} = {count}")
        )  # fmt: skip
    if nuts.groove_mm < nuts.step_mm:
        note = "but another start's: keep to the full step"
        lines.append(Line("A groove every", u.step(nuts.groove_mm), note))
    lines += [
        Line(f"Dial, {use.dial.teeth} teeth, {numbers.plural(use.dial.lines, 'line')}",
             dial_words(use.lines), "counted from the line first used" if use.lines else "")
        for use in nuts.dials
    ]  # fmt: skip
    return lines


def dial_words(lines: tuple[int, ...] | str) -> str:
    """Usable dial lines in words."""
    if lines == "any":
        return "any place"
    if not lines:
        return "not usable"
    return f"line{'s' if len(lines) > 1 else ''} {', '.join(str(line) for line in lines)}"


def return_note(setup: Setup) -> str:
    """How the carriage comes back."""
    if setup.half_nuts is None:
        return ""
    if setup.turning is not None and setup.turning.crank is not None:
        return "Tool out, then wind the screw back with everything engaged."
    return carriage_back(setup.half_nuts)


def speed_lines(setup: Setup) -> list[Line]:
    """Spindle speeds; none where the screw is wound by hand."""
    speed, u = setup.speed, units(setup)
    if setup.turning is not None and setup.turning.crank is not None:
        return [Line("Spindle speed", "as the crank turns it", "no power on the spindle")]
    carriage = numbers.length_pair(speed.carriage_at_highest, inch=u.inch, places=0)
    lines = [
        Line("Highest speed", f"{speed.highest_rpm:.0f} rpm",
             f"{u.length(speed.allowed_overrun)} overrun in {speed.reaction:g} s"),
        Line("Carriage then", f"{carriage} a minute"),
    ]  # fmt: skip
    if speed.overrun_at_lowest is None or speed.carriage_at_lowest is None:
        return [*lines, Line("Lowest speed", "not in the lathe file")]
    note = "slow enough" if speed.slow_enough else "TOO FAST: turn the spindle by a hand crank"
    slowest = numbers.length_pair(speed.carriage_at_lowest, inch=u.inch, places=0)
    return [
        *lines,
        Line(f"Overrun at {speed.lowest_rpm:g} rpm", u.length(speed.overrun_at_lowest),
             f"{slowest} a minute; {note}"),
    ]  # fmt: skip
