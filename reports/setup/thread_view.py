"""The thread's side of a setup, line by line: sizes, tool, work, infeed, wood."""

from __future__ import annotations

from gearchest.optimizer.domain.want import Use
from gearchest.optimizer.threads.flanks import Flanks
from gearchest.optimizer.turning.setup import Setup
from gearchest.optimizer.turning.wood import Rounding
from gearchest.optimizer.turning.work import TOOL_CLEARANCE, slide_side
from gearchest.reports.setup.view import Units, pitch_words, units
from gearchest.reports.words import numbers
from gearchest.reports.words.line import Line


def thread_lines(setup: Setup) -> list[Line]:
    """What thread it is."""
    sizes, u = setup.sizes, units(setup)
    own, other = pitch_words(setup.want.pitch)
    several = sizes.starts > 1
    if setup.want.use is Use.FEED:
        return [Line("Feed a turn", own, other)]
    lines = [Line("Form", sizes.form, sizes.assumed)]
    if several:
        lines.append(Line("Starts", str(sizes.starts), f"pitch {u.length(sizes.pitch_mm, 3)}"))
    lines.append(Line("Lead" if several else "Pitch", own, other))
    if sizes.flanks is not None:
        lines.append(_flanks(sizes.flanks))
    return [*lines, *_travel(setup)]


def _travel(setup: Setup) -> list[Line]:
    """How far a feed screw is off over a length, and which part of that is the leadscrew's."""
    travel, answer = setup.want.allowance.travel, setup.answer
    if travel is None or answer is None:
        return []
    train, screw = abs(float(answer.error)), setup.lathe.screw_error
    over = units(setup).over_travel
    grade = f"grade {travel.grade}" if travel.grade else "what was asked"
    allowed = f"{grade} allows {over(travel.whole)}"
    if screw is None:
        note = f"by the train alone, the leadscrew's own error on top; {allowed}"
        off = over(train, length=True) if train else "nothing"
        return [Line("Lead off", off, note)]
    note = f"at most: train {over(train)}, leadscrew {over(screw)}; {allowed}"
    return [Line("Lead off", over(train + float(screw), length=True), note)]


def _flanks(flanks: Flanks) -> Line:
    """The angle between them; of a buttress thread each, with what the uneven ones are for."""
    if not flanks.included:
        return Line("Flanks", "square to the axis")
    if flanks.alike:
        return Line("Included angle", numbers.degrees(flanks.included))
    load, other = (numbers.degrees(angle) for angle in (flanks.load, flanks.other))
    return Line(
        "Flanks", f"{load} and {other}", f"from square to the axis; the load bears on {load}"
    )


def tool_lines(setup: Setup) -> list[Line]:
    """Lead angle and the clearance to grind."""
    sizes, clearance = setup.sizes, setup.clearance
    if clearance is None or sizes.lead_angle is None:
        return []
    side = ("tailstock", "headstock") if sizes.left else ("headstock", "tailstock")
    return [
        Line("Lead angle", numbers.degrees(sizes.lead_angle, 2), "at the pitch diameter"),
        Line("Side clearance", numbers.degrees(clearance.leading),
             f"{side[0]} flank, leading; so ground, {numbers.degrees(TOOL_CLEARANCE, 0)} clear the "
             "groove"),
        _trailing(clearance.trailing, side[1]),
    ]  # fmt: skip


def _trailing(ground: float, side: str) -> Line:
    """The flank behind; a lead steeper than its clearance clears it upright."""
    flank = f"{side} flank, trailing"
    if ground >= 0:
        return Line("", numbers.degrees(ground), flank)
    clear = numbers.degrees(TOOL_CLEARANCE - ground)
    return Line(
        "", f"{numbers.degrees(0, 0)}, upright", f"{flank}: the steep lead keeps it {clear} clear"
    )


def work_lines(setup: Setup) -> list[Line]:
    """Length against the bed, run-out."""
    bed, u = setup.bed, units(setup)
    fits = {True: "yes", False: "no", None: "not checked"}[bed.fits]
    lines = []
    made, root = ("bored", "major") if setup.sizes.inside else ("turned", "minor")
    if setup.length is not None:
        lines.append(Line("Length", u.length(setup.length, 1)))
    if not setup.tapped:
        lines.append(Line("In one setting", fits, u.told(bed.why)))
    if bed.longest is not None and not bed.fits:
        lines += _settings(setup)
    if setup.sizes.taper and not setup.sizes.inside:
        end = (
            "dies out where the cone leaves the pipe's surface, no groove; at a shoulder draw the "
            "tool back"
        )
        return [*lines, Line("Run-out", u.length(setup.run_out, 1), end)]
    cut = f"{made} to the {root} diameter at the end"
    if setup.want.use is Use.FEED:
        cut = "room to stop in; no groove"
    elif setup.working.cutter:
        cut = "the cutter is drawn out there: no groove needed"
    if not setup.tapped:
        lines.append(Line("Run-out", u.length(setup.run_out, 1), cut))
    return lines


def _settings(setup: Setup) -> list[Line]:
    """How the rest of a thread longer than the travel is reached."""
    bed, u = setup.bed, units(setup)
    if bed.shift is None:
        longest = f"{u.length(bed.longest or 0.0, 1)} at most"
        return [Line("The rest", "out of reach", f"one lead is more than the travel; {longest}")]
    leads = numbers.plural(bed.shift_leads or 0, "lead")
    how = (
        f"by the top slide set along the work, fed straight in, {u.alone(bed.slide, 0)} of travel"
        if bed.by_slide
        else "on its post, too far for the top slide; then pick the groove up"
    )
    tool = "cutter" if setup.working.cutter else "tool"
    return [
        Line(f"Move the {tool}", u.step(bed.shift),
             f"along, {leads} of this train, {how}; {bed.settings} settings"),
    ]  # fmt: skip


def infeed_lines(setup: Setup) -> list[Line]:
    """How the depth is reached."""
    feed = setup.infeed
    if feed is None:
        return []
    if feed.rotating:
        return [Line("Powered cutter", numbers.plural(len(feed.depths), "pass", "passes"),
                     "straight in; last one light")]  # fmt: skip
    count = len(feed.depths) - feed.spring
    lines = [Line("Passes", f"{count} + {feed.spring} spring", "equal chip area each")]
    if feed.slide_angle is None:
        return [*lines, Line("Fed", "straight in", "by the cross-slide")]
    sizes = setup.sizes
    side = slide_side(left=sizes.left, inside=sizes.inside).value
    scale = numbers.degrees(90 - feed.slide_angle)
    outwards = "; fed by drawing it out" if sizes.inside else ""
    lines.append(
        Line("Top slide", numbers.degrees(feed.slide_angle),
             f"from square to the work, handle towards the {side} ({scale} on a scale that reads 0 "
             f"along the work){outwards}")
    )  # fmt: skip
    return lines


def passes(setup: Setup) -> list[tuple[str, str]]:
    """Pass by pass: depth straight in and reading along the flank ("" without one)."""
    feed, u = setup.infeed, units(setup)
    if feed is None:
        return []
    slides = [u.dial(r) for r in feed.slide_readings] or [""] * len(feed.depths)
    return list(zip([u.dial(d) for d in feed.depths], slides, strict=True))


def wood_lines(setup: Setup) -> list[Line]:
    """Stock, corners, nut."""
    wood, u = setup.wood, units(setup)
    if wood is None:
        return []
    lines = [] if wood.stock_side is None else _stock_lines(wood.stock_side, wood.roundings, u)
    nut = wood.nut
    if nut is None:
        return lines
    if setup.sizes.inside:
        block = f"{u.length(nut.block, 0)} wide, {u.alone(nut.thick, 0)} thick"
        lines = [Line("Block", block, "at least; the hole square to the grain")]
    else:
        lines.append(
            Line(
                "Its nut",
                f"bored to {u.alone(nut.bore, 1)}",
                f"threaded {u.alone(nut.across, 1)} across",
            )
        )
    note = "on the diameter, let into the nut: oil and damp swell the screw; measure it first"
    return [*lines, Line("Clearance", u.length(nut.clearance, 1), note)]


def _stock_lines(side: float, roundings: tuple[Rounding, ...], u: Units) -> list[Line]:
    lines = [Line("Square stock", u.length(side, 0), "straight-grained, dry, no pith")]
    for how in roundings:
        start = side * how.from_corner
        angles = (
            f"{numbers.plural(how.cuts, 'cut')} at 45°"
            if how.sides == 8
            else f"{how.cuts} cuts, two a corner, at 30° to the face, 60° to the next, "
            f"flat {u.length(side * how.flat, 1)}"
        )
        waste = numbers.percent(how.waste, 2)
        lines.append(
            Line(f"To {how.sides} sides", f"{u.length(start, 1)} from the corner",
                 f"{angles}; {waste} left to turn off")
        )  # fmt: skip
    return lines
