"""The tables that making a gear is worked out with."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from gearchest.optimizer.domain.material import NOTHING_KNOWN, ToothStrength
from gearchest.optimizer.domain.tooth import diametral_pitch
from gearchest.optimizer.making.cutters import FormCutter
from gearchest.optimizer.making.material import Material


@dataclass(frozen=True)
class Tables:
    """Form cutters, what gears are made of, bar sizes and standard modules in mm, and what teeth
    bear."""

    cutters: tuple[FormCutter, ...]
    materials: tuple[Material, ...]
    bar_sizes: tuple[float, ...]
    modules: tuple[Fraction, ...] = ()
    strength: ToothStrength = NOTHING_KNOWN

    def material(self, name: str) -> Material | None:
        """The material of that name, in any case of letters."""
        wanted = name.strip().lower()
        return next((m for m in self.materials if m.name == wanted), None)

    def standard(self, module: Fraction) -> bool:
        """Whether cutters are made for this size: a standard module, or a whole or half DP."""
        return module in self.modules or diametral_pitch(module) is not None
