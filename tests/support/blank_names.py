"""Names of gears as test ids: short, and the same in every run."""

from __future__ import annotations

from gearchest.optimizer.making.blank import Blank


def blank_name(blank: Blank) -> str:
    """Tooth count, module, pressure angle, and shift and thinning where there are any."""
    gear = blank.gear
    parts = [f"{gear.teeth}", f"m{float(gear.module):.4g}", f"{float(gear.pressure_angle):g}deg"]
    parts += [f"{name}{value:g}" for name, value in
              (("shift", blank.shift), ("thin", blank.thinning)) if value]  # fmt: skip
    return "-".join(parts)
