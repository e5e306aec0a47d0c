"""What a powered cutter or a crank needs, line by line."""

from __future__ import annotations

import math

from gearchest.optimizer.domain.lathe import Drive
from gearchest.optimizer.turning.cranking import STRETCH
from gearchest.optimizer.turning.cutter import Kind
from gearchest.optimizer.turning.milling import Hindrance, Milling
from gearchest.optimizer.turning.setup import Setup
from gearchest.reports.setup.view import newton_metres, units
from gearchest.reports.words import numbers
from gearchest.reports.words.line import Line


def cutter_lines(setup: Setup) -> list[Line]:
    """Which cutter, how it is held and how fast it is fed; how to make a tap where none passes."""
    held = setup.milling
    if held is None:
        return []
    if setup.tapped:
        return _tap_lines(setup)
    lines = [_cutter(setup, held), *_held(setup, held)]
    u = units(setup)
    if held.path is not None:
        lines.append(
            Line("Tip's path", u.length(held.path, 0), "along the groove, a turn of the work")
        )
    fed = setup.feed
    if fed is not None:
        count = numbers.plural(held.cutter.teeth, "tooth", "teeth")
        speed = numbers.figure(held.cutter.rpm, 0)
        slow = "" if fed.slower is None else (
            f"; that rubs: slow the cutter to {numbers.figure(fed.slower, 0)} or less"
        )  # fmt: skip
        lines += [
            Line("Feed per tooth", u.length(fed.tooth, 3),
                 f"{count} at {speed} turns a minute{slow}"),
            Line("Surface feed", u.feed(fed.surface),
                 f"{numbers.significant(fed.crank, 2)} turns of the crank a minute"),
        ]  # fmt: skip
    return lines


def crank_lines(setup: Setup) -> list[Line]:
    """The crank, and how often it is turned."""
    crank, u, policy = setup.crank, units(setup), setup.lathe.policy
    if crank is None:
        return []
    where = "at the screw's end" if crank.end is Drive.SCREW else "at the spindle"
    lines = [
        Line("Crank torque", newton_metres(crank.torque),
             f"{where}: screw {newton_metres(policy.screw_torque)}, "
             f"cutting {newton_metres(policy.cutting_torque)}"),
        Line("Crank length", u.length(crank.length, 0),
             f"at least, for {crank.hand_force:g} N of hand force"),
    ]  # fmt: skip
    if crank.end is Drive.SCREW:
        lines.append(_wound(setup))
    if not crank.passes:
        return lines
    over = f"for {u.alone(STRETCH, 0)} of thread" if crank.run is None else ""
    if crank.run is not None:
        over = f"for {u.alone(crank.run, 0)}, run-in and run-out with it"
    passes = numbers.plural(crank.passes, "pass", "passes")
    back = "and cranked back" if crank.back else "carriage back by its handwheel"
    if setup.feed is not None:
        minutes = crank.a_pass * crank.passes / setup.feed.crank
        back += f"; cutting {numbers.duration(minutes)}"
    return [
        *lines,
        Line("Turns a pass", f"{crank.a_pass:.1f}", over),
        Line("Turns for the job", numbers.figure(crank.job, 0), f"{passes}, {back}"),
    ]


def _wound(setup: Setup) -> Line:
    """Which way the crank goes while the thread is cut."""
    turn, end = (
        ("clockwise", "tailstock") if setup.want.left else ("counter-clockwise", "headstock")
    )
    return Line(
        "Wind it", turn,
        f"facing the screw's tailstock end: a right-hand leadscrew takes the "
        f"carriage towards the {end}; if it goes the other way, wind the other way",
    )  # fmt: skip


def _cutter(setup: Setup, held: Milling) -> Line:
    cutter, u = held.cutter, units(setup)
    angle = setup.sizes.included_angle
    shape = f"V of {numbers.degrees(angle, 0)}" if angle else "of the groove's form"
    wide = "" if held.across is None else f"the groove is {u.alone(held.across, 1)} wide"
    if cutter.kind is Kind.BIT:
        least = "or more" if cutter.assumed else ""
        return Line(
            "Cutter", f"router bit, {shape}, {u.length(cutter.diameter, 0)} {least}".strip(), wide
        )
    taken = "another: --cutter" if cutter.assumed else wide
    return Line("Cutter", f"disc, {shape}, {u.length(cutter.diameter, 0)} across", taken)


def _held(setup: Setup, held: Milling) -> list[Line]:
    """Its axis, and which way it turns."""
    u, cutter = units(setup), held.cutter
    wider = ""
    if held.widened is not None and held.untilted is not None:
        wider = f"groove {u.alone(held.widened)} wider than drawn at the pitch line"
    if cutter.kind is Kind.BIT:
        pull = "against the carriage" if setup.want.left else "the way the carriage goes"
        return [
            Line("Its axis", "square to the work",
                 f"at centre height, no tilt; {wider}".rstrip("; ")),
            Line("Cuts", "a full groove, no climb",
                 f"it pulls towards the headstock, {pull}: a little drag on the carriage lock, "
                 "never locked while the screw moves the carriage"),
        ]  # fmt: skip
    lean = "tailstock" if setup.want.left else "headstock"
    where = ", cutting on your side of the bore" if held.inside else ""
    without = "" if held.untilted is None else (
        f"; {wider}, without tilt {u.alone(held.untilted)}"
    )  # fmt: skip
    along = "by the lead angle" if held.tilt is None else numbers.degrees(held.tilt, 2)
    if held.tilt is None:
        without = "; how much is known once the diameter is: --diameter"
    lines = [
        Line("Its axis", f"tilted {along}",
             f"at centre height{where}, upper edge towards the {lean}{without}"),
        Line("Turns", "against the work" if held.inside else "the same way as the work",
             "so that it cuts against the feed and does not climb"),
    ]  # fmt: skip
    if held.shank is not None and held.reaches is not None:
        lines.append(
            Line("Its shank", f"up to {u.length(held.shank, 1)}",
                 f"thick; out {u.alone(held.reaches, 0)} at most")
        )  # fmt: skip
    return lines


def why_tapped(setup: Setup) -> str:
    """What keeps the cutter out of the bore."""
    held, u = setup.milling, units(setup)
    match None if held is None else held.obstacle(setup.nut):
        case Hindrance.WIDE if held is not None and held.widest is not None:
            return (
                f"a disc of {u.alone(held.cutter.diameter, 0)} does not come out of its groove in "
                "this bore"
            )
        case Hindrance.NO_SHANK if held is not None and held.sunk is not None:
            return (
                f"a disc of {u.alone(held.cutter.diameter, 0)} leaves nothing for a shank that "
                f"clears the crests by {u.alone(held.sunk, 1)} all round"
            )
        case Hindrance.SPRINGS if held is not None and held.shank and held.reaches:
            return (
                f"behind a disc of {u.alone(held.cutter.diameter, 0)} the shank is "
                f"{u.alone(held.shank, 1)} thick at most and springs beyond "
                f"{u.alone(held.reaches, 0)}; this nut is {u.alone(setup.nut, 0)} long"
            )
        case _:
            return "the bore is not known: --diameter"


def instead_of_tap(setup: Setup) -> str:
    """Which disc would work after all."""
    held, u = setup.milling, units(setup)
    able = None if held is None else held.discs(setup.nut)
    if held is None or held.widest is None:
        return "which cutter passes is not known"
    if able is None:
        return f"nor does any disc in this bore reach through {u.alone(setup.nut, 0)}"
    least, widest = (math.ceil(10 * able[0] - 1e-9) / 10, math.floor(10 * able[1] + 1e-9) / 10)
    return f"a disc of {u.alone(least, 1)} to {u.alone(widest, 1)} works: --cutter"


def _tap_lines(setup: Setup) -> list[Line]:
    """A tap instead of a cutter that would not pass or not be stiff."""
    u, wood = units(setup), setup.wood
    lines = [Line("Cutter", "none: tap it", f"{why_tapped(setup)}; {instead_of_tap(setup)}")]
    made = setup.shaping.cut
    if made is None or made.blank is None:
        return lines
    across = made.blank + 2 * made.depth
    let = "" if wood is None else f"the screw's and {u.alone(wood.clearance, 1)} of clearance; "
    return [
        *lines,
        Line("Tap", u.length(across, 1),
             f"across: {let}cut on this train, so that its lead is the screw's; taper the first "
             "turns, file flutes, back them off"),
        Line("Its sheet", f'--diameter "{u.alone(across, 1)}" --form {setup.sizes.form_name}',
             '--material "medium carbon steel", without --inside and --use wood'),
    ]  # fmt: skip
