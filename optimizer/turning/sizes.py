"""The thread to be turned, with every size the sheet needs: mm and degrees."""

from __future__ import annotations

from dataclasses import dataclass, replace

from gearchest.optimizer.domain.pitch import MM_PER_INCH, Pitch
from gearchest.optimizer.domain.thread import Thread
from gearchest.optimizer.domain.want import Use, Want
from gearchest.optimizer.threads.flanks import Flanks
from gearchest.optimizer.threads.forms import FORMS, Dimensions, dimensions
from gearchest.optimizer.threads.taper_pipe import gauge_plane
from gearchest.optimizer.threads.wires import Wires, wires_for
from gearchest.optimizer.threads.wooden import wooden_angle

FINEST_TRAPEZOIDAL, FINEST_ACME = 1.5, float(MM_PER_INCH / 16)
"""mm: the finest pitches of ISO 2904 and of the general purpose series of ASME B1.5; below them
their clearances, fixed in mm, would outgrow the thread."""


@dataclass(frozen=True)
class Sizes:
    """`form` is the title of the thread form; `assumed` says why where nobody named it.

    Diameters and depth are those of the side that is cut, nominal; None where the thread has
    none, `depth` too where the form has no figures. `nut_bore` is what to bore before cutting the
    nut. `taper`: change of diameter per length. `wires`: None where wires cannot be laid in the
    thread, or in the screw that goes into it. `thread` and `found` are what all of it is from.
    """

    thread: Thread
    found: Dimensions
    name: str
    pitch: Pitch
    form: str
    form_name: str
    assumed: str
    flanks: Flanks | None
    depth: float | None
    major: float | None
    pitch_diameter: float | None
    minor: float | None
    nut_bore: float | None
    lead_angle: float | None
    crest_flat: float
    root_flat: float
    root_radius: float
    taper: float
    plane: str
    left: bool
    inside: bool
    wires: Wires | None = None

    @property
    def included_angle(self) -> float | None:
        """Between the flanks; None where they are not straight."""
        return None if self.flanks is None else self.flanks.included

    @property
    def pitch_mm(self) -> float:
        """From ridge to ridge."""
        return self.pitch.mm

    @property
    def lead_mm(self) -> float:
        """Advance a turn."""
        return self.pitch.lead_mm

    @property
    def starts(self) -> int:
        """Number of starts."""
        return self.pitch.starts


class NoInternalThread(ValueError):  # noqa: N818 -- says what is so, not what went wrong
    """An internal thread of a form that has none."""


def sizes(want: Want, form: str = "") -> Sizes:
    """The sizes of a want's thread. `form` overrides the form. Raises KeyError for a form that
    is not known, NoInternalThread for an internal one of a form without a nut.
    """
    thread = replace(want.thread or Thread(want.name, want.pitch), major_mm=want.major_mm)
    assumed = ""
    name = form or thread.form
    if not name:
        name, assumed = _assumed(want, thread)
    own = thread.form or name
    thread = replace(thread, form=name, standard=thread.standard if name == own else "")
    shape = FORMS[name]
    if want.inside and not shape.has_nut:
        raise NoInternalThread(f"{shape.title}: this form has no internal thread")
    found = dimensions(thread)
    ridge = found.profile
    major, middle, minor = found.major_mm, found.pitch_diameter_mm, found.minor_mm
    plane = found.plane
    if want.inside:
        major, minor = found.nut_major_mm, found.nut_minor_mm
        if gauged := gauge_plane(thread):
            major, middle, minor = gauged.major, gauged.pitch_diameter, gauged.minor
            plane = "at the face"
    return Sizes(
        thread=thread,
        found=found,
        name=want.name,
        pitch=want.pitch,
        form=shape.title,
        form_name=name,
        assumed=assumed,
        flanks=ridge.flanks,
        depth=(ridge.nut_depth_mm if want.inside else ridge.depth_mm) or None,
        major=major,
        pitch_diameter=middle,
        minor=minor,
        nut_bore=found.nut_bore_mm,
        lead_angle=found.lead_angle_deg,
        crest_flat=ridge.crest_flat_mm,
        root_flat=ridge.root_flat_mm,
        root_radius=ridge.root_radius_mm,
        taper=shape.taper,
        plane=plane,
        left=want.left,
        inside=want.inside,
        wires=wires_for(found),
    )


def _assumed(want: Want, thread: Thread) -> tuple[str, str]:
    """The form taken where none is named, and why."""
    if want.use is Use.WOOD:
        angle = wooden_angle(thread.pitch)
        return f"wood-{angle}", f"no form given: a wooden V of {angle} degrees taken"
    if want.use is Use.WORM:
        return "worm", "no form given: a worm with 20 degree flanks taken"
    inch = thread.pitch.inch
    name = "unified" if inch else "iso"
    if want.use is not Use.TRAVEL:
        return name, "no form given: a 60 degree thread taken"
    finest = FINEST_ACME if inch else FINEST_TRAPEZOIDAL
    if thread.pitch.mm >= finest * (1 - 1e-9):
        if inch:
            return "acme", "no form given: Acme taken"
        return "trapezoidal", "no form given: ISO trapezoidal taken"
    begins = "Acme begins at 16 tpi" if inch else "ISO trapezoidal begins at 1.5 mm"
    return name, f"no form given: {begins}, so a 60 degree thread taken"
