"""What the finished screw bears, line by line: force, holding, stresses, flanks, buckling."""

from __future__ import annotations

import math

from gearchest.optimizer.turning.pressing import Pressing
from gearchest.optimizer.turning.setup import Setup
from gearchest.optimizer.turning.strut import Ends, Strut
from gearchest.reports.setup.view import Units, newton_metres, units
from gearchest.reports.words import numbers
from gearchest.reports.words.line import Line

ENDS = {
    Ends.FIXED_FREE: "one end held, the other free",
    Ends.PINNED: "both ends guided, free to tilt",
    Ends.FIXED_PINNED: "one end held, the other guided",
    Ends.FIXED: "both ends held",
}
"""How a screw stands between where it is held."""


def load_lines(setup: Setup) -> list[Line]:
    """Nothing where no load was given."""
    found, u = setup.pressing, units(setup)
    if found is None:
        return []
    stress, material = found.stress, found.material
    kept = "kept" if found.strong_enough else "NOT KEPT"
    lines = [
        *_force(found, u),
        _holding(found),
        Line("Root stress", f"{stress.root:.1f} MPa", f"safety {stress.root_safety:.1f}"),
        Line("Thread shear", f"{max(stress.screw_thread, stress.nut_thread):.2f} MPa",
             f"safety {stress.thread_safety:.1f} over {u.length(found.engaged, 0)}"),
        _flanks(found, u),
    ]  # fmt: skip
    if found.strut is not None:
        lines.append(_buckling(found.strut, u))
    return [*lines, Line("Material", material.name, f"safety {material.safety:g} {kept}")]


def sources(setup: Setup) -> list[str]:
    """Where the stresses of screw and nut are from."""
    found = setup.pressing
    if found is None:
        return []
    nut = found.load.nut_material
    said = [f"{found.material.name}: {found.material.source}"]
    return said if nut is None else [*said, f"{nut.name} nut: {nut.source}"]


def _force(found: Pressing, u: Units) -> list[Line]:
    """The axial force, and what turns the screw against it."""
    work = numbers.percent(found.screw.efficiency, 3)
    rubs = f"friction {found.screw.friction:g}, efficiency {work}"
    least, most = found.frictions
    if found.load.hand is not None:
        hand = f"from {found.load.hand.force:g} N at {u.length(found.load.hand.radius, 0)}"
        low, high = found.range_of_force
        more = f"{low:.0f} to {high:.0f} N at {most:g} to {least:g}"
        return [Line("Axial force", u.force(found.force), f"{hand}, {rubs}; {more}")]
    low, high = found.range_of_torque
    most_torque = "it jams" if math.isinf(high) else newton_metres(high)
    more = f"{newton_metres(low)} to {most_torque} at {least:g} to {most:g}"
    return [
        Line("Axial load", u.force(found.force)),
        Line(
            "Torque to turn it", newton_metres(found.torque), f"{rubs}; {more}; no collar reckoned"
        ),
    ]


def _holding(found: Pressing) -> Line:
    """Whether it holds its load by itself, and by how much."""
    (least, most), needs = found.frictions, found.screw.least_holding_friction
    if found.runs_back:
        return Line("Holds by itself", "no: RUNS BACK",
                    f"needs friction of {needs:.3f}, more than {most:g}")  # fmt: skip
    if not found.holds_surely:
        return Line("Holds by itself", "not surely",
                    f"needs friction of {needs:.3f}; between {least:g} and {most:g} it may or "
                    "may not")  # fmt: skip
    times = f"{least / needs:.1f} to {most / needs:.1f} times that"
    return Line("Holds by itself", "yes",
                f"needs friction of {needs:.3f}; {least:g} to {most:g} are {times}")  # fmt: skip


def _flanks(found: Pressing, u: Units) -> Line:
    """What presses on the flanks, and what the nut bears of it."""
    nut, over = found.load.nut_material, f"over {u.alone(found.engaged, 0)} of nut"
    if math.isinf(found.pressure):
        return Line("Flank pressure", "no flank bears", "the play of the nut leaves none")
    value = f"{found.pressure:.2f} MPa"
    if nut is None:
        return Line("Flank pressure", value, f"{over}; what it bears: --nut-material")
    bears = f"{over}; {nut.name} bears {nut.surely:g} to {nut.most:g} turned slowly by hand"
    said = "NOT KEPT" if found.nut_crushed else "kept" if found.nut_sure else "near its limit"
    return Line("Flank pressure", value, f"{bears}: {said}")


def _buckling(strut: Strut, u: Units) -> Line:
    """The load that would buckle it."""
    how = "Euler, which holds" if strut.euler else "Johnson, as Euler holds only"
    limit = f"{how} from {strut.limit:.0f}"
    taken = " (the worst, taken: --ends)" if strut.assumed else ""
    return Line(
        "Buckles at", u.force(strut.critical),
        f"{u.alone(strut.free, 0)} free, {ENDS[strut.ends]}{taken}; slenderness "
        f"{strut.slenderness:.0f}: {limit}; safety {strut.safety:.1f}",
    )  # fmt: skip
