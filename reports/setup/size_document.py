"""The part of a setup's JSON that says what size the thread must have. Lengths mm."""

from __future__ import annotations

from gearchest.optimizer.threads.tip import Tip
from gearchest.optimizer.turning.boring import Boring
from gearchest.optimizer.turning.cut import Cut
from gearchest.optimizer.turning.gauging import Gauging
from gearchest.optimizer.turning.setup import Setup
from gearchest.optimizer.turning.tapering import Tapering
from gearchest.reports.trains.document import Json


def size_document(setup: Setup) -> Json:
    """`limits` are null where no standard has any, `no_limits` then says why; what a standard
    does not limit on one side is null there. `boring` is for internal threads, `taper` for taper
    ones."""
    shaped = setup.shaping
    return {
        "inside": setup.want.inside,
        "limits": None if shaped.gauging is None else _limits(shaped.gauging, setup),
        "no_limits": shaped.no_limits,
        "cut": None if shaped.cut is None else _cut(shaped.cut),
        "boring": None if shaped.boring is None else _boring(shaped.boring),
        "taper": None if shaped.tapering is None else _taper(shaped.tapering, shaped.error),
    }


def _limits(gauging: Gauging, setup: Setup) -> Json:
    """`corrected`: the lead error of the train is taken off; where it leaves nothing the limits
    are the standard's own and `corrected` is false. Of an internal thread `over_wires_mm` is null
    and `gauge_screws_over_wires_mm` the two screws that would gauge it, GO and NO-GO."""
    aim = gauging.target
    limits = aim.limits
    corrected = setup.shaping.error is not None and aim.pitch_diameter is not None
    wires = None if gauging.over_wires is None else list(gauging.over_wires)
    return {
        "class": limits.class_name,
        "classes": list(setup.shaping.classes),
        "standard": limits.standard,
        "major_mm": list(limits.major),
        "pitch_diameter_mm": list(aim.pitch_diameter or limits.pitch_diameter),
        "minor_mm": list(limits.minor),
        "over_wires_mm": None if limits.inside else wires,
        "gauge_screws_over_wires_mm": wires if limits.inside else None,
        "corrected": corrected,
        "standard_pitch_diameter_mm": list(limits.pitch_diameter),
        "engaged_mm": aim.engaged,
        "lead_error_costs_mm": aim.cost,
        "longest_engaged_mm": aim.longest,
        "no_go_turns": gauging.no_go_turns,
        "note": limits.note,
        "source": limits.source,
    }


def _cut(cut: Cut) -> Json:
    return {
        "blank_mm": cut.blank,
        "pitch_diameter_mm": cut.pitch_diameter,
        "depth_mm": cut.depth,
        "tip": _tip(cut.tip),
        "tip_assumed": cut.assumed,
        "form_tip": _tip(cut.own),
        "deeper_mm": cut.deeper,
        "fits": cut.fits,
        "bluntest": None if cut.blunt is None else [_tip(tip) for tip in cut.blunt],
    }


def _tip(tip: Tip) -> Json:
    return {"radius_mm": tip.radius, "flat_mm": tip.flat}


def _boring(boring: Boring) -> Json:
    return {
        "bar_mm": boring.bar,
        "overhang_mm": boring.overhang,
        "groove_mm": boring.groove,
    }


def _taper(found: Tapering, error: float | None) -> Json:
    plane = found.plane
    kept = None
    if found.lead_tolerance is not None and error is not None:
        kept = abs(error) <= found.lead_tolerance
    return {
        "half_angle_deg": found.half_angle,
        "set_over_per_100_mm": found.set_over_100,
        "set_over_lead_error": found.slope_lead,
        "gauge_plane": None
        if plane is None
        else {
            "from_end_mm": plane.from_end,
            "major_mm": plane.major,
            "pitch_diameter_mm": plane.pitch_diameter,
            "minor_mm": plane.minor,
            "turns": plane.turns,
            "useful_mm": plane.useful,
        },
        "wire_mm": found.wire,
        "over_wires_mm": found.over_wires,
        "wires_from_end_mm": None if found.first is None else [found.first, found.last],
        "lead_tolerance": found.lead_tolerance,
        "lead_kept": kept,
    }
