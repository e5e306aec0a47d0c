"""A train as JSON: the same object in every document."""

from __future__ import annotations

from gearchest.optimizer.lathe import Lathe
from gearchest.optimizer.result import Answer
from gearchest.optimizer.train import half_nut_step

Json = dict[str, object]


def train_document(lathe: Lathe, answer: Answer) -> Json:
    """One train as an answer to one want. Lengths mm, errors signed fractions.

    `tooth_load` in N for 1 N m at the leadscrew. Without a measured arm there are no
    `studs`, and `arm_angle_deg` and `tightest` are null.
    """
    train, placement = answer.train, answer.fit.placement
    tightest = placement.tightest if placement else None
    return {
        "drivers": [gear.teeth for gear in train.drivers],
        "driven": [gear.teeth for gear in train.driven],
        "idlers": [
            {"teeth": gear.teeth, "stage": stage}
            for stage, gears in enumerate(train.idlers, start=1)
            for gear in gears
        ],
        "gearbox": train.setting.gearbox,
        "first_driver_turns": str(train.setting.first_driver_turns),
        "ratio": f"{train.ratio.numerator}/{train.ratio.denominator}",
        "pitch_mm": float(train.ratio) * lathe.leadscrew.lead_mm,
        "error": float(answer.error),
        "verdict": answer.verdict.value,
        "fits": answer.fit.fits.value,
        "misfits": [str(misfit) for misfit in answer.fit.misfits],
        "meshes": train.layout.meshes,
        "studs": [
            {
                "slot": stud.slot,
                "position_mm": stud.position,
                "x": stud.x,
                "y": stud.y,
                "gears": [gear.teeth for gear in stud.gears],
            }
            for stud in (placement.studs if placement else ())
        ],
        "arm_angle_deg": placement.arm_angle if placement else None,
        "tightest": tightest and {"clearance_mm": tightest.mm, "between": tightest.between},
        "missing": [gear.teeth for gear in answer.missing],
        "screw_turns": float(train.ratio),
        "tooth_load": float(train.tooth_load),
        "half_nut_step_mm": half_nut_step(train.ratio, lathe.leadscrew),
    }
