"""Two lathes side by side, in a few lines for the terminal."""

from __future__ import annotations

from gearchest.optimizer.compare import Comparison
from gearchest.reports import wording


def compare_lines(found: Comparison) -> list[str]:
    """What each lathe alone cuts, what both do, and the gears that would level them."""
    names = lathe_names(found)
    lines = [f"both cut {len(found.both)} of {len(found.wants)} threads"]
    for side, name in enumerate(names):
        only = ", ".join(want.name for want in found.only(side)) or "nothing"
        lines.append(f"only {name}: {only}")
    for name, upgrades in zip(names, found.upgrades, strict=True):
        for up in upgrades:
            gears = wording.teeth(up.gears) or "no set of up to three gears"
            lines.append(f"for {up.want} on {name}: {gears}")
    if found.shared:
        lines.append(f"gears that would serve both: {wording.teeth(found.shared)}")
    return lines


def lathe_names(found: Comparison) -> tuple[str, str]:
    """The lathes' names; numbered where they are the same."""
    one, other = (lathe.name for lathe in found.lathes)
    return (one, other) if one != other else (f"{one} (1)", f"{other} (2)")
