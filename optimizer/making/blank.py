"""The gear blank: diameters, depth, undercut, and the rim left over the keyway.

Formulas: ISO 53 and ISO 21771 (cylindrical involute gears); depths as named in `ToothDepth`.
Lengths mm, angles degrees unless a name says otherwise.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import GearMaking
from gearchest.optimizer.domain.tooth import (
    USUAL_THINNING,
    Keyway,
    ToothDepth,
    face_taken,
    inner_reach,
    read_keyway,
    usual_depth,
)
from gearchest.optimizer.making.angles import involute
from gearchest.optimizer.strength.rim import FULL_RIM


@dataclass(frozen=True)
class Blank:
    """One gear to be made.

    `shift`: profile shift in modules. `thinning`: how much thinner than the ideal each tooth
    is cut, mm along the pitch circle: this gear's share of the backlash. `bore` 0: none.
    """

    gear: Gear
    depth: ToothDepth
    face_width: float
    bore: float = 0.0
    keyway: Keyway | None = None
    shift: float = 0.0
    thinning: float = 0.0

    @property
    def teeth(self) -> int:
        """Number of teeth."""
        return self.gear.teeth

    @property
    def module(self) -> float:
        """mm."""
        return float(self.gear.module)

    @property
    def alpha(self) -> float:
        """Pressure angle in radians."""
        return math.radians(float(self.gear.pressure_angle))

    @property
    def pitch_diameter(self) -> float:
        """mm."""
        return self.module * self.teeth

    @property
    def base_diameter(self) -> float:
        """mm; the involute starts here."""
        return self.pitch_diameter * math.cos(self.alpha)

    @property
    def tip_diameter(self) -> float:
        """mm; what the blank is turned to."""
        return self.pitch_diameter + 2 * self.module * (1 + self.shift)

    @property
    def whole_depth(self) -> float:
        """mm from tip to root for teeth without backlash."""
        return float((1 + self.depth.dedendum) * self.gear.module + self.depth.extra)

    @property
    def depth_of_cut(self) -> float:
        """mm from the tip: the whole depth, and what thins the teeth for backlash."""
        return self.whole_depth + self.thinning / (2 * math.tan(self.alpha))

    @property
    def root_diameter(self) -> float:
        """mm, without backlash."""
        return self.tip_diameter - 2 * self.whole_depth

    @property
    def cut_root_diameter(self) -> float:
        """mm, as cut: with the extra depth that makes the backlash."""
        return self.tip_diameter - 2 * self.depth_of_cut

    @property
    def thickness(self) -> float:
        """Circular tooth thickness on the pitch circle, backlash taken off, mm."""
        ideal = self.module * (math.pi / 2 + 2 * self.shift * math.tan(self.alpha))
        return ideal - self.thinning

    @property
    def tip_thickness(self) -> float:
        """mm of land left on the tip circle; a shifted pinion grows pointed."""
        tip_angle = math.acos(min(1.0, self.base_diameter / self.tip_diameter))
        half = self.thickness / self.pitch_diameter + involute(self.alpha) - involute(tip_angle)
        return self.tip_diameter * half

    @cached_property
    def least_shift(self) -> float:
        """The least profile shift, in modules, without undercut; below 0 for a gear of many teeth.

        x = 1 - z sin^2(a) / 2: the straight flank of the cutter reaches one module deep, and no
        deeper than where the line of action leaves the base circle (ISO 21771).
        """
        return 1.0 - self.teeth * math.sin(self.alpha) ** 2 / 2

    @property
    def undercut(self) -> bool:
        """Whether a generated tooth of this count and shift is undercut."""
        return self.shift < self.least_shift - 1e-12

    @property
    def curing_shift(self) -> float:
        """`least_shift` for a gear that is undercut as it is, or would be unshifted; else 0."""
        return self.least_shift if self.undercut else max(0.0, self.least_shift)

    @property
    def sound_shift(self) -> float:
        """The shift it has, or where that leaves an undercut the one that cures it."""
        return self.least_shift if self.undercut else self.shift

    @property
    def rim(self) -> float:
        """mm of metal between the root and the bore, or the keyway's corner where there is one."""
        return self.cut_root_diameter / 2 - inner_reach(self.bore, self.keyway)

    @property
    def rim_share(self) -> float:
        """Rim over whole depth: from 1.2 up the rim costs no strength."""
        return self.rim / self.whole_depth


def design_blank(
    making: GearMaking,
    teeth: int,
    *,
    shift: float = 0.0,
    thinning: float | None = None,
    depth: ToothDepth | None = None,
) -> Blank:
    """The blank of an ordinary gear of this lathe.

    Without `thinning` the teeth are cut 0.02 m thin, so that a pair has 0.04 m of backlash;
    without a face width 8 m is taken (both common practice, no source). Raises ValueError for
    a keyway that cannot be read.
    """
    module = float(making.module)
    return Blank(
        gear=making.gear(teeth),
        depth=depth or usual_depth(making.module, making.pressure_angle),
        face_width=float(face_taken(making.face_width, making.module)),
        bore=making.bore or 0.0,
        keyway=read_keyway(making.keyway),
        shift=shift,
        thinning=USUAL_THINNING * module if thinning is None else thinning,
    )


def cautions(blank: Blank) -> tuple[str, ...]:
    """What to know about a gear that can be made but is weak, thin or undercut."""
    notes: list[str] = []
    if blank.rim_share < FULL_RIM:
        notes.append(
            f"Rim over the {'keyway' if blank.keyway else 'bore'} {blank.rim:.2f} mm, "
            f"{blank.rim_share:.2f} of the whole depth: below {FULL_RIM} the rim bends with the "
            "tooth and the gear bears less than its teeth would."
        )
    if blank.undercut:
        notes.append(
            f"A generated gear of {blank.teeth} teeth{_shifted(blank)} is undercut; a profile "
            f"shift of {blank.least_shift:+.3f} m cures it. A form cutter fills the root instead."
        )
    return tuple(notes)


def _shifted(blank: Blank) -> str:
    return f" shifted by {blank.shift:+g} m" if blank.shift else ""
