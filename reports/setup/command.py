"""The line that makes the setup sheet of a want, to be pasted where `gearchest` runs."""

from __future__ import annotations

from fractions import Fraction

from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.pitch import format_fraction
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.threads.allowance import allowance, default_use


def setup_arguments(lathe: Lathe, want: Want) -> str:
    """Its size or pitch with whatever else was said of it, as the command `setup` reads them:
    `"6 tpi" --diameter "30 mm" --tolerance "0.4 %" --left`."""
    size = want.thread.name if want.thread else str(want.pitch)
    said = [f'"{size}"', *_length("--diameter", want.diameter), *_length("--engaged", want.engaged)]
    travel = want.allowance.travel
    grade = travel.grade or None if travel else None
    if grade:
        said.append(f"--grade {grade}")
    if want.use is not default_use(want.pitch, want.thread, want.diameter, grade):
        said.append(f"--use {want.use.value}")
    usual = allowance(
        want.pitch,
        thread=want.thread,
        use=want.use,
        diameter_mm=want.diameter,
        engaged_mm=want.engaged,
        policy=lathe.policy,
        mating=want.mating,
        travel_grade=grade,
        screw_error=lathe.screw_error,
    )
    if usual.relative != want.allowance.relative:
        asked = travel.whole if travel else want.allowance.relative
        said.append(f'--tolerance "{format_fraction(100 * asked)} %"')
    flags = {"--left": want.left, "--inside": want.inside, "--mating": want.mating}
    return " ".join([*said, *(flag for flag, given in flags.items() if given)])


def _length(option: str, mm: Fraction | None) -> list[str]:
    return [] if mm is None else [f'{option} "{format_fraction(mm)} mm"']
