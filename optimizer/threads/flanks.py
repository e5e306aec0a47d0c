"""The two flanks of a thread, and what follows from their angles alone.

With a and b the angles of the flanks from square to the axis, a groove widens by tan a + tan b a
millimetre of height, and a circle of radius 1 that touches both has its centre

    cos((a - b)/2) / sin((a + b)/2)

above the point in which they would meet: 1/sin a where they are alike.
"""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True)
class Flanks:
    """Degrees from square to the axis, 0 to below 90: `load`, the flank on which a screw bears,
    and `other`. Alike but for buttress threads; both 0 for a square thread."""

    load: float
    other: float

    @property
    def included(self) -> float:
        """The angle between them, degrees."""
        return self.load + self.other

    @property
    def alike(self) -> bool:
        """Whether the thread is symmetrical."""
        return self.load == self.other

    @property
    def slope(self) -> float:
        """Half of what a groove widens by a height: the mean of both tangents."""
        return (self._tan(self.load) + self._tan(self.other)) / 2

    @property
    def as_alike(self) -> float:
        """The angle between two flanks alike that would widen a groove as much, degrees."""
        return self.included if self.alike else 2 * math.degrees(math.atan(self.slope))

    @property
    def seat(self) -> float:
        """Height of the centre of a touching circle above the meeting point, in radii; a
        square thread has none."""
        apart, half = (self.load - self.other) / 2, self.included / 2
        return math.cos(math.radians(apart)) / math.sin(math.radians(half))

    def sharp(self, pitch: float) -> float:
        """From the pitch line, where the groove is half a pitch wide, down to where the flanks of
        a groove meet; infinite for a square thread."""
        return pitch / 4 / self.slope if self.slope else math.inf

    def square_to_thread(self, lead_angle: float) -> Flanks:
        """The flanks in a section square to a thread of a lead angle in degrees."""
        flatter = math.cos(math.radians(lead_angle))
        return Flanks(
            *(
                math.degrees(math.atan(self._tan(angle) * flatter))
                for angle in (self.load, self.other)
            )
        )

    @staticmethod
    def _tan(angle: float) -> float:
        return math.tan(math.radians(angle))


SQUARE = Flanks(0, 0)


def vee(included: float) -> Flanks:
    """Two flanks alike, `included` degrees between them."""
    return Flanks(included / 2, included / 2)
