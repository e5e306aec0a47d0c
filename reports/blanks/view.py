"""What a blank sheet says, line by line: a BlankSheet turned into plain words and figures."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from gearchest.optimizer.domain.tooth import diametral_pitch
from gearchest.optimizer.making.blank import Blank
from gearchest.optimizer.making.cost import Cost
from gearchest.optimizer.making.cutters import FormCutter, form_error_note
from gearchest.optimizer.making.job import ENGRAVED
from gearchest.optimizer.making.sheet import BlankSheet
from gearchest.optimizer.making.tooth_load import LoadShare
from gearchest.reports.blanks.dividing_view import divider_text, move_text
from gearchest.reports.words import numbers
from gearchest.reports.words.line import Line
from gearchest.reports.words.numbers import NARROW_SPACE


def length(sheet: BlankSheet, value: float, places: int = 2) -> str:
    """A length in the unit the gear is made in, the other behind it."""
    return numbers.length_pair(value, inch=in_inches(sheet), places=places)


def in_inches(sheet: BlankSheet) -> bool:
    """Whether the gear is made in inches: a DP gear is, a module gear is not."""
    return diametral_pitch(sheet.blank.gear.module) is not None


def size_name(sheet: BlankSheet) -> str:
    """Module or DP, and the pressure angle."""
    dp = diametral_pitch(sheet.blank.gear.module)
    size = f"module {sheet.blank.module:g}" if dp is None else f"{float(dp):g}{NARROW_SPACE}DP"
    return f"{size}, {float(sheet.blank.gear.pressure_angle):g}°"


def verdict(sheets: Sequence[BlankSheet]) -> str:
    """Which of the gears can be made, and why others are not to be."""
    made = [one for one in sheets if not one.refusal]
    said = [f"{_listed(made)} can be made"] if made else []
    said += [f"{_listed([one])} not to be made: {one.refusal}" for one in sheets if one.refusal]
    return f"{'; '.join(said).removesuffix('.')}."


def _listed(sheets: Sequence[BlankSheet]) -> str:
    counts = [str(one.blank.teeth) for one in sheets]
    return " and ".join(filter(None, (", ".join(counts[:-1]), f"{counts[-1]} teeth")))


def title_lines(sheet: BlankSheet) -> list[Line]:
    """The title block: what one takes to the machine."""
    blank = sheet.blank
    best = next((h for h in sheet.heads if not h.spacing.binds), sheet.heads[0])
    move = move_text(best.best)
    if only_change_gears_divide(sheet):
        move = divider_text(sheet.dividers[0])
    return [
        Line("Teeth", str(blank.teeth)),
        Line("Size", size_name(sheet)),
        Line("Outside diameter", length(sheet, blank.tip_diameter)),
        Line("Depth of cut", length(sheet, blank.depth_of_cut)),
        Line("Cutter", cutter_name(sheet.cutters[0]) if sheet.cutters else "none made"),
        Line("Each tooth", move),
    ]


def only_change_gears_divide(sheet: BlankSheet) -> bool:
    """Whether no head divides the gear without teeth that bind, and change gears do."""
    return bool(sheet.dividers) and all(head.spacing.binds for head in sheet.heads)


def blank_lines(sheet: BlankSheet) -> list[Line]:
    """Turning the blank."""
    blank = sheet.blank
    lines = [
        Line("Outside (tip) diameter", length(sheet, blank.tip_diameter)),
        Line("Pitch diameter", length(sheet, blank.pitch_diameter)),
        Line("Root diameter", length(sheet, blank.root_diameter), "without backlash"),
        Line("Whole depth", length(sheet, blank.whole_depth), blank.depth.name),
        Line("Face width", length(sheet, blank.face_width)),
        Line("Bore", length(sheet, blank.bore) if blank.bore else "not in the lathe file"),
    ]
    if blank.keyway:
        key = blank.keyway
        lines.append(Line("Keyway", f"{key.width:g} × {key.depth:g}{NARROW_SPACE}mm"))
    lines.append(
        Line(
            "Rim over the keyway" if blank.keyway else "Rim over the bore",
            length(sheet, blank.rim),
            f"{numbers.figure(blank.rim_share, 2)} of the depth",
        )
    )
    if blank.shift:
        lines.append(Line("Profile shift", f"{numbers.figure(blank.shift, 3)} module"))
    return lines


def stock_lines(sheet: BlankSheet) -> list[Line]:
    """Material, stock and weight."""
    lines = [Line("Material", sheet.material.name if sheet.material else "no data for it")]
    if sheet.material:
        lines[0] = Line("Material", sheet.material.name, sheet.material.use)
    if sheet.bar:
        kind = "round bar" if sheet.bar.common else "disc"
        lines.append(
            Line(
                "To buy",
                f"{kind} Ø{sheet.bar.diameter:g} × {sheet.bar.length:g}{NARROW_SPACE}mm",
                f"{numbers.figure(sheet.bar.weight, 0)}{NARROW_SPACE}g, to turn and face",
            )
        )
    if sheet.weight is not None:
        weight = f"{numbers.figure(sheet.weight, 0)}{NARROW_SPACE}g"
        lines.append(Line("Finished weight", weight, "a plain disc, no hub"))
    return lines


def engraved_note(sheet: BlankSheet) -> str:
    """That the depth engraved on a cutter goes first; "" where it was given, or none is used."""
    if not sheet.cutters or sheet.blank.depth.name == ENGRAVED:
        return ""
    return "a depth engraved on the cutter goes before this one: give it with --engraved-depth"


def _depth_taken(blank: Blank) -> str:
    return "the depth engraved" if blank.depth.name == ENGRAVED else "the whole depth"


def cutter_name(cutter: FormCutter) -> str:
    """By the tooth range first: the numbers run two ways."""
    return f"for {cutter.teeth} teeth"


def _half(number: Fraction) -> str:
    """Cutter numbers come in halves: 1, 1½."""
    whole = number.numerator // number.denominator
    return str(whole) if number == whole else f"{whole}½"


def cutting_lines(sheet: BlankSheet) -> list[Line]:
    """The cutter and how to run it."""
    blank = sheet.blank
    lines = [
        Line(
            "Cutter" if at == 0 else "or, set of fifteen",
            cutter_name(cutter),
            f"No. {_half(cutter.number)} as DP cutters are numbered, "
            f"No. {_half(cutter.module_number)} as module cutters are; "
            f"{form_error_note(blank.teeth, cutter)}",
        )
        for at, cutter in enumerate(sheet.cutters)
    ]
    if not lines:
        lines.append(Line("Cutter", "none", "form cutters begin at 12 teeth: hob, print or file"))
    if sheet.owned_cutter:
        lines.append(Line("In the drawer", cutter_name(sheet.owned_cutter)))
    lines.append(
        Line(
            "Depth of cut",
            length(sheet, blank.depth_of_cut),
            f"{_depth_taken(blank)} and "
            f"{numbers.figure(blank.depth_of_cut - blank.whole_depth, 3)}"
            f"{NARROW_SPACE}mm for backlash; take it in two cuts, measure before the second",
        )
    )
    if engraved := engraved_note(sheet):
        lines[-1] = replace(lines[-1], note=f"{lines[-1].note}; {engraved}")
    if sheet.cutting:
        run = sheet.cutting
        lines.append(
            Line(
                "Speed and feed",
                f"{run.rpm} rpm, {run.feed}{NARROW_SPACE}mm/min",
                f"{run.surface_speed:g}{NARROW_SPACE}m/min on a "
                f"{run.cutter_diameter:g}{NARROW_SPACE}mm cutter of high-speed steel",
            )
        )
    if not sheet.standard_module:
        lines.append(
            Line("Size", "not a standard one", "stock cutters are not made for this module")
        )
    return lines


def shift_title(sheet: BlankSheet) -> str:
    """Over the centre distances: the shift they hold for."""
    cured = ", without undercut" if sheet.blank.undercut else ""
    return f"Shifted by {numbers.figure(sheet.blank.sound_shift, 3)} module{cured}"


def shift_note(sheet: BlankSheet) -> str:
    """What to turn differently for it."""
    blank = sheet.blank
    moves = f"The centre distance {'grows' if blank.sound_shift > 0 else 'shrinks'}:"
    larger = 2 * (blank.sound_shift - blank.shift) * blank.module
    if not blank.undercut:
        return moves
    return f"Turn the blank {length(sheet, larger)} larger and cut to the same depth. {moves}"


def shift_lines(sheet: BlankSheet) -> list[Line]:
    """What the shift does to centre distances."""
    return [
        Line(
            f"beside {effect.mate} teeth",
            length(sheet, effect.centre_distance, 3),
            f"{length(sheet, abs(effect.moved), 3)} {'wider' if effect.moved > 0 else 'closer'}",
        )
        for effect in sheet.shift_effects
    ]


def cost_lines(cost: Cost) -> list[Line]:
    """One way of making it, in money."""
    lines = [Line("Material", _money(cost.material))]
    if cost.cutter:
        lines.append(Line("Cutter", _money(cost.cutter), "none in the drawer for this count"))
    hours = f"{numbers.figure(cost.hours, 1)}{NARROW_SPACE}h"
    lines.append(Line("Hours", _money(cost.labour), f"{hours} at {numbers.weight(cost.rate)}"))
    lines.append(Line("Together", _money(cost.total)))
    return lines


def _money(value: Fraction) -> str:
    return f"{float(value):.2f}"


def load_table(sheet: BlankSheet) -> tuple[list[str], list[tuple[str, str, list[str]]]]:
    """(materials, rows of (uses, newtons, shares)); the hardest first, equal ones together."""
    materials = list(dict.fromkeys(share.material for share in sheet.load_shares))
    uses: dict[tuple[str, bool], list[str]] = {}
    cells: dict[tuple[str, bool], dict[str, str]] = {}
    for share in sorted(sheet.load_shares, key=lambda share: -share.case.newtons):
        load = f"{numbers.significant(share.case.newtons)}{NARROW_SPACE}N"
        key = load, share.case.idler
        if share.case.use not in uses.setdefault(key, []):
            uses[key].append(share.case.use)
        cells.setdefault(key, {})[share.material] = _share(share)
    return materials, [
        (
            ", ".join(names) + (" (as idler)" if idler else ""),
            load,
            list(cells[load, idler].values()),
        )
        for (load, idler), names in uses.items()
    ]


def _share(share: LoadShare) -> str:
    if share.share is None:
        return "unchecked"
    over = " over" if share.share > 1 else ""
    return f"{numbers.percent(share.share)}{over}"


def plastic_limits(sheet: BlankSheet) -> tuple[str, ...]:
    """What the shares of plastics do not tell, and where a metal gear is wanted."""
    most = "last mesh before the screw, where the load is largest"
    if not sheet.last_carries_most:
        most = "mesh that carries most: the setup sheet of a thread names the weakest"
    return (*_PLASTIC_LIMITS, f"Keep a metal gear for the {most}.")


_PLASTIC_LIMITS = (
    "The shares are for slow bending alone, by the Lewis formula; a print is weaker across its "
    "layers than along them. Above half, expect to make the gear again (common practice, no "
    "source).",
    "Printed gears run at 900 rpm under 1.5 N m wore out by heat; PETG outlasted PLA by 22 % and "
    "ABS by 37 % (Polymers 14, 2022, 2064). Change gears turn slowly, so "
    "heat is rarely the end of one; a jammed cut is.",
    "PLA creeps under a standing load and softens near 55 °C; nylon swells with damp, so give it "
    "more backlash (common practice, no source).",
)
