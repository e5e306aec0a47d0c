"""The JSON document of a setup."""

from __future__ import annotations

from collections.abc import Sequence

from gearchest.optimizer.strength.loads import Mesh
from gearchest.optimizer.turning.cranking import STRETCH
from gearchest.optimizer.turning.half_nuts import HalfNuts
from gearchest.optimizer.turning.setup import Setup
from gearchest.optimizer.turning.speed import Speed
from gearchest.optimizer.turning.wood import Wood
from gearchest.optimizer.turning.work import slide_side
from gearchest.reports.setup import train_view
from gearchest.reports.setup.load_document import load_document
from gearchest.reports.setup.size_document import size_document
from gearchest.reports.trains.document import Json, optional_train


def setup_document(setup: Setup) -> Json:
    """One thread: lengths mm, torques N m, forces N, stresses MPa, angles degrees.

    `verdict` is that of the train shown, `chosen` whether the reader chose it; `allowed_error` is
    below 0 where the leadscrew alone errs more, `judged` says what a feed screw's verdict is of;
    `train`, `turning` and `half_nuts` are null where no train of the gears owned comes within
    5 %.
    """
    bed = setup.bed
    shown = setup.answer.verdict if setup.answer else setup.reach.verdict
    return {
        "kind": "setup",
        "version": 1,
        "lathe": setup.lathe.name,
        "verdict": shown.value,
        "chosen": setup.chosen,
        "allowed_error": float(setup.want.allowance.relative),
        "allowance": setup.want.allowance.why,
        "judged": setup.want.allowance.judged,
        "thread": _thread(setup),
        **size_document(setup),
        "working": setup.working.turned.value,
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
            "move_tool_mm": bed.shift,
            "settings": bed.settings,
            "by_top_slide": bed.by_slide,
            "run_out_mm": setup.run_out,
        },
        "passes": list(setup.infeed.depths) if setup.infeed else [],
        "spring_passes": setup.infeed.spring if setup.infeed else 0,
        "slide": _slide(setup),
        "tool": _tool(setup),
        "cutter": _cutter(setup),
        "starts": _starts(setup),
        "wood": None if setup.wood is None else _wood(setup.wood),
        "force": None if setup.pressing is None else load_document(setup.pressing),
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
    return {
        "screw_turns": float(turning.screw_turns),
        "effort": turning.effort.value,
        "advice": turning.advice,
        "spindle_torque_nm": turning.spindle_torque,
        "meshes": _meshes(turning.meshes),
        "load": train_view.load_note(setup),
        "crank": _crank(setup),
    }


def _crank(setup: Setup) -> Json | None:
    crank = setup.crank
    if crank is None:
        return None
    return {
        "end": crank.end.value,
        "torque_nm": crank.torque,
        "hand_force_n": crank.hand_force,
        "length_mm": crank.length,
        "meshes": _meshes(setup.turning.meshes if setup.turning else ()),
        "advance_mm_a_turn": crank.advance,
        "run_mm": STRETCH if crank.run is None else crank.run,
        "turns_a_pass": crank.a_pass,
        "passes": crank.passes,
        "cranked_back": crank.back,
        "turns_for_the_job": crank.job,
    }


def _cutter(setup: Setup) -> Json | None:
    held, fed = setup.milling, setup.feed
    if held is None:
        return None
    return {
        "kind": held.cutter.kind.value,
        "diameter_mm": held.cutter.diameter,
        "teeth": held.cutter.teeth,
        "rpm": held.cutter.rpm,
        "passes_the_bore": not setup.tapped,
        "tilt_deg": held.tilt,
        "wider_mm": held.widened,
        "wider_untilted_mm": held.untilted,
        "shank_mm": held.shank,
        "path_mm_a_turn": held.path,
        "feed_mm_a_tooth": None if fed is None else fed.tooth,
        "feed_mm_a_minute": None if fed is None else fed.surface,
        "crank_turns_a_minute": None if fed is None else fed.crank,
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
        "how": nuts.how.value,
        "may_open": nuts.may_open,
        "why": nuts.why,
        "step_mm": nuts.step_mm,
        "step_pitches": nuts.pitches,
        "step_leads": nuts.leads,
        "groove_mm": nuts.groove_mm,
        "back_mm": nuts.back_mm,
        "past_start_mm": nuts.past_mm,
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
    """Nothing of the spindle where no power turns it."""
    rpm, by = speed.governing or (None, None)
    lowest = speed.lowest if speed.powered else None
    return {
        "highest_rpm": rpm,
        "governed_by": None if by is None else by.value,
        "run_out_rpm": speed.run_out if speed.powered else None,
        "cutting_speed_rpm": speed.cutting if speed.powered else None,
        "cutting_speed_m_per_min": speed.cutting_speed if speed.powered else None,
        "allowed_overrun_mm": speed.room,
        "reaction_s": speed.stopping.reaction,
        "run_down_s": speed.stopping.run_down,
        "carriage_mm_per_min": None if rpm is None else rpm * speed.lead,
        "lowest_rpm": lowest,
        "overrun_mm_at_lowest_rpm": None if lowest is None else speed.overrun(lowest),
        "slow_enough": None if lowest is None else speed.too_fast is None,
    }


def _slide(setup: Setup) -> Json | None:
    feed = setup.infeed
    if feed is None or feed.slide_angle is None:
        return None
    sizes = setup.sizes
    return {
        "angle_deg": feed.slide_angle,
        "handle_towards": slide_side(left=sizes.left, inside=sizes.inside).value,
        "readings_mm": list(feed.slide_readings),
    }


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


def _wood(wood: Wood) -> Json:
    nut, side = wood.nut, wood.stock_side
    return {
        "stock_side_mm": side,
        "nut_bore_mm": None if nut is None else nut.bore,
        "nut_across_mm": None if nut is None else nut.across,
        "nut_block_mm": None if nut is None else nut.block,
        "clearance_mm": wood.clearance,
        "roundings": [
            {
                "sides": how.sides,
                "cuts": how.cuts,
                "angle_deg": how.angle,
                "from_corner_mm": side * how.from_corner,
                "flat_mm": side * how.flat,
                "waste": how.waste,
            }
            for how in wood.roundings
            if side is not None
        ],
    }
