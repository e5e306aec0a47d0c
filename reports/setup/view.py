"""What a setup sheet says as a whole: units, verdict, title block, the train in one sentence.

Printed sheet and short form in the terminal read the same lines, here and in `thread_view` and
`train_view`.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from gearchest.optimizer.arm.result import Fits
from gearchest.optimizer.domain.pitch import Pitch, format_fraction, format_pitch
from gearchest.optimizer.domain.want import Use
from gearchest.optimizer.turning.cautions import Caution
from gearchest.optimizer.turning.setup import Setup
from gearchest.reports.words import numbers, wording
from gearchest.reports.words.line import Line
from gearchest.reports.words.verdicts import MARKS, Mark


@dataclass(frozen=True)
class Units:
    """Lengths as this lathe's dials read them."""

    inch: bool

    def dial(self, value: float) -> str:
        """A depth or slide reading: thousandths of an inch, hundredths of a mm; no unit."""
        return f"{value / 25.4:.3f}" if self.inch else f"{value:.2f}"

    @property
    def name(self) -> str:
        """The dial's unit."""
        return "inches" if self.inch else "mm"

    def step(self, value: float) -> str:
        """A length that must be kept closely: inches to 0.0001, mm to 0.001."""
        inches, mm = f"{value / 25.4:.4f}{numbers.NARROW_SPACE}in", numbers.millimetres(value, 3)
        return f"{inches} ({mm})" if self.inch else f"{mm} ({inches})"

    def over_travel(self, share: Fraction | float, *, length: bool = False) -> str:
        """A share of a length over the travel that grades are given for: um over 300 mm, or inches
        over 12."""
        space = numbers.NARROW_SPACE
        if self.inch:
            off, over = f"{float(share) * 12:.4f}{space}in", f"12{space}in"
        else:
            off, over = f"{float(share) * 300_000:.0f}{space}µm", f"300{space}mm"
        return f"{off} over {over}" if length else off

    def alone(self, value: float, places: int = 2) -> str:
        """In the lathe's unit without the other, for remarks; inches to two places more."""
        bare = numbers.bare_length(value, inch=self.inch, places=places)
        return f"{bare}{numbers.NARROW_SPACE}{'in' if self.inch else 'mm'}"

    def force(self, newtons: float) -> str:
        """A force, in pounds as well on an inch lathe."""
        told = f"{newtons:.0f}{numbers.NARROW_SPACE}N"
        pounds = f"{newtons / 4.4482216152605:.0f}{numbers.NARROW_SPACE}lbf"
        return f"{told} ({pounds})" if self.inch else told

    def cutting_speed(self, metres: float) -> str:
        """A cutting speed given in m/min."""
        space = numbers.NARROW_SPACE
        told = f"{metres:.3g}{space}m/min"
        return f"{metres / 0.3048:.2g}{space}ft/min ({told})" if self.inch else told

    def feed(self, a_minute: float) -> str:
        """A feed given in mm a minute."""
        space = numbers.NARROW_SPACE
        mm, inches = f"{a_minute:.0f}{space}mm/min", f"{a_minute / 25.4:.3g}{space}in/min"
        return f"{inches} ({mm})" if self.inch else f"{mm} ({inches})"

    def told(self, text: str, name: str = "") -> str:
        """A sentence with its lengths in mm, in the lathe's unit; `name` in it stays as it is."""
        parts = text.split(name) if name else [text]
        return name.join(numbers.told(part, inch=self.inch) for part in parts)

    def length(self, value: float, places: int = 2) -> str:
        """In the lathe's unit with the other behind it."""
        return numbers.length_pair(value, inch=self.inch, places=places)


def units(setup: Setup) -> Units:
    """The units of the setup's lathe."""
    return Units(numbers.inch_first(setup.lathe))


def newton_metres(torque: float) -> str:
    """A torque."""
    space = numbers.NARROW_SPACE
    return f"{numbers.significant(torque)}{space}N{space}m"


def title(setup: Setup) -> str:
    """What is cut: the thread, its diameter where it brings none, its hand where it is the left
    one, outside or inside."""
    if setup.want.use is Use.FEED:
        return f"{setup.want.name} a turn, feed"
    name, diameter = setup.want.name, setup.want.diameter
    if diameter is not None and setup.want.thread is None:
        name += f" on {_across(diameter, inch=setup.want.pitch.inch)}"
    hand = "left-hand " if setup.want.left else ""
    side = "internal" if setup.want.inside else "external"
    wood = " in wood" if setup.want.use is Use.WOOD else ""
    return f"{name}, {hand}{side} thread{wood}"


def _across(diameter: Fraction, *, inch: bool) -> str:
    """A diameter in the unit of its pitch, whatever the lathe's, unless it is round in the other
    alone.

    >>> _across(Fraction(30), inch=True), _across(Fraction("19.05"), inch=True)
    ('30\u202fmm', '0.75\u202fin')
    """
    in_inches = diameter / Fraction("25.4")
    own, other = (in_inches, diameter) if inch else (diameter, in_inches)
    if not _is_round(own) and _is_round(other):
        inch = not inch
    value = float(in_inches if inch else diameter)
    return f"{value:.5g}{numbers.NARROW_SPACE}{'in' if inch else 'mm'}"


def _is_round(value: Fraction) -> bool:
    return (value * 1000).denominator == 1


def verdict(setup: Setup) -> Mark:
    """The state of the train shown: what it can do, not what the lathe could."""
    return MARKS[setup.answer.verdict if setup.answer else setup.reach.verdict]


def fit_words(setup: Setup) -> str:
    """Whether the train mounts."""
    if setup.answer is None:
        return ""
    return {
        Fits.YES: "fits on the arm",
        Fits.NO: "does not fit on the arm",
        Fits.UNCHECKED: "fit unchecked",
    }[setup.answer.fit.fits]


def summary(setup: Setup) -> str:
    """The train in one sentence."""
    answer = setup.answer
    if answer is None:
        return "No train of the gears at hand cuts this within 5 %."
    allowed = setup.want.allowance.relative
    off = f"{numbers.error(answer.error, allowed)} (allowed {numbers.allowance(allowed)})"
    said = f"{wording.gears_written(answer.train)}, {off}, {fit_words(setup)}."
    judged = setup.want.allowance.judged
    if judged:
        said += f" {judged[0].upper()}{judged[1:]}."
    return f"{said} {_own_choice(setup)}" if setup.chosen else said


def _own_choice(setup: Setup) -> str:
    """What to get for the train chosen, and what would be set up had it not been."""
    best = setup.reach.best
    missing = setup.answer.missing if setup.answer else ()
    told = f", for which to get {', '.join(map(str, missing))} first" if missing else ""
    of = "gears owned alone" if missing else "gears at hand"
    if best is None:
        return f"Your own choice{told}; no train of the {of} keeps the allowance."
    if setup.answer is not None and best.train == setup.answer.train:
        return "Your own choice, and the one to set up."
    off = numbers.error(best.error, setup.want.allowance.relative)
    levers = wording.levers(setup.lathe, best.train.setting)
    parts = [wording.gears_written(best.train), *([levers] if levers else []), off]
    alone = "of the gears owned alone " if missing else ""
    return f"Your own choice{told}; {alone}the one to set up is {', '.join(parts)}."


def pitch_words(pitch: Pitch) -> tuple[str, str]:
    """The lead as it was written, and in the other system, rounded."""
    lead = pitch.lead
    own = format_pitch(lead) if pitch.starts > 1 else str(lead)
    metric = "mm" in own or lead.pi
    other = f"{25.4 / lead.mm:.4g} tpi" if metric else f"{lead.mm:.5g} mm"
    return own, f"{lead.mm:.5g} mm, {other}" if lead.pi else other


def caution_text(setup: Setup, caution: Caution) -> str:
    """A caution's sentence with lengths as this lathe's dials read them."""
    return units(setup).told(caution.text, setup.want.name)


def title_cells(setup: Setup) -> list[Line]:
    """The title block."""
    own, _ = pitch_words(setup.want.pitch)
    cells = [Line("Lathe", setup.lathe.name), Line("Leadscrew", str(setup.lathe.leadscrew))]
    cells.append(Line("Lead" if setup.sizes.starts > 1 else "Pitch", own))
    cells.append(Line("Hand", "left" if setup.want.left else "right"))
    if setup.answer is not None:
        allowed = setup.want.allowance.relative
        cells.append(Line("Error", numbers.error(setup.answer.error, allowed)))
        cells.append(Line("Allowed", numbers.allowance(allowed)))
        cells.append(Line("Ratio", str(format_fraction(setup.answer.train.ratio))))
    return cells
