"""The JSON document of a setup."""

from __future__ import annotations

from collections.abc import Sequence

from gearchest.optimizer.strength.loads import Mesh
from gearchest.optimizer.turning.half_nuts import HalfNuts
from gearchest.optimizer.turning.pressing import Pressing
from gearchest.optimizer.turning.setup import Setup
from gearchest.optimizer.turning.speed import Speed
from gearchest.optimizer.turning.wood import WoodBlank
from gearchest.reports.setup import train_view
from gearchest.reports.setup.size_document import size_document
from gearchest.reports.trains.document import Json, optional_train


def setup_document(setup: Setup) -> Json:
    """One thread: lengths mm, torques N m, forces N, stresses MPa, angles degrees.

    `verdict` is that of the train shown; `train`, `turning` and `half_nuts` are null where no
    train of the gears owned comes within 5 %.
    """
    bed = setup.bed
    shown = setup.answer.verdict if setup.answer else setup.reach.verdict
    return {
        "kind": "setup",
        "version": 1,
        "lathe": setup.lathe.name,
        "verdict": shown.value,
        "allowed_error": float(setup.want.allowance.relative),
        "thread": _thread(setup),
        **size_document(setup),
        "train": optional_train(setup.lathe, setup.want, setup.answer),
        "mounting": _mounting(setup),
        "turning": _turning(setup),
        "half_nuts": None if setup.half_nuts is None else _half_nuts(setup.half_nuts),
        "speed": _speed(setup.speed),
        "bed": {
            "fits": bed.fits,
            "why": bed.why,
            "needed_mm": bed.needed,
            "longest_mm": bed.longest,
            "shift_leads": bed.shift_leads,
            "shift_mm": bed.shift,
            "run_out_mm": setup.run_out,
        },
        "passes": list(setup.infeed.depths) if setup.infeed else [],
        "spring_passes": setup.infeed.spring if setup.infeed else 0,
        "slide": _slide(setup),
        "tool": _tool(setup),
        "starts": _starts(setup),
        "wood": None if setup.wood is None else _wood(setup.wood),
        "force": None if setup.pressing is None else _pressing(setup.pressing),
        "cautions": [str(caution) for caution in setup.cautions],
    }


def _thread(setup: Setup) -> Json:
    sizes, made = setup.sizes, setup.shaping.cut
    return {
        "name": sizes.name,
        "form": sizes.form,
        "form_assumed": sizes.assumed,
        "included_angle_deg": sizes.included_angle,
        "flank_angles_deg": sizes.flanks and [sizes.flanks.load, sizes.flanks.other],
        "pitch_mm": sizes.pitch_mm,
        "lead_mm": sizes.lead_mm,
        "starts": sizes.starts,
        "major_mm": sizes.major,
        "pitch_diameter_mm": sizes.pitch_diameter,
        "minor_mm": sizes.minor,
        "depth_mm": sizes.depth if made is None else made.depth,
        "nut_bore_mm": sizes.nut_bore,
        "lead_angle_deg": sizes.lead_angle,
        "left": sizes.left,
        "wires": None
        if sizes.wires is None
        else {
            "best_mm": sizes.wires.best_mm,
            "smallest_mm": sizes.wires.smallest_mm,
            "largest_mm": sizes.wires.largest_mm,
            "over_best_mm": sizes.wires.over_best_mm,
            "exact": sizes.wires.exact,
        },
    }


def _mounting(setup: Setup) -> Json | None:
    found = setup.mounting
    if found is None:
        return None
    return {
        "shafts": [
            {
                "name": shaft.name,
                "planes": [None if gear is None else gear.teeth for gear in shaft.planes],
                "slot": shaft.slot,
                "position_mm": shaft.position,
            }
            for shaft in found.shafts
        ],
        "levers": list(found.levers),
    }


def _turning(setup: Setup) -> Json | None:
    turning = setup.turning
    if turning is None:
        return None
    crank = turning.crank
    return {
        "screw_turns": float(turning.screw_turns),
        "effort": turning.effort.value,
        "advice": turning.advice,
        "spindle_torque_nm": turning.spindle_torque,
        "meshes": _meshes(turning.meshes),
        "load": train_view.load_note(setup),
        "crank": None
        if crank is None
        else {
            "torque_nm": crank.torque,
            "hand_force_n": crank.hand_force,
            "length_mm": crank.length,
            "meshes": _meshes(crank.meshes),
        },
    }


def _meshes(meshes: Sequence[Mesh]) -> list[Json]:
    return [
        {
            "driver": mesh.driver.teeth,
            "driven": mesh.driven.teeth,
            "load_n": mesh.load,
            "allowed_n": mesh.limit.newtons,
            "share": mesh.share,
            "weaker": mesh.limit.gear.teeth,
            "unchecked": mesh.limit.unchecked,
        }
        for mesh in meshes
    ]


def _half_nuts(nuts: HalfNuts) -> Json:
    return {
        "may_open": nuts.may_open,
        "why": nuts.why,
        "step_mm": nuts.step_mm,
        "step_pitches": nuts.pitches,
        "step_leads": nuts.leads,
        "groove_mm": nuts.groove_mm,
        "nominal_step_mm": nuts.nominal_mm,
        "drift_mm": nuts.drift_mm,
        "dials": [
            {
                "teeth": use.dial.teeth,
                "lines": use.dial.lines,
                "usable": use.lines if isinstance(use.lines, str) else list(use.lines),
            }
            for use in nuts.dials
        ],
    }


def _speed(speed: Speed) -> Json:
    return {
        "highest_rpm": speed.highest_rpm,
        "allowed_overrun_mm": speed.allowed_overrun,
        "carriage_mm_per_min": speed.carriage_at_highest,
        "lowest_rpm": speed.lowest_rpm,
        "overrun_mm_at_lowest_rpm": speed.overrun_at_lowest,
        "slow_enough": speed.slow_enough,
    }


def _slide(setup: Setup) -> Json | None:
    feed = setup.infeed
    if feed is None or feed.slide_angle is None:
        return None
    return {"angle_deg": feed.slide_angle, "readings_mm": list(feed.slide_readings)}


def _tool(setup: Setup) -> Json | None:
    clearance = setup.clearance
    if clearance is None:
        return None
    return {"leading_deg": clearance.leading, "trailing_deg": clearance.trailing}


def _starts(setup: Setup) -> Json | None:
    found = setup.starts
    if found is None:
        return None
    return {"starts": found.starts, "driver_teeth": found.teeth, "slide_mm": found.pitch}


def _wood(wood: WoodBlank) -> Json:
    return {
        "stock_side_mm": wood.stock_side,
        "nut_bore_mm": wood.bore,
        "clearance_mm": wood.clearance,
        "roundings": [
            {
                "sides": how.sides,
                "cuts": how.cuts,
                "angle_deg": how.angle,
                "from_corner_mm": wood.stock_side * how.from_corner,
                "flat_mm": wood.stock_side * how.flat,
                "waste": how.waste,
            }
            for how in wood.roundings
        ],
    }


def _pressing(found: Pressing) -> Json:
    stress = found.stress
    return {
        "hand_force_n": found.hand.force,
        "radius_mm": found.hand.radius,
        "torque_nm": found.torque,
        "axial_n": found.force,
        "friction": found.screw.friction,
        "efficiency": found.screw.efficiency,
        "holds": found.screw.holds,
        "root_mpa": stress.root,
        "thread_shear_mpa": max(stress.screw_thread, stress.nut_thread),
        "root_safety": stress.root_safety,
        "thread_safety": stress.thread_safety,
        "least_safety": found.material.safety,
        "strong_enough": found.strong_enough,
        "engaged_mm": found.engaged,
        "material": found.material.name,
        "source": found.material.source,
    }
