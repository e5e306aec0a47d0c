"""Two lathes side by side, in a few lines for the terminal."""

from __future__ import annotations

from collections.abc import Sequence

from gearchest.optimizer.search.compare import Comparison
from gearchest.reports.compare.verdict import levels, verdict
from gearchest.reports.words import wording


def compare_lines(found: Comparison, notes: Sequence[Sequence[str]] = ((), ())) -> list[str]:
    """What each lathe alone cuts, what both do, and the gears that would level them; `notes`: for
    each lathe which gears were not considered."""
    names = found.names
    lines = [verdict(found), *levels(found)]
    lines += [f"both cut {len(found.both)} of {len(found.wants)} threads"]
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
            lines.append(f"  {up.want:<{wide}}  {gears}")
    if found.shared:
        lines.append(f"gears that would serve both: {wording.teeth(found.shared)}")
    for name, said in zip(names, notes, strict=True):
        lines += [f"{name}: {note}" for note in said]
    return lines
