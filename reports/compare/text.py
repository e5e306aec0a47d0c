"""Two lathes side by side, in a few lines for the terminal."""

from __future__ import annotations

from collections.abc import Sequence

from gearchest.optimizer.search.compare import Comparison
from gearchest.reports.compare.verdict import kinder_on, levels, share_told, verdict
from gearchest.reports.words import wording


def compare_lines(found: Comparison, notes: Sequence[Sequence[str]] = ((), ())) -> list[str]:
    """What each lathe alone cuts, what both do, and the gears that would level them; `notes`: for
    each lathe which gears were not considered."""
    names = found.names
    lines = [verdict(found), *levels(found)]
    lines += [f"both cut {len(found.both)} of {len(found.wants)} threads"]
    lines += [line for side in (0, 1) for line in _kinder(found, side)]
    if found.neither:
        lines.append(f"neither: {', '.join(want.name for want in found.neither)}")
    for side, name in enumerate(names):
        only = ", ".join(want.name for want in found.only(side)) or "nothing"
        lines.append(f"only {name}: {only}")
    for name, upgrades in zip(names, found.upgrades, strict=True):
        if upgrades:
            lines.append(f"gears that would let {name} cut:")
        wide = max((len(up.want) for up in upgrades), default=0)
        for up in upgrades:
            gears = wording.teeth(up.gears) or "no set of up to three gears"
            strain = f", {wording.TEETH_OVERLOADED}" if up.overloaded else ""
            lines.append(f"  {up.want:<{wide}}  {gears}{strain}")
    if found.shared:
        lines.append(f"gears that would serve both: {wording.teeth(found.shared)}")
    for name, said in zip(names, notes, strict=True):
        lines += [f"{name}: {note}" for note in said]
    return lines


def _kinder(found: Comparison, side: int) -> list[str]:
    """The threads both cut that are better cut on one lathe, by what the other does worse."""
    name, other = found.names[side], found.names[1 - side]
    loads = [f"{want.name} ({share_told(merit)} there)"
             for want, merit in kinder_on(found, side, overload=True)]  # fmt: skip
    exact = [want.name for want, _ in kinder_on(found, side, overload=False)]
    lines = []
    if loads:
        lines.append(f"  better on “{name}”, as “{other}” overloads teeth: {', '.join(loads)}")
    if exact:
        lines.append(f"  without error on “{name}” alone: {', '.join(exact)}")
    return lines
