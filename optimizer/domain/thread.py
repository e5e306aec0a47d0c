"""A thread of a standard or of the trade: name, form, diameter, pitch."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from gearchest.optimizer.domain.pitch import Pitch


@dataclass(frozen=True)
class Thread:
    """`major_mm` is the nominal major diameter; `form` names the thread form's entry;
    `series` the catalog; `standard` the standard its tolerance comes from; `use` what the
    series is for where that is not a fastener ("wood", "worm"), "" otherwise."""

    name: str
    pitch: Pitch
    major_mm: Fraction | None = None
    form: str = ""
    series: str = ""
    standard: str = ""
    left: bool = False
    use: str = ""


def variant(thread: Thread, *, starts: int = 1, left: bool = False) -> Thread:
    """The same size with more starts or the other hand, named so: "1/2-10 Acme 2 starts LH", and a
    trapezoidal one as ISO 2902 has it: "Tr40x14 P7 LH"."""
    pitch, name = thread.pitch, thread.name
    if starts > 1:
        pitch = replace(pitch, starts=starts, written=f"{starts} starts of {pitch}")
        size, times, own = name.partition("x")
        if thread.series == "iso-trapezoidal" and times:
            name = f"{size}x{float(pitch.lead_mm):g} P{own}"
        else:
            name = f"{name} {starts} starts"
    return replace(thread, name=f"{name} LH" if left else name, pitch=pitch, left=left)
