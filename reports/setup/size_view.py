"""What size the thread must have, line by line: blank, limits, wires, gauges, tip, taper, bar."""

from __future__ import annotations

import math

from gearchest.optimizer.domain.lathe import Nose
from gearchest.optimizer.domain.want import Use
from gearchest.optimizer.threads.limits import Open
from gearchest.optimizer.threads.tip import SHARP, Tip
from gearchest.optimizer.turning.boring import Boring
from gearchest.optimizer.turning.cut import Cut
from gearchest.optimizer.turning.gauging import Gauging
from gearchest.optimizer.turning.setup import Setup
from gearchest.optimizer.turning.tapering import Tapering
from gearchest.reports.setup.view import Units, units
from gearchest.reports.words import numbers
from gearchest.reports.words.line import Line


def size_lines(setup: Setup) -> list[Line]:
    """Blank, limits, and how to know them: between limits of size, in a gauge plane, or nominal."""
    shaped = setup.shaping
    if setup.want.use is Use.FEED:
        return []
    lines = _blank_lines(setup)
    if shaped.gauging is not None:
        return lines + _limit_lines(setup, shaped.gauging) + _gauge_lines(setup, shaped.gauging)
    if shaped.tapering is not None:
        return lines + _taper_lines(setup, shaped.tapering)
    return lines + _nominal_lines(setup)


def tip_lines(setup: Setup) -> list[Line]:
    """The tip of the tool, the depth it needs, and what another tip would need."""
    made, u = setup.shaping.cut, units(setup)
    if made is None or setup.want.use is Use.FEED or setup.tapped:
        return []
    lines = []
    if made.blunt is not None:
        lines.append(Line("Tool tip", tip_words(made.tip, u), _tip_note(setup, made, u)))
    elif setup.sizes.flanks is None:
        lines.append(Line("Tool tip", "round", "ground to a sample; no figures of it are at hand"))
    elif setup.sizes.root_flat:
        lines.append(Line("Tool tip", f"flat {u.length(setup.sizes.root_flat)}"))
    against = "" if made.blank is None else (
        "from the surface, on the radius: twice that where a dial reads diameters"
    )  # fmt: skip
    return [*lines, Line("Depth", u.step(made.depth), against)]


def tip_words(tip: Tip, u: Units) -> str:
    """A tip as a turner would say it."""
    if tip == SHARP:
        return "sharp"
    return f"flat {u.length(tip.flat)}" if tip.flat else f"radius {u.length(tip.radius)}"


def boring_lines(setup: Setup) -> list[Line]:
    """The bar that passes, and the bottom of a blind hole."""
    found, u = setup.shaping.boring, units(setup)
    if found is None:
        return []
    if setup.sizes.left:
        start = f"groove {u.alone(found.groove, 1)} across at the bottom"
        lines = [Line("Blind hole", start, "to start in: the carriage runs outwards")]
    else:
        lines = [_blind(setup, found, u)]
    if found.bar is None or found.overhang is None:
        return [Line("Boring bar", "none passes", "tap it"), *lines]
    stands = f"thick; of steel, out {u.alone(found.overhang, 0)} at most"
    return [Line("Boring bar", f"up to {u.length(found.bar, 1)}", stands), *lines]


def _blind(setup: Setup, found: Boring, u: Units) -> Line:
    """How a right-hand thread ends in a blind hole."""
    groove = f"groove {u.alone(found.groove, 1)} across, {u.alone(setup.run_out, 1)} wide"
    nose = setup.lathe.spindle_nose
    outwards = "; or cut outwards from it, tool upside down, spindle reversed"
    if nose is None:
        outwards += ": never with a chuck that is screwed on"
    elif nose is Nose.SCREWED:
        outwards = ""
    return Line("Blind hole", groove, f"at the bottom to run out into{outwards}")


def _blank_lines(setup: Setup) -> list[Line]:
    made, u = setup.shaping.cut, units(setup)
    if made is None or made.blank is None:
        return []
    where = ""
    if setup.shaping.tapering is not None:
        where = "at the face, narrowing inwards" if made.inside else "at the small end"
    size = u.length(made.blank, 1) if setup.want.use is Use.WOOD else u.step(made.blank)
    return [Line("Bore to" if made.inside else "Turn to", size, where)]


def _limit_lines(setup: Setup, gauging: Gauging) -> list[Line]:
    u, aim = units(setup), gauging.target
    limits = aim.limits
    taken = ""
    if aim.pitch_diameter is None:
        taken = "by the standard; the lead error leaves nothing of it"
    elif aim.cost:
        sign = "plus" if limits.inside else "less"
        taken = f"{sign} {u.alone(aim.cost, 3)} for the lead error over {u.alone(aim.engaged, 0)}"
    lines = [
        Line("Class", limits.class_name, "; ".join(filter(None, (limits.standard, limits.note)))),
        Line("Major diameter", between(limits.major, u)),
        Line("Pitch diameter", between(aim.pitch_diameter or limits.pitch_diameter, u), taken),
    ]
    if limits.minor != (None, None):
        lines.append(Line("Minor diameter", between(limits.minor, u)))
    return lines


def _gauge_lines(setup: Setup, gauging: Gauging) -> list[Line]:
    """GO and NO-GO in words, and over wires."""
    u, over = units(setup), gauging.over_wires
    inside = gauging.target.limits.inside
    turns = numbers.plural(gauging.no_go_turns, "turn")
    wires = [] if over is None else [Line("Over three wires", between(over, u), _wires(setup, u))]
    if not inside:
        return [
            *wires,
            Line("GO", "ring or sound nut", "runs on by hand, all the way: not too large"),
            Line("NO-GO", "ring", f"takes hold {turns} at most: not too small"),
        ]
    lines = [
        Line("GO", "plug or sound screw", "goes in by hand, all the way: not too small"),
        Line("NO-GO", "plug", f"takes hold {turns} at most: not too large"),
    ]
    if over is not None:
        least, most = over
        error = "; cut on this train: they allow for its lead error" if gauging.target.cost else ""
        lines.append(
            Line("No plug: two screws", f"GO {u.step(least)}, NO-GO {u.step(most)}",
                 f"over three wires; {_wires(setup, u)}{error}")
        )  # fmt: skip
    return lines


def _wires(setup: Setup, u: Units) -> str:
    wires = setup.sizes.wires
    if wires is None:
        return ""
    will_do = f"{u.alone(wires.smallest_mm)} to {u.alone(wires.largest_mm)} will do"
    near = "" if wires.exact else "; steep thread, so only near"
    return f"best wire {u.length(wires.best_mm, 3)}; {will_do}{near}"


def _nominal_lines(setup: Setup) -> list[Line]:
    """Where there are no limits of size."""
    sizes, u = setup.sizes, units(setup)
    wooden = setup.want.use is Use.WOOD
    if wooden and sizes.inside and setup.wood is not None and setup.wood.nut is not None:
        across = u.length(setup.wood.nut.across, 1)
        return [Line("Thread to", across, "across the roots, clearance with it")]
    lines = [
        Line(label, u.length(value), "nominal")
        for label, value in (
            ("Major diameter", sizes.major),
            ("Pitch diameter", sizes.pitch_diameter),
            ("Minor diameter", sizes.minor),
            ("Nut bore", None if sizes.inside or wooden else sizes.nut_bore),
        )
        if value is not None
    ]
    if sizes.major is None:
        return [*lines, Line("Diameter", "not given", "give --diameter for sizes and angles")]
    if wooden:
        return lines
    if sizes.wires is not None and not sizes.inside:
        over = u.length(sizes.wires.over_best_mm, 3)
        lines.append(Line("Over three wires", over, f"nominal; {_wires(setup, u)}"))
    return [*lines, Line("Limits of size", "none at hand", setup.shaping.no_limits)]


def _taper_lines(setup: Setup, found: Tapering) -> list[Line]:
    u, plane = units(setup), found.plane
    degrees = f"{_minutes(found.half_angle)} a side"
    over = "" if found.inside else (
        f"; or the tailstock set over 1/{2 * round(1 / setup.sizes.taper)} of the work, which "
        f"alone makes the lead {numbers.percent(-found.slope_lead)} short"
    )  # fmt: skip
    taper = round(1 / setup.sizes.taper)
    lines = [Line("Taper", f"1:{taper}, {degrees}", f"by the taper attachment{over}")]
    if plane is None:
        return [*lines, *_nominal_lines(setup)]
    turns = numbers.plural(1, "turn") if plane.turns == 1 else f"{plane.turns:g} turns"
    gauge = "plug" if found.inside else "ring"
    where = "the face" if found.inside else f"{u.length(plane.from_end, 2)} from the end"
    flush = f"there a {gauge} gauge of this size is flush with the "
    flush += "face" if found.inside else "end"
    lines += [
        Line("Gauge plane", where, f"{flush}, {turns} either way"),
        Line("Pitch diameter", u.step(plane.pitch_diameter), "in the gauge plane"),
    ]
    if not found.inside:
        lines.append(Line("Effective thread", u.length(plane.useful, 1), "full to the root"))
    if found.over_wires is not None and found.wire is not None:
        first, last = found.first or 0.0, found.last or 0.0
        lines.append(
            Line("Over three wires", u.step(found.over_wires),
                 f"wire {u.alone(found.wire, 3)}, the single one in the gauge plane, 1/{taper} of "
                 f"the way less nearer the end; full grooves {u.alone(first, 1)} to "
                 f"{u.alone(last, 1)} from it")
        )  # fmt: skip
    return lines + _lead_lines(setup, found)


def _lead_lines(setup: Setup, found: Tapering) -> list[Line]:
    """The standard's own tolerance of the lead, and whether this train keeps it."""
    error = setup.shaping.error
    if found.lead_tolerance is None or error is None:
        return []
    kept = "kept" if abs(error) <= found.lead_tolerance else "NOT KEPT"
    allowed = f"±{numbers.percent(found.lead_tolerance)}"
    return [Line("Lead by ASME B1.20.1", f"{allowed}, {kept}", "0.003 in an inch")]


def between(limits: Open, u: Units) -> str:
    """Limits in the lathe's unit with the other behind: each rounded to its safe side."""
    metric, imperial = _span(limits, 1.0, 3, "mm"), _span(limits, 25.4, 4, "in")
    word = "at most " if limits[0] is None else "at least " if limits[1] is None else ""
    return f"{word}{imperial} ({metric})" if u.inch else f"{word}{metric} ({imperial})"


def _span(limits: Open, unit: float, places: int, name: str) -> str:
    least, most = limits
    step = 10**places
    # What is a whole number of steps but for the last bits of a float stays that number.
    up = None if least is None else math.ceil(round(least / unit * step, 3)) / step
    down = None if most is None else math.floor(round(most / unit * step, 3)) / step
    space = numbers.NARROW_SPACE
    if up is None or down is None:
        return f"{up if down is None else down:.{places}f}{space}{name}"
    return f"{up:.{places}f} to {down:.{places}f}{space}{name}"


def _tip_note(setup: Setup, made: Cut, u: Units) -> str:
    """How much deeper with this tip than with the form's own, or what another would need."""
    if setup.want.use is Use.WOOD:
        return ""
    thin = _thin(setup, made, u)
    if not made.assumed:
        way = "deeper" if made.deeper >= 0 else "less deep"
        own = tip_words(made.own, u)
        return f"{u.alone(abs(made.deeper), 3)} {way} than with the form's {own}{thin}"
    flanks = setup.sizes.flanks
    if flanks is None or made.blunt is None:
        return ""
    by_radius, by_flat = flanks.seat - 1, 1 / 2 / flanks.slope
    sharp = made.own.radius * by_radius + made.own.flat * by_flat
    radius, flat = made.blunt
    return (
        f"the form's; sharp {u.alone(sharp)} deeper, others that less {by_radius:.2f} × radius or "
        f"{by_flat:.2f} × flat, to {u.alone(radius.radius)} and {u.alone(flat.flat)} at most{thin}"
    )


def _thin(setup: Setup, made: Cut, u: Units) -> str:
    """Where the root comes out under the class's least minor diameter."""
    gauging = setup.shaping.gauging
    least = gauging.target.limits.minor[0] if gauging and not made.inside else None
    if least is None or made.blank is None:
        return ""
    root = made.blank - 2 * made.depth
    if root >= least - 0.001:
        return ""
    return f"; root {u.alone(root)}, under the class's least: not to be loaded hard"


def _minutes(degrees: float) -> str:
    """An angle in degrees, minutes and seconds."""
    seconds = round(degrees * 3600)
    return f"{seconds // 3600}° {seconds // 60 % 60}′ {seconds % 60}″"
