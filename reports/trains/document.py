"""A train and the want it cuts as JSON: the same objects in every document."""

from __future__ import annotations

import math
from collections.abc import Sequence

from gearchest.optimizer.arm.result import Fit
from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.train import Train, half_nut_step
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.search.result import Answer
from gearchest.reports.words import wording

Json = dict[str, object]


def train_document(lathe: Lathe, answer: Answer, starts: int = 1) -> Json:
    """One train as an answer to one want of so many `starts`. Lengths mm, errors signed
    fractions.

    `lead_mm` is what the carriage advances in a turn of the spindle, `pitch_mm` that over the
    starts.
    Places are given to the nanometre and the millionth of a degree. `tooth_load` in N for 1 N m
    at the leadscrew. Without a measured arm there are no `studs`, and `arm_angle_deg` and
    `tightest` are null.
    """
    train = answer.train
    lead = float(train.ratio) * lathe.leadscrew.lead_mm
    return {
        **hung_document(train, answer.fit, answer.missing),
        "gearbox": train.setting.gearbox,
        "first_driver_turns": str(train.setting.first_driver_turns),
        "ratio": f"{train.ratio.numerator}/{train.ratio.denominator}",
        "pitch_mm": lead / starts,
        "lead_mm": lead,
        "error": float(answer.error),
        "verdict": answer.verdict.value,
        "screw_turns": float(train.ratio),
        "tooth_load": float(train.tooth_load),
        "half_nut_step_mm": half_nut_step(train.ratio, lathe.leadscrew),
        "driven_from": answer.merit.driven_from.value,
        "tooth_share": answer.merit.tooth_share,
        "error_share": _finite(answer.merit.error_share),
        "overloaded": answer.merit.overloaded,
        "demerits": answer.merit.demerits,
    }


def hung_document(train: Train, fit: Fit, missing: Sequence[Gear]) -> Json:
    """What of a train does not depend on levers and threads: its gears and where they hang."""
    placement = fit.placement
    tightest = placement.tightest if placement else None
    return {
        "drivers": [gear.teeth for gear in train.drivers],
        "driven": [gear.teeth for gear in train.driven],
        "idlers": [
            {"teeth": gear.teeth, "stage": stage}
            for stage, gears in enumerate(train.idlers, start=1)
            for gear in gears
        ],
        "fits": fit.fits.value,
        "misfits": list(fit.misfits),
        "meshes": train.layout.meshes,
        "studs": [
            {
                "slot": stud.slot,
                "position_mm": _near(stud.position),
                "x": _near(stud.x),
                "y": _near(stud.y),
                "gears": [gear.teeth for gear in stud.gears],
            }
            for stud in (placement.studs if placement else ())
        ],
        "arm_angle_deg": placement and _near(placement.arm_angle),
        "tightest": tightest
        and {"clearance_mm": _near(tightest.mm), "between": wording.between(train, tightest)},
        "missing": [gear.teeth for gear in missing],
    }


def _finite(value: float) -> float | None:
    """JSON knows no infinity: an error beyond an allowance of nothing."""
    return value if math.isfinite(value) else None


def optional_train(lathe: Lathe, want: Want, answer: Answer | None) -> Json | None:
    """A train for a want, or null where there is none."""
    return None if answer is None else train_document(lathe, answer, want.pitch.starts)


def want_document(want: Want) -> Json:
    """What every document says of a want. The gears are set for the lead."""
    return {
        "name": want.name,
        "pitch_mm": want.pitch.mm,
        "lead_mm": want.pitch.lead_mm,
        "starts": want.pitch.starts,
        "allowed_error": float(want.allowance.relative),
        "allowance": want.allowance.why,
        "judged": want.allowance.judged,
        "use": want.use.value,
        "left": want.left,
    }


def _near(value: float | None) -> float | None:
    """To six decimals: more would be the noise of the arithmetic."""
    return None if value is None else round(value, 6)
