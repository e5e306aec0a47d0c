"""A diameter and a pitch written together, where no catalog has the two: a thread all the same.

Only what leaves no doubt is taken so: both with their units (1" x 24 tpi), a Whitworth thread
on a diameter in mm (W 20x1/14, as DIN 477 names the threads of gas bottles), a special Unified
pair (1/2-24 UNS).
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from gearchest.catalogs.spelling import Spelling
from gearchest.optimizer.domain.pitch import MM_PER_INCH, Pitch, format_fraction, mm, tpi
from gearchest.optimizer.domain.thread import Thread
from gearchest.optimizer.threads.tolerances import UNS

_LARGEST = 1000
"""mm; no lathe that hangs its gears on an arm turns more."""

_LARGEST_INCH = 8
"""in; a bare number above is not taken for inches."""

_WHITWORTH = {"w", "whit", "whitworth"}
_IN_INCHES = {
    "unc", "unf", "unef", "un", "uns", "nc", "nf", "nef", "acme", "stubacme", "bsw", "bsf", "bsc",
    "cei", "cycle", "me", "brass", "npt", "bsp",
}  # fmt: skip
"""Words of families sized in inches and threads to the inch."""


@dataclass(frozen=True)
class Pair:
    """A diameter and a pitch with their units; `sure` where the units leave no doubt."""

    diameter: Fraction
    diameter_unit: str
    pitch: Fraction
    pitch_unit: str
    sure: bool

    @property
    def major_mm(self) -> Fraction:
        """The diameter in mm."""
        return self.diameter * (MM_PER_INCH if self.diameter_unit == "in" else 1)

    @property
    def thread_pitch(self) -> Pitch:
        """The pitch."""
        return tpi(self.pitch) if self.pitch_unit == "tpi" else mm(self.pitch)

    @property
    def diameter_written(self) -> str:
        """As a file has it: "1 1/2 in", "10.5 mm"."""
        whole, rest = divmod(self.diameter, 1)
        if self.diameter_unit == "mm" or not rest or not whole:
            size = format_fraction(self.diameter) if self.diameter_unit == "mm" else self.diameter
            return f"{size} {self.diameter_unit}"
        return f"{whole} {rest} in"

    @property
    def pitch_written(self) -> str:
        """As a file has it: "24 tpi", "1.27 mm"."""
        return f"{format_fraction(self.pitch)} {self.pitch_unit}"


def pair_of(spelling: Spelling) -> Pair | None:
    """The two measures of a spelling; None where it does not hold two that go together."""
    if len(spelling.numbers) != 2 or any(number.startswith("#") for number in spelling.numbers):
        return None
    try:
        across, along = map(Fraction, spelling.numbers)
    except (ValueError, ZeroDivisionError):
        return None
    if not (across and along):
        return None
    pair = _with_units(across, along, spelling)
    if pair is None or not pair.thread_pitch.mm < float(pair.major_mm) <= _LARGEST:
        return None
    return pair


def _with_units(across: Fraction, along: Fraction, spelling: Spelling) -> Pair | None:
    units, word = spelling.units, "".join(spelling.words)
    inch_pitch = units[1] in ("", "tpi") and (along >= 1 or along.numerator == 1)
    if word in _WHITWORTH | {"rd"} and units[0] in ("", "mm") and inch_pitch:
        # 1/14 is a pitch in inches, 14 a number of threads to the inch
        sure = word != "rd" and (along < 1 or units[1] == "tpi")
        return Pair(across, "mm", 1 / along if along < 1 else along, "tpi", sure)
    if units[0] in ("in", "mm") and units[1] in ("mm", "tpi"):
        return Pair(across, units[0], along, units[1], not word)
    if word not in _IN_INCHES and "in" not in units and along < across:
        return Pair(across, "mm", along, "mm", False)
    if units[1] in ("", "tpi") and across <= _LARGEST_INCH:
        return Pair(across, "in", along, "tpi", word == "uns")
    return None


def thread_of(spelling: Spelling) -> Thread | None:
    """The thread of a pair that leaves no doubt; None for any other."""
    pair = pair_of(spelling)
    if pair is None or not pair.sure:
        return None
    match "".join(spelling.words):
        case "uns":
            name = f"{pair.diameter_written.removesuffix(' in')}-{format_fraction(pair.pitch)} UNS"
            return Thread(name, pair.thread_pitch, pair.major_mm, "unified", standard=UNS)
        case "":
            name = f"{pair.diameter_written} x {pair.pitch_written}"
            return Thread(name, pair.thread_pitch, pair.major_mm)
        case _:
            name = f"W {format_fraction(pair.diameter)}x1/{format_fraction(pair.pitch)}"
            return Thread(name, pair.thread_pitch, pair.major_mm, "whitworth")
