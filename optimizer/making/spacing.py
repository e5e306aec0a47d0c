"""What an imperfect division does to the gear and to the thread cut with it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from gearchest.optimizer.making.blank import Blank
from gearchest.optimizer.making.indexing import Indexing


@dataclass(frozen=True)
class Spacing:
    """Pitch errors of a gear divided by `way`, and what they mean on a lathe.

    `backlash` mm of the pair along the pitch circle; `screw_pitch` mm.
    """

    way: Indexing
    blank: Blank
    backlash: float
    screw_pitch: float

    @cached_property
    def pitch_error(self) -> float:
        """mm along the pitch circle: largest error from one tooth to the next."""
        return float(self.way.largest_spacing_error) * math.pi * self.blank.pitch_diameter

    @cached_property
    def accumulated(self) -> float:
        """mm along the pitch circle: range of the teeth's deviations, all round."""
        return float(self.way.accumulated_error) * math.pi * self.blank.pitch_diameter

    @property
    def thread_wobble(self) -> float:
        """mm: how far the thread wanders within one turn of the gear, on the leadscrew.

        The gear's error comes round with every turn of it and never adds up: with the gear on
        the screw the accumulated error is that part of a turn of the screw.
        """
        return float(self.way.accumulated_error) * self.screw_pitch

    @cached_property
    def grade(self) -> int | None:
        """The flank tolerance class both errors keep (5 to 12; None: coarser than 12).

        ISO 1328-1:2013 for class 5 (from memory): single pitch 0.001 d + 0.4 m + 5 um,
        cumulative 0.002 d + 0.55 sqrt(d) + 0.7 m + 12 um; each class is sqrt(2) wider.
        """
        d, m = self.blank.pitch_diameter, self.blank.module
        single = (0.001 * d + 0.4 * m + 5) / 1000
        total = (0.002 * d + 0.55 * math.sqrt(d) + 0.7 * m + 12) / 1000
        worst = max(self.pitch_error / single, self.accumulated / total)
        grade = 5 if worst <= 1 else 5 + math.ceil(2 * math.log2(worst) - 1e-9)
        return grade if grade <= 12 else None

    @property
    def binds(self) -> bool:
        """Whether some tooth comes out thicker than the backlash allows.

        The cutter makes spaces: where one stands off by the pitch error, the tooth beside it
        is thicker by as much. The accumulated error turns the mate, and binds nothing.
        """
        return self.pitch_error > self.backlash

    @property
    def hopeless(self) -> bool:
        """Whether a space is off by half a tooth or more: no gear comes of it."""
        return self.pitch_error >= math.pi * self.blank.module / 4

    @property
    def verdict(self) -> str:
        """Whether it matters for a change gear, in a sentence."""
        if self.pitch_error < 5e-5 and self.accumulated < 5e-5:
            return "Exact: nothing to allow for."
        if self.hopeless:
            return f"This head cannot divide by {self.blank.teeth} at all."
        wander = (
            f"The thread wanders by {_length(self.thread_wobble)} at most within a turn of the "
            "gear and the error never adds up along the thread"
        )
        if self.binds:
            return (
                f"{wander}; but a tooth may come out {self.pitch_error:.3f} mm too thick, "
                f"more than the {self.backlash:.3f} mm of backlash: it would bind there. Give it "
                "more backlash, or divide another way."
            )
        if self.grade is None:
            return f"{wander}. Coarse and noisy, yet it turns: good enough for a change gear."
        return f"{wander}. For a change gear it does not matter."


def _length(mm: float) -> str:
    """A small length, in mm or in thousandths of one."""
    return f"{mm:.2f} mm" if mm >= 0.1 else f"{mm * 1000:.2g} µm"
