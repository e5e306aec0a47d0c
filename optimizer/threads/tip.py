"""The tip of the tool that cuts a groove: how deep it must go, and whether it can.

A groove is half a pitch wide at the pitch line. A pointed tool of the thread's angle fills it
P/4 x cot(a/2) below that line; a radius r stops it r (1/sin(a/2) - 1) short, a flat of width f
f/2 x cot(a/2) short; `flanks` has the same for flanks that are not alike. So a tip other than the
form's own is fed deeper or less deep to give the same pitch diameter.
"""

from __future__ import annotations

from dataclasses import dataclass

from gearchest.optimizer.threads.flanks import Flanks
from gearchest.optimizer.threads.forms import Form, Profile, profile


@dataclass(frozen=True)
class Tip:
    """A radius or a flat, mm, >= 0; both 0: a sharp point."""

    radius: float = 0.0
    flat: float = 0.0


SHARP = Tip()


def reach(tip: Tip, flanks: Flanks, pitch: float) -> float:
    """How far the tip ends beyond the pitch line, mm, in a groove of the right pitch diameter.

    `flanks` of any thread but a square one; negative where the tip is wider than the groove.
    """
    return flanks.sharp(pitch) - tip.radius * (flanks.seat - 1) - tip.flat / 2 / flanks.slope


def form_tip(form: Form, pitch: float, *, inside: bool) -> Tip:
    """The tip that gives the form's own root at a pitch in mm: an external thread's groove, or an
    internal one's."""
    ridge = profile(form, pitch)
    if not ridge.included_angle_deg:
        return SHARP
    if not inside:
        return Tip(ridge.root_radius_mm, 0.0 if ridge.root_radius_mm else ridge.root_flat_mm)
    if ridge.crest_radius_mm:
        return Tip(ridge.crest_radius_mm)
    return Tip(flat=max(0.0, pitch / 2 - 2 * _inside_root(form, ridge) * _flanks(ridge).slope))


def blunt(form: Form, pitch: float, *, inside: bool) -> tuple[Tip, Tip]:
    """The largest radius and the largest flat with which the root still lets the mate's crest
    in, mm."""
    flanks = _flanks(profile(form, pitch))
    spare = max(0.0, flanks.sharp(pitch) - _least(form, pitch, inside=inside))
    return Tip(spare / (flanks.seat - 1)), Tip(flat=2 * spare * flanks.slope)


def fits(tip: Tip, form: Form, pitch: float, *, inside: bool) -> bool:
    """Whether a tip leaves room for the mate's crest; a form of no nut takes any that enters. What
    standards round off their own radius is let pass."""
    found = reach(tip, _flanks(profile(form, pitch)), pitch)
    return found >= _least(form, pitch, inside=inside) - 2e-4 * pitch


def _least(form: Form, pitch: float, *, inside: bool) -> float:
    """How far a root must reach past the pitch line, mm."""
    if form.least_root_mm is not None:
        return form.least_root_mm(pitch)
    return (form.addendum if inside else form.nut_addendum) * pitch


def depth(tip: Tip, form: Form, pitch: float, *, inside: bool) -> float:
    """Radial depth of cut from the nominal crest to the nominal pitch diameter and the root this
    tip leaves there, mm: from the major diameter outside, from the minor one inside."""
    above = (form.nut_addendum if inside else form.addendum) * pitch
    return above + reach(tip, _flanks(profile(form, pitch)), pitch)


def _inside_root(form: Form, ridge: Profile) -> float:
    """From the pitch line to the root of the internal thread."""
    return ridge.nut_depth_mm - form.nut_addendum * ridge.pitch_mm


def _flanks(ridge: Profile) -> Flanks:
    if ridge.flanks is None or not ridge.flanks.slope:
        raise ValueError(f"{ridge.form}: no sloping flanks")
    return ridge.flanks
