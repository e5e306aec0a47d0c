"""One gear to be made in the workshop of a lathe, and how a circle is divided for it there."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

from gearchest.optimizer.domain.gear import Chest, Gear
from gearchest.optimizer.domain.lathe import COMMON_HEAD, DividingHead, Lathe
from gearchest.optimizer.domain.tooth import USUAL_THINNING, ToothDepth
from gearchest.optimizer.making.blank import Blank, design_blank
from gearchest.optimizer.making.divide import divide
from gearchest.optimizer.making.head_shafts import ShaftFit, shaft_fit
from gearchest.optimizer.making.indexing import Indexing
from gearchest.optimizer.making.spacing import Spacing
from gearchest.optimizer.making.without_head import GearDivider, gear_dividers


@dataclass(frozen=True)
class Wish:
    """What the user chose for this gear beyond the lathe file.

    `shift` in modules; `cure`: shift by what cures the undercut; `backlash` mm of the pair
    along the pitch circle (None: the workshop's, else 0.04 m); `depth` mm engraved on the cutter
    (None: the usual one for the size); `reading` of a degree wheel.
    """

    shift: float = 0.0
    cure: bool = False
    backlash: float | None = None
    depth: Fraction | None = None
    reading: Fraction = Fraction(1, 10)


ENGRAVED = "engraved on the cutter"
"""Name of a tooth depth that was read off the cutter."""

NO_WISH = Wish()


@dataclass(frozen=True)
class HeadWays:
    """How one head divides the gear: the ways, best first, and what their spacing does.

    `shafts`: whether the lathe's gears go on the shafts of the head.
    """

    head: DividingHead
    ways: tuple[Indexing, ...]
    spacing: Spacing
    shafts: ShaftFit

    @property
    def best(self) -> Indexing:
        """The way to take."""
        return self.ways[0]


@dataclass(frozen=True)
class GearJob:
    """A blank and the lathe it is for; `backlash` mm of the pair along the pitch circle."""

    lathe: Lathe
    blank: Blank
    backlash: float

    @cached_property
    def change_gears(self) -> tuple[int, ...]:
        """Tooth counts owned that mesh with the gear, each as often as owned."""
        return loose_teeth(self.lathe.chest, self.blank.gear)

    @cached_property
    def heads(self) -> tuple[HeadWays, ...]:
        """What the heads do: the lathe file's, or the common one where it lists none."""
        found: list[HeadWays] = []
        for head in self.lathe.dividing or (COMMON_HEAD,):
            fit = shaft_fit(head, self.lathe.making)
            gears = () if fit is ShaftFit.NO else self.change_gears
            ways = divide(head, self.blank.teeth, gears)
            spacing = Spacing(ways[0], self.blank, self.backlash, self.lathe.leadscrew.mm)
            found.append(HeadWays(head, ways, spacing, fit))
        return tuple(found)

    @cached_property
    def dividers(self) -> tuple[GearDivider, ...]:
        """Ways to divide by change gears owned, without a head."""
        return gear_dividers(self.blank.teeth, self.change_gears)

    @property
    def divides(self) -> bool:
        """Whether a head divides near enough that no tooth binds, or change gears do exactly."""
        return any(not head.spacing.binds for head in self.heads) or bool(self.dividers)


def loose_teeth(chest: Chest, mate: Gear) -> tuple[int, ...]:
    """Tooth counts in the chest that mesh with a gear, each as often as owned."""
    return tuple(
        gear.teeth
        for gear, count in chest.loose
        for _ in range(count)
        if gear.mesh_class == mate.mesh_class
    )


def job_for(lathe: Lathe, teeth: int, wish: Wish = NO_WISH) -> GearJob:
    """The making of an ordinary gear of this lathe, shifted, deep and thinned as wished.

    Raises ValueError for a keyway that cannot be read.
    """
    making = lathe.making
    module = float(making.module)
    chosen = (wish.backlash, lathe.workshop.backlash)
    backlash = next((b for b in chosen if b is not None), 2 * USUAL_THINNING * module)
    depth = None
    if wish.depth is not None:
        depth = ToothDepth(ENGRAVED, wish.depth / making.module - 1)
    blank = design_blank(making, teeth, shift=wish.shift, thinning=backlash / 2, depth=depth)
    if wish.cure:
        blank = replace(blank, shift=blank.sound_shift)
    return GearJob(lathe, blank, backlash)


def job_for_gear(lathe: Lathe, gear: Gear) -> GearJob:
    """The making of a gear that may differ from the lathe's others in all but bore and keyway."""
    making = replace(
        lathe.making,
        module=gear.module,
        pressure_angle=gear.pressure_angle,
        face_width=gear.face_width,
        material=gear.material,
    )
    return job_for(replace(lathe, making=making), gear.teeth)
