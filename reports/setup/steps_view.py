"""What to do at the lathe, step by step. Shop practice, no source."""

from __future__ import annotations

from gearchest.optimizer.turning.cutter import Kind
from gearchest.optimizer.turning.half_nuts import HalfNuts, How
from gearchest.optimizer.turning.mounting import PAPER
from gearchest.optimizer.turning.setup import Setup
from gearchest.optimizer.turning.work import scratch
from gearchest.optimizer.turning.working import TurnedBy
from gearchest.reports.setup.view import units
from gearchest.reports.words import numbers

ROOM_ASKED = 5.0
"""mm past the start of a pass from which one looks whether there is room."""

BACKLASH = (
    f"A strip of writing paper ({PAPER}) between the teeth of each mesh: push the gears "
    "together, tighten, wind the paper out. It comes out creased, not cut. Screw side first, "
    "the swing of the arm last."
)


def at_the_lathe(setup: Setup) -> list[str]:
    """From the blank to the trial of the thread; empty where no thread is cut."""
    if setup.infeed is None:
        return []
    tool = _cutter(setup) if setup.working.cutter else _single_point(setup)
    return [_blank(setup), tool, _scratch(setup), _passes(setup), _trial(setup)]


def carriage_back(setup: Setup) -> str:
    """How to bring the carriage back for the next pass."""
    nuts, way = setup.half_nuts, setup.working.turned
    if nuts is None or setup.tapped:
        return ""
    tool = "Cutter" if setup.working.cutter else "Tool"
    if way is TurnedBy.SCREW:
        return f"{tool} out, then wind the screw back past the start with everything engaged."
    if nuts.how is How.CLOSED:
        if way is TurnedBy.HAND:
            return f"{tool} out, then turn the spindle back past the start, everything engaged."
        return (
            "Tool out, spindle at rest, then reverse the motor with everything engaged, past the "
            "start. Never by the tumbler or the feed lever: they lose the groove."
        )
    out = f"{tool} out, half-nuts open, carriage back by its handwheel"
    if nuts.how is How.ANYWHERE:
        return f"{out}, close anywhere; the spindle may turn."
    if nuts.how is How.DIAL:
        return f"{out}, close as a line given here comes up and at no other; the spindle may turn."
    return _standing(setup, nuts)


def _standing(setup: Setup, nuts: HalfNuts) -> str:
    """Opened, wound back and closed before anything turns."""
    u = units(setup)
    if nuts.back_mm is None:
        far = f"back a whole number of steps of {u.step(nuts.step_mm)}"
    else:
        steps = numbers.plural(nuts.back or 0, "step")
        far = f"back exactly {u.step(nuts.back_mm)}, {steps}, from where it stood"
        if nuts.past_mm > ROOM_ASKED:
            far += f" ({u.alone(nuts.past_mm, 1)} past the start: see that there is room)"
    tool = "cutter" if setup.working.cutter else "tool"
    then = "switch on" if setup.working.powered else "turn it"
    return (
        f"Spindle at rest until the half-nuts are closed again: {tool} out, half-nuts open, "
        f"carriage {far}, by a rule or a dial indicator on the bed, close. Only then {then}. "
        f"Closed with the spindle turning, one time in {nuts.pitches} would be right."
    )


def next_start(setup: Setup) -> str:
    """How to pass to the next start of a multi-start thread."""
    starts, u = setup.starts, units(setup)
    if starts is None:
        return ""
    tool = "cutter" if setup.working.cutter else "tool"
    if starts.teeth is None:
        return (
            f"Next start, once one is at depth: top slide set along the work, {tool} on by one "
            f"pitch, {u.step(starts.pitch)}, slack taken up the same way; fed straight in by the "
            f"cross-slide. ({starts.first_driver} teeth of the first driver do not divide by "
            f"{starts.starts}.)"
        )
    return (
        "Next start, once one is at depth: half-nuts closed, mark the first driver's mesh, part "
        f"it, turn the spindle until the driver has moved on {starts.teeth} of its "
        f"{starts.first_driver} teeth, mesh again; the screw must not turn."
    )


def picking_up(setup: Setup) -> list[str]:
    """Finding the groove again; nothing where the work is not on the lathe."""
    if setup.tapped:
        return []
    driver = "screw" if setup.working.screw_drives else "spindle"
    tool = "cutter at rest" if setup.working.cutter else "tool"
    return [
        f"Half-nuts closed, {tool} clear of the work: turn the {driver} forward until screw, gears "
        "and nuts have taken up their slack.",
        f"All at rest, bring the {tool.split()[0]} into the groove with top slide and cross-slide.",
        "Half a turn on forward: it still fills the groove. Set both dials to zero.",
    ]


def set_back(setup: Setup) -> list[str]:
    """Back to ordinary turning."""
    infeed, starts = setup.infeed, setup.starts
    along = starts is not None and starts.teeth is None
    if setup.working.cutter:
        tool = "Cutter off the slide, toolpost back, dials re-zeroed."
    elif along or setup.bed.by_slide or (infeed is not None and infeed.slide_angle is not None):
        tool = "Top slide back to its usual angle, dials re-zeroed."
    else:
        tool = "Dials re-zeroed."
    if setup.crank is None:
        last = "Cover closed, belt or plug back in."
    else:
        last = "Crank off, cover closed, then belt or plug back in."
    return [
        "Half-nuts open, reversing lever to neutral, feed train back; paper between the teeth.",
        tool,
        f"Spindle turned once by hand. {last}",
    ]


def _blank(setup: Setup) -> str:
    made, u = setup.shaping.cut, units(setup)
    places = 1 if setup.working.wooden else 2
    size = "" if made is None or made.blank is None else f" to {u.alone(made.blank, places)}"
    if setup.sizes.taper:
        cone = "Bore the cone" if setup.sizes.inside else "Turn the cone"
        end = "the face" if setup.sizes.inside else "its small end"
        return f"{cone}{size} at {end}, chamfer the end."
    if setup.sizes.inside:
        groove = "" if setup.working.cutter else "; at a blind end the groove"
        return f"Bore{size}, chamfer both ends of the hole past the roots{groove}."
    if setup.working.wooden:
        return f"Turn the blank{size}, straight and held by the tailstock, ends chamfered."
    groove = "" if setup.working.cutter else ", then the run-out"
    return f"Turn the blank{size}, chamfer both ends to below the root{groove}."


def _single_point(setup: Setup) -> str:
    flanks = setup.sizes.flanks
    if flanks is None or not flanks.slope:
        against = "the face or a bar" if setup.sizes.inside else "the work"
        return f"Tool at centre height, set square by a small square against {against}."
    if setup.sizes.taper:
        return (
            "Tool at centre height, set square by a thread gauge laid against something parallel, "
            "the tailstock's barrel or a bar, not against the cone."
        )
    if setup.sizes.inside:
        return "Tool at centre height, set square by a thread gauge against the face or a bar."
    return "Tool at centre height, set square by a thread gauge laid against the work."


def _cutter(setup: Setup) -> str:
    held = setup.milling
    if held is not None and held.cutter.kind is Kind.BIT:
        return "Bit as told here; its point dead on centre height, or one flank comes out deeper."
    return "Cutter as told here; its edge on centre height where it meets the work."


def _scratch(setup: Setup) -> str:
    count, long = scratch(setup.lead, setup.length, inch=setup.want.pitch.inch)
    u = units(setup)
    measured = u.length(long, 1)
    if setup.sizes.inside:
        turns = numbers.plural(count, "turn")
        return (
            f"Half-nuts closed, turn the work {turns} by hand: the carriage goes {measured} by a "
            "rule. If not, the gears are wrong."
        )
    one, many = "thread", "threads"
    if setup.sizes.starts > 1:
        one, many = "groove of one start", "grooves of one start"
    measure = "measures" if count == 1 else "measure"
    return (
        f"First pass a scratch: {numbers.plural(count, one, many)} {measure} {measured} against a "
        "rule. If not, the gears are wrong."
    )


def _passes(setup: Setup) -> str:
    fluid = setup.wishes.material.fluid if setup.wishes.material else ""
    if setup.working.cutter:
        crank = setup.feed
        pace = "" if crank is None else f", {numbers.significant(crank.crank, 2)} turns a minute"
        return (
            f"Pass by pass as listed: cutter running before it meets the work, cranked "
            f"steadily{pace}; slack taken up before each."
        )
    wet = {"": "", "dry": ", dry"}.get(fluid, f", with {fluid}")
    return f"Pass by pass as listed{wet}; each starts far enough out for the slack to be taken up."


def _trial(setup: Setup) -> str:
    if setup.working.wooden:
        mate = "the finished screw" if setup.sizes.inside else "its nut, or one of the same train"
        if setup.want.mating:
            mate = "the screw it is for" if setup.sizes.inside else "the nut it is for"
    else:
        wires = "" if setup.sizes.wires is None and setup.sizes.major is not None else "wires, "
        mate = "gauge or a sound screw" if setup.sizes.inside else f"{wires}gauge or a sound nut"
        if setup.sizes.taper:
            mate = "gauge or a sound fitting"
        elif setup.sizes.major is not None and setup.sizes.found.nut_bore_mm is None:
            mate = f"{wires.replace(',', ' or')}what runs in it"
    tool = "cutter stopped and out" if setup.working.cutter else "tool out"
    if setup.sizes.inside:
        return (
            f"Near depth take the burrs off the crests, brush out, try {mate}: {tool} of the bore "
            "as between passes, no other way; back to its reading from nearer the middle. The work "
            "stays clamped."
        )
    return (
        f"Near depth take the burrs off the crests, brush out, try {mate}: all at rest, half-nuts "
        f"as they are, {tool} by the cross-slide alone; back to its reading from further out. "
        "The work stays clamped."
    )
