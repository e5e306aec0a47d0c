"""The plan as a flat table, for spreadsheets: a row for each thread at each step."""

from __future__ import annotations

from typing import TYPE_CHECKING

from gearchest.optimizer.domain.train import half_nut_step
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.plan.result import Plan
from gearchest.optimizer.search.result import WantStep
from gearchest.reports.words import wording

if TYPE_CHECKING:
    import pandas as pd

Row = dict[str, object]


def coverage_frame(plan: Plan) -> pd.DataFrame:
    """Every want at every step, with the train to set up. Lengths mm, loads N for 1 N m at the
    leadscrew, errors and allowances fractions; empty where there is no train."""
    import pandas as pd

    rows = [
        _row(plan, want, plan.steps[k].most, state)
        for want, states in zip(plan.wants, plan.states, strict=True)
        for k, state in enumerate(states)
    ]
    return pd.DataFrame(rows)


def coverage_csv(plan: Plan) -> str:
    """The table as CSV, with a byte-order mark so that spreadsheets read it as UTF-8."""
    text: str = coverage_frame(plan).to_csv(index=False, lineterminator="\r\n")
    return "\ufeff" + text


def _row(plan: Plan, want: Want, step: int, state: WantStep) -> Row:
    row: Row = {
        "thread": want.name,
        "series": want.series,
        "pitch_mm": want.pitch.mm,
        "lead_mm": want.pitch.lead_mm,
        "weight": float(want.weight),
        "allowed_error": float(want.allowance.relative),
        "step": step,
        "verdict": state.verdict.value,
        "covered": state.verdict.covered,
        **dict.fromkeys(("gears", "gears_to_add", "error", "fits"), None),
        **dict.fromkeys(("tooth_load_n", "screw_turns", "half_nut_step_mm", "arm_deg"), None),
    }
    if state.answer:
        train, placement = state.answer.train, state.answer.fit.placement
        row |= {
            "gears": wording.gears_written(train),
            "gears_to_add": wording.teeth(state.answer.missing),
            "error": float(state.answer.error),
            "fits": state.answer.fit.fits.value,
            "tooth_load_n": float(train.tooth_load),
            "screw_turns": float(train.ratio),
            "half_nut_step_mm": half_nut_step(train.ratio, plan.lathe.leadscrew),
            "arm_deg": placement.arm_angle if placement else None,
        }
    return row
