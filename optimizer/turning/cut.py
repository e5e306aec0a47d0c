"""What to turn or bore before threading, and how deep the tool then goes. Lengths mm."""

from __future__ import annotations

from dataclasses import dataclass

from gearchest.optimizer.threads import tip as tips
from gearchest.optimizer.threads.forms import FORMS, Dimensions
from gearchest.optimizer.threads.limits import Open, Target
from gearchest.optimizer.threads.tip import Tip


@dataclass(frozen=True)
class Cut:
    """`blank` is the diameter to turn outside, to bore inside, None where no diameter is known;
    `depth` the radial depth from its surface at which the thread has `pitch_diameter`, with `tip`.

    `own` is the tip the form was drawn with, `deeper` what `tip` needs beyond it, `assumed` whether
    nobody named a tip. `fits`: the root leaves room for the mate's crest; `blunt` are the largest
    radius and the largest flat that do, None where the form has no sloping flanks.
    """

    inside: bool
    blank: float | None
    pitch_diameter: float | None
    depth: float
    tip: Tip
    own: Tip
    deeper: float
    assumed: bool
    fits: bool
    blunt: tuple[Tip, Tip] | None


def cut(
    form_name: str, found: Dimensions, *, inside: bool, tip: Tip | None, target: Target | None
) -> Cut | None:
    """How to cut a thread of a form; None where the form's depth is not known.

    With a target the pitch diameter is the middle of what is allowed, and the blank goes with it,
    so that the thread has its full form, but keeps a quarter of its own tolerance to each limit.
    Without one both are nominal.
    """
    form, ridge = FORMS[form_name], found.profile
    pitch, flanks = ridge.pitch_mm, ridge.flanks
    nominal_depth = ridge.nut_depth_mm if inside else ridge.depth_mm
    if not nominal_depth:
        return None
    blank = found.nut_bore_mm if inside else found.major_mm
    middle = found.pitch_diameter_mm
    if target is not None:
        crest = target.limits.minor if inside else target.limits.major
        least, most = target.pitch_diameter or target.limits.pitch_diameter
        nominal, middle = middle, (least + most) / 2
        if blank is not None and nominal is not None:
            blank = _between(crest, blank + middle - nominal)
    if flanks is None or not flanks.slope:
        point = tips.SHARP
        return Cut(
            inside, blank, middle, nominal_depth, point, point, 0.0, True, True, None
        )  # fmt: skip
    own = tips.form_tip(form, pitch, inside=inside)
    used = own if tip is None else tip
    depth = tips.depth(used, form, pitch, inside=inside)
    if blank is not None and middle is not None:
        depth = abs(blank - middle) / 2 + tips.reach(used, flanks, pitch)
    return Cut(
        inside, blank, middle, depth, used, own,
        deeper=tips.reach(used, flanks, pitch) - tips.reach(own, flanks, pitch),
        assumed=tip is None,
        fits=depth > 0 and tips.fits(used, form, pitch, inside=inside),
        blunt=tips.blunt(form, pitch, inside=inside),
    )  # fmt: skip


def _between(crest: Open, wanted: float) -> float:
    """A size, kept a quarter of the tolerance inside its limits."""
    least, most = crest
    if least is None or most is None:
        return wanted
    spare = (most - least) / 4
    return min(max(wanted, least + spare), most - spare)
