"""The part of a setup's JSON that says what the finished screw bears: N, N m, MPa, mm."""

from __future__ import annotations

import math

from gearchest.optimizer.turning.pressing import Pressing
from gearchest.reports.trains.document import Json


def load_document(found: Pressing) -> Json:
    """`friction` what was reckoned with, `frictions` between which it may lie; `holds` at the
    first, `holds_surely` at the least of them; `buckling` null where not pressed endwise."""
    stress, load = found.stress, found.load
    nut, column = load.nut_material, found.strut
    return {
        "hand_force_n": None if load.hand is None else load.hand.force,
        "radius_mm": None if load.hand is None else load.hand.radius,
        "torque_nm": found.torque,
        "axial_n": found.force,
        "friction": found.screw.friction,
        "frictions": list(found.frictions),
        "efficiency": found.screw.efficiency,
        "holds": found.screw.holds,
        "holds_surely": found.holds_surely,
        "runs_back": found.runs_back,
        "least_holding_friction": found.screw.least_holding_friction,
        "root_mpa": stress.root,
        "thread_shear_mpa": max(stress.screw_thread, stress.nut_thread),
        "root_safety": stress.root_safety,
        "thread_safety": stress.thread_safety,
        "least_safety": found.material.safety,
        "strong_enough": found.strong_enough,
        "engaged_mm": found.engaged,
        "flank_mpa": found.pressure if math.isfinite(found.pressure) else None,
        "nut": None
        if nut is None
        else {
            "material": nut.name,
            "bears_mpa": [nut.surely, nut.most],
            "kept": not found.nut_crushed,
            "source": nut.source,
        },
        "buckling": None
        if column is None
        else {
            "free_mm": column.free,
            "ends": column.ends.title,
            "ends_assumed": column.assumed,
            "slenderness": column.slenderness,
            "euler_from": column.limit,
            "formula": "Euler" if column.euler else "Johnson",
            "critical_n": column.critical,
            "safety": column.safety,
        },
        "material": found.material.name,
        "source": found.material.source,
    }
