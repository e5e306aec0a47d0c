"""From blank to good thread: limits of size, what to turn or bore, how deep, how to measure."""

from __future__ import annotations

from dataclasses import dataclass, replace

from gearchest.optimizer.domain.want import Use, Want
from gearchest.optimizer.threads.limit_classes import classes, limits_of
from gearchest.optimizer.threads.limits import Target, target
from gearchest.optimizer.threads.tip import Tip
from gearchest.optimizer.threads.tolerances import rule_of
from gearchest.optimizer.threads.wooden import nut_clearance
from gearchest.optimizer.turning.boring import Boring, boring
from gearchest.optimizer.turning.cut import Cut, cut
from gearchest.optimizer.turning.gauging import Gauging, gauging
from gearchest.optimizer.turning.sizes import Sizes
from gearchest.optimizer.turning.tapering import Tapering, tapering


@dataclass(frozen=True)
class Shaping:
    """`gauging` is None where there are no limits of size, `no_limits` then says why; `classes`
    are those most in use. `error`: the train's relative lead error, None without a train. `cut`
    is None where the form has no figures, `boring` on an external thread, `tapering` on a
    parallel one."""

    gauging: Gauging | None = None
    no_limits: str = ""
    classes: tuple[str, ...] = ()
    error: float | None = None
    cut: Cut | None = None
    boring: Boring | None = None
    tapering: Tapering | None = None


def shaping(
    want: Want, sizes: Sizes, error: float | None, *, tip: Tip | None = None, class_name: str = ""
) -> Shaping:
    """How to shape a want's thread with a train of this relative lead error.

    `tip` None: the one the form is drawn with; `class_name` "": the usual class. Raises
    ValueError for a class that the thread's standard does not have.
    """
    aim, why = _target(want, sizes, error or 0.0, class_name)
    cone = _tapering(sizes)
    made = cut(sizes.form_name, sizes.found, inside=sizes.inside, tip=tip, target=aim)
    if made is not None and cone is not None and cone.blank is not None:
        made = replace(made, blank=cone.blank, pitch_diameter=cone.pitch_diameter)
    wooden = want.use is Use.WOOD
    if wooden and sizes.inside and made is not None:
        made = _let_out(made, sizes)
    return Shaping(
        gauging=None if aim is None else gauging(aim, sizes.wires, sizes.pitch_diameter),
        no_limits=why,
        classes=classes(sizes.thread, inside=sizes.inside),
        error=error,
        cut=made,
        boring=None if wooden else _boring(sizes, made, cone),
        tapering=cone,
    )


def _let_out(made: Cut, sizes: Sizes) -> Cut:
    """A wooden nut's bore and thread with its clearance."""
    screw, blank, middle = sizes.found.major_mm, made.blank, made.pitch_diameter
    if screw is None or blank is None or middle is None:
        return made
    gap = nut_clearance(screw)
    return replace(made, blank=blank + gap, pitch_diameter=middle + gap)


def _target(
    want: Want, sizes: Sizes, error: float, class_name: str
) -> tuple[Target | None, str]:  # fmt: skip
    """Limits less what the lead error costs, or why there are none."""
    thread = sizes.thread
    if want.use is Use.FEED:
        return None, "a feed leaves no thread"
    found = limits_of(thread, inside=sizes.inside, class_name=class_name)
    if found.limits is None or sizes.included_angle is None or thread.major_mm is None:
        return None, found.why
    engaged = want.engaged
    if engaged is None:
        rule = rule_of(thread.standard, inch=thread.pitch.inch)
        taken = rule.engaged_mm(float(thread.major_mm), thread.pitch.mm)
    else:
        taken = float(engaged)
    return target(found.limits, error, taken, sizes.included_angle), ""


def _boring(sizes: Sizes, made: Cut | None, cone: Tapering | None) -> Boring | None:
    if not sizes.inside or made is None or made.blank is None or sizes.major is None:
        return None
    narrower = sizes.taper * cone.plane.useful if cone and cone.plane else 0.0
    return boring(made.blank - narrower, made.depth, sizes.major)


def _tapering(sizes: Sizes) -> Tapering | None:
    if not sizes.taper or sizes.included_angle is None:
        return None
    wire = None if sizes.wires is None else sizes.wires.best_mm
    return tapering(sizes.thread, sizes.taper, sizes.included_angle, wire, inside=sizes.inside)
