"""How much lead error a thread can bear.

A lead error adds up over the engaged length and uses up diameter: for flanks a and b degrees
from square to the axis, an accumulated error e costs 2 e/(tan a + tan b) of pitch diameter. A
share of the pitch-diameter tolerance may go that way:

    allowed relative error = share x T x (tan a + tan b)/2 / engaged length

So the allowance belongs to the thread, not to the lathe.
"""

from __future__ import annotations

import math
from decimal import ROUND_DOWN, Context, Decimal
from fractions import Fraction

from gearchest.optimizer.domain.lathe import Policy
from gearchest.optimizer.domain.pitch import Pitch, format_fraction
from gearchest.optimizer.domain.thread import Thread
from gearchest.optimizer.domain.want import Allowance, Travel, Use
from gearchest.optimizer.threads.flanks import vee
from gearchest.optimizer.threads.forms import FORMS
from gearchest.optimizer.threads.tolerances import RULES, Rule, rule_of
from gearchest.optimizer.threads.wooden import nut_clearance, nut_thickness, wooden_angle

MATCHED_WOOD = Fraction(1, 100)
"""Screw and nut cut with the same train match each other; common practice, no source."""

FINE_FEED = Fraction(20, 100)
"""A feed is judged by the finish it leaves; common practice, no source."""

TRAVEL_GRADES: dict[str, Fraction] = {
    grade: Fraction(um, 300_000)
    for grade, um in {"T1": 6, "T3": 12, "T5": 23, "T7": 52, "T10": 210}.items()
}
"""Travel variation per 300 mm by ISO 3408-3 (T1 and T10 from memory), as a relative error."""

SHOP_TRAVEL_GRADE = "T10"
"""What a feed screw cut on a shop lathe is held to unless a want says otherwise."""

_USUAL = Policy()
_QUANTUM = 10**9
_USUAL_FLANKS = vee(60)
"""Taken where only pitch and diameter are known."""


def default_use(
    pitch: Pitch,
    thread: Thread | None,
    diameter_mm: Fraction | None,
    travel_grade: str | None = None,
) -> Use:
    """What a thread is taken to be for where nobody says: travel where a travel grade is given;
    its series' use; a worm where pi is in the pitch; a fastener where there is a diameter; else
    a plain pitch."""
    if travel_grade is not None:
        return Use.TRAVEL
    if thread is not None and thread.use:
        return Use(thread.use)
    if pitch.pi:
        return Use.WORM
    return Use.PLAIN if _diameter(thread, diameter_mm) is None else Use.FASTENER


def allowance(
    pitch: Pitch,
    *,
    thread: Thread | None = None,
    use: Use | None = None,
    diameter_mm: Fraction | None = None,
    engaged_mm: Fraction | None = None,
    tolerance: Fraction | None = None,
    policy: Policy = _USUAL,
    mating: bool = False,
    travel_grade: str | None = None,
    screw_error: Fraction | None = None,
) -> Allowance:
    """The largest relative lead error a thread can bear, and why.

    `diameter_mm` overrides the thread's own, `engaged_mm` > 0 the length its standard takes,
    `tolerance` >= 0 every rule. Of the `policy` count
    the share of a tolerance that the lead error may use, in (0, 1], and the tolerance of a plain
    pitch, >= 0. `mating`: the part must fit one that exists, so a wooden thread may use up the
    play of its nut. `travel_grade` is one of TRAVEL_GRADES, None: what a shop lathe is held to;
    of a feed screw the leadscrew's own `screw_error` takes its part, None: not known. What
    follows from a rule is rounded down to 1e-9.
    """
    if (use or default_use(pitch, thread, diameter_mm, travel_grade)) is Use.TRAVEL:
        return _travel(tolerance, travel_grade or SHOP_TRAVEL_GRADE, screw_error)
    if tolerance is not None:
        return Allowance(tolerance, f"as asked: {_asked(tolerance)}")
    diameter = _diameter(thread, diameter_mm)
    usual = default_use(pitch, thread, diameter_mm, travel_grade)
    plain = policy.plain_pitch_tolerance
    match use or usual:
        case Use.FEED:
            return _fixed(FINE_FEED, "a fine feed (common practice)")
        case Use.WOOD if not mating:
            return _fixed(
                MATCHED_WOOD,
                "a wooden screw and nut cut with the same train match each other (common practice)",
            )
        case Use.WOOD if diameter is not None:
            return _by_play(pitch, thread, diameter, engaged_mm, policy)
        case Use.FASTENER if diameter is not None:
            return _by_tolerance(pitch, thread, diameter, engaged_mm, policy)
        case Use.WOOD | Use.FASTENER:
            return _unruled(plain, "no diameter is known")
        case Use.WORM:
            return _unruled(plain, "worms have no rule here")
        case Use.PLAIN if usual is not Use.PLAIN:
            return _fixed(plain, "a plain pitch was asked for")
        case _:
            return _unruled(plain, "only the pitch is known")


def _travel(asked: Fraction | None, grade: str, screw_error: Fraction | None) -> Allowance:
    """A feed screw's: the error of the train and of the leadscrew that is copied, added up, as
    nobody says that one mends the other."""
    if asked is None:
        whole = _floor(TRAVEL_GRADES[grade])
        per_300 = float(TRAVEL_GRADES[grade]) * 300_000
        named = f"grade {grade}"
        why = f"{per_300:.0f} µm over 300 mm of travel, grade {grade} of ISO 3408-3"
        why = f"{why}: {_percent(whole)}"
    else:
        whole, grade, named = asked, "", f"{_asked(asked)} asked for"
        why = f"as asked: {_asked(asked)}"
    travel = Travel(whole, grade)
    left = travel.left(screw_error)
    if screw_error is None:
        judged = "of the train alone: the leadscrew's own error is not known"
        return Allowance(whole, f"{why}; {judged}", True, travel, f"{named}, {judged}")
    judged = "train and leadscrew together"
    part = "nothing is left to the train" if left < 0 else f"the train {_asked(left)}"
    why = f"{why}; {judged}: the leadscrew may be off {_asked(screw_error)}, {part}"
    return Allowance(left, why, True, travel, f"{named}, {judged}")


def _by_play(
    pitch: Pitch,
    thread: Thread | None,
    diameter_mm: Fraction,
    engaged_mm: Fraction | None,
    policy: Policy,
) -> Allowance:
    """By the play a wooden nut has on its screw; no more than is taken where both are cut with
    one train."""
    named = FORMS[thread.form].flanks if thread and thread.form else vee(wooden_angle(pitch))
    if named is None or not named.slope:
        return _unruled(policy.plain_pitch_tolerance, "this form has no sloping flanks")
    d = float(diameter_mm)
    engaged = nut_thickness(d) if engaged_mm is None else float(engaged_mm)
    used = float(policy.lead_error_share) * nut_clearance(d)
    relative = Fraction(str(round(used * named.slope / engaged, 12)))  # tan 45 is 1, not just below
    over = f"{_part(policy.lead_error_share)} the {nut_clearance(d):.2g} mm"
    why = (
        f"{over} a wooden nut is let out by (common practice), flanks {named.included:.3g}°, "
        f"over {_short(engaged)} mm of thread"
    )
    if relative > MATCHED_WOOD:
        return _fixed(MATCHED_WOOD, f"{why}, and no more than with one train (common practice)")
    return _fixed(relative, why)


def _by_tolerance(
    pitch: Pitch,
    thread: Thread | None,
    diameter_mm: Fraction,
    engaged_mm: Fraction | None,
    policy: Policy,
) -> Allowance:
    """By the tolerance of the thread's standard; without one, as ISO (mm) or UNS (inch)."""
    flanks = FORMS[thread.form].flanks if thread and thread.form else _USUAL_FLANKS
    if flanks is None:
        return _unruled(policy.plain_pitch_tolerance, "this thread form has no straight flanks")
    if not flanks.slope:
        return _unruled(policy.plain_pitch_tolerance, "square threads have no rule here")
    rule = rule_of(thread.standard if thread else "", inch=pitch.inch)
    share = policy.lead_error_share
    d, p = float(diameter_mm), pitch.mm
    accumulated = float(share) * rule.tolerance_mm(d, p) * flanks.slope
    engaged = rule.engaged_mm(d, p) if engaged_mm is None else float(engaged_mm)
    relative = Fraction(math.floor(accumulated / engaged * _QUANTUM), _QUANTUM)
    who = thread.name if thread else f"{pitch} on {format_fraction(diameter_mm)} mm"
    own = thread is None or thread.standard in RULES or not thread.series
    return Allowance(relative, _why(who, accumulated, engaged, share, rule, relative, own=own))


def _why(
    who: str, accumulated: float, engaged: float, share: Fraction, rule: Rule, relative: Fraction,
    *, own: bool,
) -> str:  # fmt: skip
    """`own`: the rule is that of the thread's standard."""
    whose = (
        f"its pitch-diameter tolerance ({rule.name})"
        if own
        else f"what {rule.name} would give its size, as no tolerance of its own is at hand"
    )
    return (
        f"{who}: {_short(accumulated * 1000)} µm over {_short(engaged)} mm of thread, "
        f"{_part(share)} {whose}: {_percent(relative)}"
    )


def _part(share: Fraction) -> str:
    return {Fraction(1, 2): "half of", Fraction(1): "all of"}.get(share, f"{_percent(share)} of")


def _fixed(relative: Fraction, why: str) -> Allowance:
    """A rule that gives the error outright."""
    rounded = _floor(relative)
    return Allowance(rounded, f"{why}: {_percent(relative)}")


def _unruled(plain: Fraction, why: str) -> Allowance:
    rounded = _floor(plain)
    text = f"{why}, so the tolerance of a plain pitch: {_percent(plain)}"
    return Allowance(rounded, text, ruled=False)


def _diameter(thread: Thread | None, diameter_mm: Fraction | None) -> Fraction | None:
    return diameter_mm if diameter_mm is not None or thread is None else thread.major_mm


def _floor(relative: Fraction) -> Fraction:
    return Fraction(math.floor(relative * _QUANTUM), _QUANTUM)


def _asked(value: Fraction) -> str:
    """A figure as somebody gave it, or what is left of it."""
    return f"{float(100 * value):.4g} %"


def _percent(value: Fraction) -> str:
    """Two digits, rounded down like the allowance itself."""
    digits = Context(prec=2, rounding=ROUND_DOWN)
    return f"{digits.divide(Decimal(value.numerator * 100), value.denominator):f} %"


def _short(value: float) -> str:
    return f"{value:.0f}" if value >= 10 else f"{value:.1f}"
